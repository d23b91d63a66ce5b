"""Numbers of the job, by voice. The VIN is the example of 49 CFR 565.15 table V."""

import pytest
from bench import FAN, Bench

from voiceassist.language.meanings import Answer, Identifier
from voiceassist.session.events import Heard
from voiceassist.session.outputs import FactTaken
from voiceassist.session.states import State

GOOD, BAD = "1G4AH59H45G118341", "1G4AH59H55G118341"
WITH_VIN = FAN.replace("steps:\n", "steps:\n  number:\n    identify: vin\n", 1)


def facts(bench: Bench) -> list[FactTaken]:
    return [output for output in bench.outputs if isinstance(output, FactTaken)]


def test_a_step_may_ask_for_the_number_of_the_vehicle() -> None:
    bench = Bench(WITH_VIN)
    assert bench.state is State.IDENTIFY
    assert "vehicle identification number" in bench.texts()
    bench.say(Identifier("vin", GOOD))
    assert [(fact.value, fact.warning) for fact in facts(bench)] == [(GOOD, "")]
    assert bench.step == "battery"
    assert dict(bench.session.facts)["vin"] == GOOD


def test_a_check_digit_that_does_not_fit_is_a_warning_not_a_refusal() -> None:
    bench = Bench(WITH_VIN).after(Identifier("vin", BAD))
    assert "check digit" in facts(bench)[0].warning
    assert bench.step == "battery"


def test_a_number_heard_is_read_back_and_confirmed() -> None:
    bench = Bench(WITH_VIN, certain=False).after(Identifier("vin", GOOD))
    assert bench.state is State.CONFIRM
    assert bench.after("affirm reading").step == "battery"


def test_it_is_confirmed_however_surely_it_was_heard() -> None:
    bench = Bench(WITH_VIN, certain=False)
    bench.give(Heard("", (Identifier("vin", GOOD),), sure=True, vetted=True))
    assert bench.state is State.CONFIRM


def test_another_kind_of_number_does_not_answer_the_step() -> None:
    bench = Bench(WITH_VIN).after(Identifier("odometer", "88410"))
    assert bench.state is State.IDENTIFY


@pytest.mark.parametrize("name", ["repair-order", "odometer", "vin"])
def test_a_number_may_be_given_at_any_step_and_moves_nothing(typed: Bench, name: str) -> None:
    typed.to("feed").say(Identifier(name, GOOD))
    assert (typed.state, typed.step) == (State.MEASURE, "feed")
    assert dict(typed.session.facts)[name.replace("-", " ")] == GOOD


def test_going_back_forgets_no_fact(typed: Bench) -> None:
    typed.to("feed").say(Identifier("odometer", "88410"), "go-back")
    assert dict(typed.session.facts)["odometer"] == "88410"


def test_a_number_given_while_a_question_waits_is_kept_when_that_is_answered(typed: Bench) -> None:
    typed.to("feed").say("skip", Identifier("odometer", "88410"))
    assert typed.state is State.SKIP
    typed.say(Answer("no-tool"))
    assert typed.step != "feed"
    assert dict(typed.session.facts)["odometer"] == "88410"


def test_of_two_hearings_the_one_whose_check_digit_fits_is_taken() -> None:
    bench = Bench(WITH_VIN)
    bench.hear(Identifier("vin", BAD), Identifier("vin", GOOD))
    assert dict(bench.session.facts)["vin"] == GOOD


def test_two_hearings_that_both_fail_are_asked_about() -> None:
    bench = Bench(WITH_VIN)
    bench.hear(Identifier("vin", BAD), Identifier("vin", BAD.replace("55", "56")))
    assert bench.state is State.WHICH
