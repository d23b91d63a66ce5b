"""What was taken back, with what had stood."""

import pytest
from shelf import head, heard, reading, verdict

from voiceassist.record.changes import changes
from voiceassist.record.lines import typed

Line = dict[str, object]
REJUDGED: Line = {"event": "rejudged", "step": "feed", "verdict": "pass"}
WITHDRAWN: Line = {"event": "withdrawn", "step": "feed"}


def found(*lines: Line) -> list[tuple[str, str, str]]:
    """Event, value and verdict of each change."""
    return [(each.line.event, each.value, each.verdict) for each in changes(tuple(typed(lines)))]


def test_a_correction_tells_the_value_and_the_verdict_that_stood() -> None:
    before = head(), reading("8.4"), verdict("8.4 V", "low")
    assert found(*before) == []
    assert found(*before, reading("12.4", corrects=True)) == [("reading", "8.4 V", "low")]


def test_a_verdict_given_again_is_what_the_next_change_had_before_it() -> None:
    told = found(reading("8.4"), verdict("8.4 V", "low"), REJUDGED, WITHDRAWN)
    assert told == [("rejudged", "8.4 V", "low"), ("withdrawn", "8.4 V", "pass")]


def test_the_first_verdict_of_a_value_stands_and_a_new_value_has_none_yet() -> None:
    refused = verdict("90 V", "not valid")
    assert found(reading("8.4"), verdict("8.4 V", "low"), refused, WITHDRAWN) == [
        ("withdrawn", "8.4 V", "low")
    ]
    assert found(reading("8.4"), verdict("8.4 V", "low"), reading("9"), WITHDRAWN) == [
        ("withdrawn", "9 V", "")
    ]


def test_each_step_has_its_own() -> None:
    other = reading("1", step="earth")
    assert found(reading("8.4"), other, WITHDRAWN) == [("withdrawn", "8.4 V", "")]
    assert found(other, WITHDRAWN) == [("withdrawn", "", "")]


@pytest.mark.parametrize(
    ("name", "takes_back"),
    [("go-back", True), ("revise", True), ("disregard", True), ("repeat", False)],
)
def test_words_that_take_something_back_are_told(name: str, takes_back: bool) -> None:
    said = heard("x", step="feed", meanings=[{"kind": "command", "name": name}])
    assert found(reading("8.4"), said) == [("heard", "8.4 V", "")] * takes_back
