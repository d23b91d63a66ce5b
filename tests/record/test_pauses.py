"""How long a session lasted without its pauses."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.record.lines import Line, typed
from voiceassist.record.pauses import away_s, between_s, paused_s, to_the_end, worked_s

Written = dict[str, object]
STAND_BY: Written = {"event": "heard", "meanings": [{"kind": "command", "name": "stand-by"}]}
GO_AHEAD: Written = {"event": "heard", "meanings": [{"kind": "command", "name": "go-ahead"}]}
SAY: Written = {"event": "say", "text": "."}
END: Written = {"event": "end"}


def at(second: int, line: Written) -> Written:
    return line | {"at": f"2026-01-02T08:{second // 60:02}:{second % 60:02}.000Z"}


def back(away: object) -> Written:
    return {"event": "returned", "away_s": away}


def lines(*written: tuple[int, Written]) -> tuple[Line, ...]:
    return tuple(typed(at(second, line) for second, line in written))


def test_a_session_without_pauses_lasted_from_its_first_line_to_its_last() -> None:
    assert worked_s(lines((0, SAY), (30, SAY), (90, END))) == 90
    assert worked_s(()) == 0


def test_what_came_after_the_end_does_not_count() -> None:
    made = lines((0, SAY), (90, END), (500, SAY))
    assert to_the_end(made) == made[:2]
    assert to_the_end(made[:1]) == made[:1]
    assert worked_s(made) == 90


def test_standing_by_counts_from_the_first_time_it_was_said_until_going_ahead() -> None:
    made = lines(
        (0, SAY), (10, STAND_BY), (20, STAND_BY), (40, GO_AHEAD), (50, GO_AHEAD), (60, END)
    )
    assert paused_s(made) == 30
    assert worked_s(made) == 30
    twice = lines((0, STAND_BY), (10, GO_AHEAD), (30, STAND_BY), (35, GO_AHEAD), (40, END))
    assert paused_s(twice) == 15


def test_standing_by_ends_with_the_session() -> None:
    assert paused_s(lines((0, SAY), (10, STAND_BY), (60, END))) == 50
    assert paused_s(lines((0, SAY), (10, STAND_BY), (60, SAY))) == 0


def test_a_break_while_standing_by_is_counted_once() -> None:
    """Ten seconds of standing by, then the power went for forty."""
    assert paused_s(lines((0, SAY), (10, STAND_BY), (60, back(40)), (70, END))) == 50
    assert paused_s(lines((0, SAY), (10, STAND_BY), (15, back(40)), (70, END))) == 40


@pytest.mark.parametrize(
    ("told", "seconds"),
    [(40, 40), (0, 0), (0.5, 0.5), (-1, 0), (None, 0), ("9", 0), (1e11, 0), (True, 0)],
)
def test_only_a_time_that_can_be_is_taken_for_one(told: object, seconds: float) -> None:
    (line,) = lines((0, back(told)))
    assert away_s(line) == seconds


def test_no_other_line_tells_of_a_break() -> None:
    (line,) = lines((0, SAY | {"away_s": 40}))
    assert away_s(line) == 0


@pytest.mark.parametrize("other", ["2026-01-02T07:59:59Z", "yesterday", ""])
def test_a_clock_that_was_set_back_and_what_is_no_time_give_none(other: str) -> None:
    assert between_s("2026-01-02T08:00:00Z", other) == 0


@given(st.lists(st.sampled_from([SAY, STAND_BY, GO_AHEAD, back(7), END]), max_size=12))
def test_pauses_are_never_less_than_nothing_and_work_neither(
    written: list[Written],
) -> None:
    made = lines(*((10 * n, line) for n, line in enumerate(written)))
    assert paused_s(made) >= 0
    assert 0 <= worked_s(made) <= 10 * len(written)
