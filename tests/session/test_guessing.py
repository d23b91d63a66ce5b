"""What words that no grammar understands may be for, by where the session stands."""

from decimal import Decimal

import pytest
from bench import Bench, small, volts

from voiceassist.language.meanings import Answer, Command, Lamp, Meaning, Note, OverRange, Reading
from voiceassist.measure.units import unit
from voiceassist.session.events import Heard
from voiceassist.session.guessing import likely
from voiceassist.session.own_answer import with_own_answer

STEPS = """
volts: {measure: voltage at it, accept: at most 13 V, fail: bad}
ohms: {measure: resistance of it, accept: at most 13 Ω, fail: bad}
bulb: {lamp: between them, accept: bright, fail: bad}
so: {ask: is it so, answers: {yes: tells, no: bad}}
tells: {ask: which way, answers: {left: {say: [left], go: work}, right: {say: [right], go: bad}}}
work: {do: turn it, caution: blades, then: good}
"""
PATH: tuple[Meaning | str, ...] = (
    volts("12"),
    Reading(Decimal(5), unit("Ω")),
    "bright",
    "affirm",
    Answer("left"),
)


def at(place: int, *more: Meaning | str) -> Bench:
    made = small(STEPS)
    made.say(*PATH[:place], *more)
    return made


def guessed(made: Bench) -> dict[str, object]:
    return dict(likely(made.engine.setup, made.session, "the words"))


def test_a_reading_may_be_zero_or_over_range_and_a_resistance_is_never_a_bare_zero() -> None:
    """Who says "nothing there" at an ohmmeter may mean no resistance, or no connection."""
    at_volts, at_ohms = guessed(at(0)), guessed(at(1))
    assert at_volts["zero"] == Reading(Decimal(0), unit("V"))
    assert at_volts["over-range"] == at_ohms["over-range"] == OverRange()
    assert "zero" not in at_ohms


def test_a_lamp_has_its_states_and_nothing_lit_is_one_that_is_off() -> None:
    found = guessed(at(2))
    lamps = {name: each for name, each in found.items() if isinstance(each, Lamp)}
    assert lamps == {
        "lamp-bright": Lamp("bright"),
        "lamp-dim": Lamp("dim"),
        "lamp-off": Lamp("off"),
        "lamp-flicker": Lamp("flickering"),
        "zero": Lamp("off"),
    }
    assert not {"over-range"} & found.keys()
    assert not any(isinstance(each, Lamp) for each in guessed(at(0)).values())


def test_yes_and_no_are_meant_where_the_question_takes_them() -> None:
    assert guessed(at(3))["affirm"] == Answer("affirm")
    assert guessed(at(3))["negative"] == Answer("negative")
    assert not {"affirm", "negative", "done"} & guessed(at(4)).keys()


@pytest.mark.parametrize("intent", ["affirm", "done", "go-ahead"])
def test_who_is_ready_has_understood_the_caution(intent: str) -> None:
    assert guessed(at(5))[intent] == Answer("affirm")


@pytest.mark.parametrize("intent", ["affirm", "done", "go-ahead"])
def test_who_is_ready_has_done_the_work(intent: str) -> None:
    assert guessed(at(5, "affirm"))[intent] == Answer("done")


def test_any_words_may_be_a_note_and_a_question_is_always_possible() -> None:
    for place in range(6):
        found = guessed(at(place))
        assert found["note"] == Note("the words")
        assert found["repeat"] == Command("repeat")
        assert all(isinstance(each, Command) for name, each in found.items() if name == "why")


def test_where_nobody_is_spoken_to_nothing_is_meant() -> None:
    assert guessed(at(0, "stand-by")) == {}


def test_the_questions_own_answer_among_words_is_asked_about_in_place_of_what_was_guessed() -> None:
    asked = at(4)
    words = "not the other one the left one mate"
    heard = Heard(words, (Command("why"),), certain=False, guessed=True)
    found = with_own_answer(asked.engine.setup, asked.session, heard)
    assert found == Heard(words, certain=False, guess=Answer("left"))
