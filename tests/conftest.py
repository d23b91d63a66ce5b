"""A sound server of our own, for tests that use sound devices for real."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from soundserver import SoundServer, lacking, serving


@pytest.fixture
def sound_server(tmp_path: Path) -> Iterator[SoundServer]:
    """A server for one test, gone after it."""
    if reason := lacking():
        pytest.skip(reason)
    with serving(tmp_path) as server:
        yield server
