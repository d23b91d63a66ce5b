"""A session as it stands at present: what is shown after which lines."""

from typing import Any

import pytest
from cli.screen.lines import (
    ACKNOWLEDGED,
    AFFIRM,
    ASK,
    CAUTION,
    CONFIRM,
    END,
    FINDING,
    JOB,
    KEY,
    KEY_MET,
    NEXT,
    READING,
    SESSION,
    VERDICT,
    Line,
    folded,
)
from hypothesis import given, settings
from hypothesis import strategies as st

from voiceassist.cli.screen.parts import ScreenState
from voiceassist.record.present import shown, ticked
from voiceassist.record.shown import ShownCaution, ShownCondition, ShownReading, ShownWords


def test_the_session_gives_the_title() -> None:
    state = folded(SESSION)
    assert state.title == "Fan runs too fast"


def test_a_caution_waits_until_it_is_acknowledged_and_stays_with_its_step() -> None:
    waiting = folded(SESSION, CAUTION, CONFIRM)
    sentences = ("The fan may start.", "Keep clear.")
    assert waiting.cautions == (ShownCaution("blades", "WARNING", sentences, waits=True),)
    known = folded(SESSION, CAUTION, CONFIRM, AFFIRM, ACKNOWLEDGED)
    assert [each.waits for each in known.cautions] == [False]
    assert shown(known, NEXT).cautions == ()


def test_a_new_step_takes_cautions_task_and_limit_of_the_one_before_along() -> None:
    before = folded(CAUTION, {**ASK, "limit": "12 V to 13 V"}, KEY)
    assert (before.step, before.limit) == ("feed", "12 V to 13 V")
    after = shown(before, {**KEY, "step": "lamp"})
    assert (after.step, after.cautions, after.task, after.limit) == ("lamp", (), (), "")


def test_a_task_asked_for_again_in_fewer_words_keeps_its_limit() -> None:
    before = folded({**ASK, "limit": "12 V to 13 V"})
    again = shown(before, {**ASK, "text": "Measure it.", "limit": ""})
    assert (again.task, again.limit) == (("Measure it.",), "12 V to 13 V")
    assert shown(before, {**ASK, "text": ""}).task == before.task


def test_a_caution_that_is_repeated_stands_there_once() -> None:
    assert len(folded(CAUTION, {**CAUTION, "acknowledge": False}).cautions) == 1


def test_the_acknowledgement_of_another_caution_changes_nothing() -> None:
    state = folded(CAUTION, {**ACKNOWLEDGED, "names": ["hot"]})
    assert state.cautions[0].waits


def test_one_thought_a_line_and_what_is_asked_for_by_itself() -> None:
    state = folded(KEY, ASK)
    assert state.said == ("Turn the key to run.",)
    assert state.task == ("Measure the feed.", "It is pin one.")


def test_figures_are_not_torn_apart() -> None:
    state = folded({"event": "say", "step": "", "text": "The limit is 12.5 V to 13.0 V. Go on."})
    assert state.said == ("The limit is 12.5 V to 13.0 V.", "Go on.")


def test_what_was_said_gives_way_when_something_is_heard_and_the_task_stays() -> None:
    state = folded(KEY, ASK, {**AFFIRM, "meanings": [], "reason": "too noisy"})
    assert (state.said, state.task[0]) == ((), "Measure the feed.")
    assert state.heard == ShownWords("affirm", 0.9931, doubt="too noisy")


@pytest.mark.parametrize(
    ("more", "heard"),
    [
        ({}, ShownWords("affirm", 0.9931)),
        ({"doubtful": True}, ShownWords("affirm", 0.9931, doubt="not sure")),
        ({"probability": None}, ShownWords("affirm")),
        ({"certain": True, "probability": None}, ShownWords("affirm", certain=True)),
        ({"meanings": [], "words": ""}, ShownWords("", 0.9931, doubt="not understood")),
    ],
)
def test_what_was_heard_stands_there_with_its_doubt(more: Line, heard: ShownWords) -> None:
    assert folded({**AFFIRM, **more}).heard == heard


