"""A journal of a short session, and a clock that moves by a quarter of a second."""

from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

import pytest

from voiceassist.record.entry import Entry
from voiceassist.record.journal import Journal

Clock = Callable[[], datetime]

LINES: Sequence[dict[str, object]] = (
    {"event": "session", "title": "A lamp", "procedure": "lamp", "facts": {"vehicle": "7"}},
    {"event": "ask", "step": "feed", "text": "Measure the voltage.", "start_s": 0, "end_s": 1.5},
    {"event": "heard", "words": "twelve point six oh volts", "start_s": 2.0, "end_s": 3.25},
    {"event": "reading", "step": "feed", "value": "12.60", "unit": "V", "text": "12.60 V."},
    {"event": "verdict", "step": "feed", "reading": "12.60 V", "verdict": "pass"},
)


@pytest.fixture
def clock() -> Clock:
    ticks = count()
    zero = datetime(2026, 1, 2, 8, 0, tzinfo=UTC)
    return lambda: zero + timedelta(seconds=next(ticks) / 4)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where a journal is to be; its folder is not there yet."""
    return tmp_path / "records" / "one" / "journal.jsonl"


@pytest.fixture
def kept(path: Path, clock: Clock) -> Sequence[Entry]:
    """The lines of a closed journal at ``path``."""
    with Journal.create(path, clock) as journal:
        return [journal.append([line])[0] for line in LINES]
