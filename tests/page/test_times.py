"""Times on a page: as people read them, and without the pauses."""

import pytest

from voiceassist.page.times import clock, day_and_minute, length
from voiceassist.record.lines import typed
from voiceassist.record.pauses import between_s, paused_s

Line = dict[str, object]


def at(second: int) -> str:
    return f"2026-01-02T08:{second // 60:02}:{second % 60:02}.000+01:00"


def said(second: int, command: str) -> Line:
    meaning = {"kind": "command", "name": command}
    return {"event": "heard", "at": at(second), "words": command, "meanings": [meaning]}


@pytest.mark.parametrize(
    ("seconds", "shown"),
    [(0.2, "0 s"), (59.4, "59 s"), (60, "1 min 0 s"), (3599.6, "1 h 0 min"), (7380, "2 h 3 min")],
)
def test_a_length_of_time_is_short(seconds: float, shown: str) -> None:
    assert length(seconds) == shown


@pytest.mark.parametrize(
    ("written", "shown"),
    [
        ("2026-01-02T08:00:01.000+01:00", "2026-01-02 08:00 +01:00"),
        ("2026-01-02T08:00:01.000+00:00", "2026-01-02 08:00 UTC"),
        ("2026-01-02T08:00:01Z", "2026-01-02 08:00 UTC"),
        ("", ""),
    ],
)
def test_a_time_keeps_its_offset(written: str, shown: str) -> None:
    assert day_and_minute(written) == shown


def test_the_clock_shows_seconds() -> None:
    assert clock(at(61)) == "08:01:01"


def test_a_clock_set_back_gives_no_time_at_all() -> None:
    assert between_s(at(9), at(5)) == 0.0
    assert between_s(at(5), at(9)) == 4.0


@pytest.mark.parametrize(
    ("lines", "paused"),
    [
        ([said(0, "stand-by"), said(30, "go-ahead")], 30),
        ([said(0, "stand-by"), {"event": "end", "at": at(12)}], 12),
        ([{"event": "returned", "at": at(90), "away_s": 60.5}], 60.5),
        # Away while standing by is counted once.
        ([said(0, "stand-by"), {"event": "returned", "at": at(90), "away_s": 80}], 90),
        ([said(5, "go-ahead"), said(9, "why")], 0),
        ([said(0, "stand-by") | {"doubtful": True}, said(30, "go-ahead")], 0),
    ],
)
def test_standing_by_and_being_cut_off_are_pauses(lines: list[Line], paused: float) -> None:
    assert paused_s(typed(lines)) == paused
