import pytest
from bench import Bench


@pytest.fixture
def typed() -> Bench:
    """A session whose words are certain."""
    return Bench()


@pytest.fixture
def spoken() -> Bench:
    """A session whose words may be misheard."""
    return Bench(certain=False)
