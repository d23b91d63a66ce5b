"""Real sessions, each made once."""

import pytest
from handed_out import ASTRAY, HOSTILE, demo_words, session

from voiceassist.record.folder import SessionFolder


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> SessionFolder:
    """The job of the demo, with the facts that it has."""
    facts = {"vehicle": "Quillback 26, number 7", "repair order": "1042", "odometer": "88410"}
    facts |= {"technician": "demo", "complaint": "heater fan runs at one speed only"}
    return session(tmp_path_factory.mktemp("demo"), demo_words(), **facts)


@pytest.fixture(scope="session")
def astray(tmp_path_factory: pytest.TempPathFactory) -> SessionFolder:
    """A job that went astray, with hostile facts, taught."""
    return session(tmp_path_factory.mktemp("astray"), ASTRAY, "--detail", "teaching", **HOSTILE)
