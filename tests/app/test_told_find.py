"""A cause that the technician found himself is noted in his words, and only its proof is asked."""

import pytest
from talk.situations import Talker, talker

from voiceassist.session.outputs import Ended, FindingReached, Listen, NoteTaken, Summary
from voiceassist.session.session import Detail, Stage, Turn
from voiceassist.session.states import State

ON_THE_WAY = ("no", "affirm", "done", "twelve point six", "done", "point oh two", "done")
TO_THE_FINDING = (
    *(*ON_THE_WAY, "point four amps", "done", "*", "four hundred milliamps", "affirm", "done"),
    *("forty milliamps", "done", "forty milliamps"),
)
TO_THE_END = ("affirm", "done", "*", "twenty milliamps", "finish", "done")
SWITCH = "glovebox lamp's stuck on, it's the switch"


def at(*lines: str, procedure: str = "key-off-draw") -> tuple[Talker, Turn]:
    one = talker(procedure, Detail.NORMAL)
    turn = one.begin()
    for line in lines:
        turn = one.wait(turn) if line == "*" else one.say(turn, line)
    return one, turn


def told(turn: Turn) -> str:
    return " ".join(output.text for output in turn.outputs if not isinstance(output, Listen))


def noted(turn: Turn) -> list[str]:
    return [output.words for output in turn.outputs if isinstance(output, NoteTaken)]


@pytest.mark.parametrize(
    "words",
    [
        SWITCH,
        "found it, a chafed wire by the pillar",
        "i've found the fault",
        "we found a broken wire in the boot",
        "i found the cause",
    ],
)
def test_what_was_found_is_noted_in_his_words_and_its_proof_is_offered(words: str) -> None:
    one, turn = at(*ON_THE_WAY, words)
    assert noted(turn) == [words]
    assert told(turn).startswith("Noted. When it is put right, say affirm, and we prove it")
    back = one.say(turn, "negative")
    assert back.session.step == "rough-draw"
    assert not back.session.own


@pytest.mark.parametrize(
    "words",
    [
        "found it, spliced it",
        "i've found the fault, wire behind the trim was chafed and i've spliced it",
        "it was the radio, changed it",
        "i've already fixed it",
    ],
)
def test_who_has_mended_it_is_asked_whether_to_prove_it_at_once(words: str) -> None:
    one, turn = at(*ON_THE_WAY, words)
    assert told(turn) == "Noted. Shall I go to the proof?"
    proving = one.say(turn, "yes")
    assert (proving.session.stage, proving.session.queue[-1]) == (Stage.PROVE, "draw")
    assert not [o for o in proving.outputs if isinstance(o, FindingReached)], "nothing is proved"


def test_the_fault_that_he_names_is_proved_by_what_proves_its_finding() -> None:
    one, turn = at(*ON_THE_WAY, "it was the alternator, changed it")
    assert one.say(turn, "yes").session.queue == ("draw",)


def test_what_he_found_is_proved_by_its_measurement_alone_and_recorded_in_his_words() -> None:
    _, turn = at(*ON_THE_WAY, SWITCH, "done", *TO_THE_END)
    summary = next(o for o in turn.outputs if isinstance(o, Summary))
    assert summary.cause == f"Found by the technician, in his words: {SWITCH}."
    assert summary.correction.endswith("Proved by draw 20 mA (limit 6 mA to 50 mA).")
    assert next(o for o in turn.outputs if isinstance(o, Ended)).outcome == "repaired"


def test_where_the_proof_fails_nothing_is_proved_and_the_diagnosis_goes_on() -> None:
    one, turn = at(*ON_THE_WAY, SWITCH, "done", "affirm", "done", "*", "four hundred milliamps")
    assert "The repair is not proved." in told(turn)
    assert turn.session.state is State.RETRY
    on = one.say(turn, "negative").session
    assert (on.stage, on.own, on.own_proof) == (Stage.DIAGNOSE, "", ())


def test_after_the_finding_what_he_mended_already_is_not_led_through_again() -> None:
    one, turn = at(*TO_THE_FINDING, "found it, spliced it")
    assert turn.session.state is State.MEANT
    assert "Glove box bulb back in." in told(turn), "which the repair would have asked for"
    proving = one.say(turn, "affirm")
    assert (proving.session.stage, proving.session.step) == (Stage.PROVE, "all-in")
    assert proving.session.condition("lid lamp") == "in"


def test_after_the_finding_what_is_not_mended_yet_is_noted_and_the_repair_waits() -> None:
    _, turn = at(*TO_THE_FINDING, SWITCH)
    assert noted(turn) == [SWITCH]
    assert turn.session.state is State.OFFER


def test_an_offer_that_a_question_came_between_is_made_again_once_it_is_mended() -> None:
    _, turn = at(*ON_THE_WAY, SWITCH, "what is the limit", "spliced it and taped it up")
    assert told(turn) == "Noted. Shall I go to the proof?"


def test_at_a_caution_it_is_noted_and_the_caution_still_waits() -> None:
    _, turn = at("no", "found it, spliced it")
    assert turn.session.state is State.CAUTION
    assert told(turn).endswith("Say affirm when understood.")


@pytest.mark.parametrize(
    "words",
    [
        "found the socket",
        "haven't found it yet",
        "have you found it",
        "we found it last week on another one",
        "it's the switch",
        "my mate reckons it's the switch that's stuck",
    ],
)
def test_what_is_no_find_is_none(words: str) -> None:
    _, turn = at(*ON_THE_WAY, words)
    assert not [m for m in turn.session.pending if getattr(m, "name", "") == "found"]
