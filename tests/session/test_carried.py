"""What was read in an earlier part of a job is asked about, and need not be read again."""

import pytest
from bench import METER, Bench, small, volts

from voiceassist.language.meanings import Correction, Lamp, OverRange
from voiceassist.session.events import Carried, Returned
from voiceassist.session.outputs import ReadingTaken
from voiceassist.session.states import State

_STEPS = """
battery: {caution: blades, needs: {key: run}, measure: voltage of the battery,
  accept: 12 V to 13 V, fail: bad}
pin: {measure: voltage on the pin, accept: battery - 0.5 V to battery, fail: bad, then: good}
"""
_REPAIRED = """
repairs:
  charge: {do: charge it}
findings:
  good: {cause: all is well, correction: nothing to do}
  bad: {cause: it is bad, correction: mend it, repair: [charge], go-on: battery}
"""
_WAS = Carried("battery", volts("12.60"), "heater-fan", "20261130-100000-fan-1234")


def part(*carried: Carried, steps: str = _STEPS, **setup: object) -> Bench:
    return small(steps, carried=carried or (_WAS,), **setup)  # type: ignore[arg-type]


def test_a_reading_of_the_first_part_is_asked_about_with_where_it_is_from() -> None:
    bench = part()
    assert bench.state is State.CARRIED
    assert bench.texts().endswith(
        "Battery was 12.60 V, from the heater fan job. Is it still so, with nothing changed since?"
        " Say affirm, or negative to measure it again."
    )


def test_affirmed_it_counts_as_read_here_and_the_record_tells_its_session() -> None:
    bench = part()
    bench.say("affirm")
    (taken,) = [output for output in bench.outputs if isinstance(output, ReadingTaken)]
    assert (taken.shown, taken.text, taken.origin) == (
        "12.60 V",
        "12.60 V, as before.",
        _WAS.session,
    )
    assert bench.step == "pin"
    (result,) = bench.session.ledger
    assert result.passed
    assert dict(result.conditions) == {"key": "run"}
    assert bench.session.condition("key") == ""  # nobody has turned it in this part


def test_a_correction_right_after_may_be_of_what_was_affirmed() -> None:
    bench = part().after("affirm")
    bench.correct(volts("12.4"))
    assert bench.texts() == "Is 12.4 V for this one, or for the last one?"


def test_it_was_read_under_what_its_step_needs_whatever_was_changed_in_this_part() -> None:
    first = "first: {needs: {fan: low}, measure: voltage of it, unit: V}"
    bench = part(steps=f"{first}\n{_STEPS}").after("done", volts("5"), "affirm")
    assert bench.session.condition("fan") == "low"
    read = {result.step: dict(result.conditions) for result in bench.session.ledger}
    assert read == {"first": {"fan": "low"}, "battery": {"key": "run"}}


def test_the_second_one_is_asked_about_in_few_words() -> None:
    pin = Carried("pin", volts("12.5"), "heater-fan", _WAS.session)
    bench = part(_WAS, pin).after("affirm")
    assert bench.texts().endswith("Pin was 12.5 V, from the same job. Still so?")
    assert bench.after("affirm").session.finding == "good"


def test_limits_that_follow_it_are_taken_from_it() -> None:
    assert part().after("affirm", volts("12.4")).session.finding == "good"
    assert part().after("affirm", volts("11.9")).session.finding == "bad"


@pytest.mark.parametrize("said", ["negative", volts("12.4"), Correction(volts("12.4")), "skip"])
def test_anything_else_than_yes_takes_nothing_from_before(said: object) -> None:
    bench = part()
    bench.say(said)  # type: ignore[arg-type]
    assert not bench.session.ledger
    assert bench.step == "battery"


def test_denied_it_is_measured_with_its_cautions_and_is_not_asked_about_again() -> None:
    bench = part().after("negative")
    assert bench.state is State.CAUTION
    assert "the fan may start" in bench.texts().lower()
    bench.say("affirm", "done", volts("12.3"), "go-back")
    assert (bench.step, bench.state) == ("battery", State.MEASURE)


def test_another_value_does_not_count_before_its_caution() -> None:
    bench = part().after(volts("12.4"))
    assert bench.state is State.CAUTION
    assert bench.texts().startswith("That reading does not count yet")


def test_another_value_counts_at_once_where_nothing_comes_before_it() -> None:
    plain = (
        "battery: {measure: voltage of the battery, accept: 12 V to 13 V, then: good, fail: bad}"
    )
    assert part(steps=plain).after(volts("12.4")).session.ledger[0].shown == "12.4 V"
    assert part(steps=plain).after(Correction(volts("12.4"))).session.ledger[0].shown == "12.4 V"
    assert part(steps=plain).after(volts("9.4")).session.finding == "bad"
    assert part(steps=plain).after(Lamp("bright")).state is State.MEASURE
    assert part(steps=plain).after(OverRange()).state is not State.CARRIED


def test_a_carried_reading_can_be_corrected_and_all_after_it_is_judged_again() -> None:
    bench = part().after("affirm", volts("12.4"))
    assert bench.session.finding == "good"
    bench = part().after("affirm")
    bench.say(Correction(volts("12.9"), "battery"))
    assert [r.shown for r in bench.session.ledger if not r.superseded] == ["12.9 V"]
    bench.say(volts("12.3"))
    assert bench.session.finding == "bad"


def test_gone_back_over_it_is_asked_about_again() -> None:
    bench = part().after("affirm", "go-back")
    assert bench.state is State.CARRIED
    assert bench.after("affirm").step == "pin"


@pytest.mark.parametrize(
    "was",
    [
        Carried("battery", volts("11.2"), "heater-fan", "before"),
        Carried("battery", volts("12.01"), "heater-fan", "before"),  # too close to call
        Carried("nowhere", volts("12.60"), "heater-fan", "before"),
    ],
)
def test_what_would_not_pass_here_is_measured(was: Carried) -> None:
    assert part(was, meter=METER).state is State.CAUTION


def test_a_reading_of_another_kind_is_measured() -> None:
    lamp = "battery: {lamp: at the pin, accept: bright, fail: bad, then: good}"
    assert part(steps=lamp).state is State.LAMP


def test_after_a_long_absence_all_is_measured_again() -> None:
    bench = part()
    bench.give(Returned(away_s=30.0))
    assert bench.state is State.CARRIED
    bench.give(Returned(away_s=900.0))
    assert not bench.session.carried


def test_once_something_is_put_right_all_is_measured_again() -> None:
    first = "one: {measure: voltage on the pin, accept: 4 V to 6 V, fail: bad}\n"
    bench = part(steps=first + _STEPS.replace("battery - 0.5 V to battery", "at least 1 V"),
                 more=_REPAIRED)  # fmt: skip
    bench.say(volts("2"), "affirm", "done")
    assert bench.step == "battery"
    assert bench.state is State.CAUTION


def test_questions_pauses_and_parking_leave_the_offer_as_it_is() -> None:
    bench = part()
    for said in ("why", "limit", "repeat", "how-far", "read-back", "help"):
        bench.say(said)
        assert bench.state is State.CARRIED
    assert bench.after("stand-by", "go-ahead").session.prompt == part().session.prompt
    parked = part().after("park", "done")
    assert parked.state is State.PARKED
    assert not parked.session.ledger