def test_a_verdict_belongs_to_its_own_step_though_it_be_an_earlier_one() -> None:
    state = folded(NEXT, READING, VERDICT)
    assert state.step == "lamp"
    assert state.outcome is not None
    assert (state.outcome.step, state.outcome.shown) == ("feed", "12.5 V")
    assert (state.outcome.verdict, state.outcome.limit) == ("pass", "12 V to 13 V")
    assert state.outcome.sentences == ("That is good.",)
    assert state.outcome.scale is not None
    assert (state.outcome.scale.low_text, state.outcome.scale.high_text) == ("12 V", "13 V")
    assert folded(READING).outcome == ShownReading("feed", "12.5 V")


def test_a_reading_that_is_withdrawn_goes() -> None:
    before = folded(READING, VERDICT)
    assert shown(before, {"event": "withdrawn", "step": "lamp", "text": ""}) == before
    assert shown(before, {"event": "withdrawn", "step": "feed", "text": ""}).outcome is None


def test_conditions_keep_their_order_and_tell_what_is_to_be_done_yet() -> None:
    plug: Line = {**KEY_MET, "name": "plug", "state": "out"}
    state = folded(KEY, plug, KEY_MET)
    assert state.conditions == (
        ShownCondition("key", "run", True),
        ShownCondition("plug", "out", True),
    )


def test_a_finding_stays_until_it_is_withdrawn() -> None:
    told = folded({**ASK, "limit": "12 V"}, FINDING)
    assert (told.found_at, told.limit) == ("feed", "")
    assert told.said == ("Finding: the wire is broken.", "Because: feed: 3 V.")
    found = folded(FINDING, AFFIRM, NEXT)
    assert found.finding == ("the wire is broken", "mend the wire")
    gone = shown(found, {"event": "finding-withdrawn", "step": "", "text": "", "name": "wire"})
    assert gone.finding == ("", "")


def test_the_end_leaves_nothing_to_do() -> None:
    state = folded(CAUTION, {**ASK, "limit": "12 V"}, END)
    assert (state.end, state.task, state.cautions, state.limit) == ("repaired", (), (), "")
    assert state.said == ("The job is closed.",)


def test_a_lost_microphone_is_told_until_something_is_heard() -> None:
    lost: Line = {"event": "device", "step": "", "text": "I lost the microphone."}
    assert folded(lost).notice == "I lost the microphone."
    assert folded(lost, {"event": "noise", "text": ""}).notice == "I lost the microphone."
    assert folded(lost, AFFIRM).notice == ""
    for event in ("noise", "record", "overflow", "instructor-note"):
        assert folded({"event": event, "step": "", "text": "I tell it."}).notice == "I tell it."
        assert folded({"event": event, "step": "", "text": "I tell it."}).said == ()


def test_it_speaks_until_its_last_sentence_is_over() -> None:
    state = folded(SESSION, CAUTION, CONFIRM)
    assert ticked(state, 6.9).speaking
    assert not ticked(state, 7.1).speaking
    assert not ticked(state, 7.0).speaking
    assert not ticked(shown(state, AFFIRM), 6.9).speaking


def test_the_clock_follows_the_session_and_never_what_is_not_spoken_yet() -> None:
    assert folded(SESSION, CAUTION, CONFIRM).clock_s == 2.0
    assert folded(SESSION, CAUTION, CONFIRM, AFFIRM).clock_s == 9.0
    assert folded(CONFIRM, {"event": "noise", "text": "", "at_s": 6.5}).clock_s == 6.5
    assert folded(AFFIRM, {"event": "noise", "text": "", "at_s": 6.5}).clock_s == 9.0
    assert folded(AFFIRM, {**AFFIRM, "end_s": None}).clock_s == 9.0
    assert folded(AFFIRM, {**CONFIRM, "end_s": None, "at_s": 9.5}).clock_s == 9.5
    assert ticked(folded(SESSION), 61.9).elapsed_s == 61


ODD = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=12),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=4), inner),
    max_leaves=4,
)
KEYS = sorted({key for line in JOB for key in line} | {"reason", "guard_low", "at_s"})
KINDS = st.sampled_from([str(line["event"]) for line in JOB] + ["withdrawn", "device", "new kind"])


@settings(max_examples=50)
@given(st.lists(st.tuples(KINDS, st.dictionaries(st.sampled_from(KEYS), ODD)), max_size=6))
def test_no_line_however_odd_breaks_the_screen(lines: list[tuple[str, dict[str, Any]]]) -> None:
    state = folded(*({**rest, "event": kind} for kind, rest in lines))
    assert isinstance(ticked(state, 1.0), ScreenState)
