"""What hangs on one word or bound: a wait that goes on, a doubt at an end, a choice that counts.

Each of these once could be changed in the code without a test that noticed.
"""

import pytest
from bench import METER, Bench, small, volts

from voiceassist.language.meanings import Command, Meaning
from voiceassist.session.states import State


def test_a_wait_goes_on_and_does_not_begin_again_after_a_question() -> None:
    bench = small("one: {wait: it to cool, for: 20 min, then: good}")
    bench.hear(Command("finish"), at_s=890.0)
    assert bench.state is State.FINISH
    bench.say("negative")
    bench.hear(Command("how-far"), at_s=900.0)
    assert "5 minutes" in bench.texts()


def test_a_value_that_is_too_close_to_that_of_a_forgotten_plug_is_asked_about() -> None:
    steps = """
    battery: {measure: voltage of the battery, unit: V}
    one: {needs: {plug: in}, measure: voltage on the pin, accept: 4 V to 6 V,
      if-forgotten: {plug: at most battery - 12 V}, then: good, fail: bad}
    """
    said = (volts("12.5"), "done", volts("0.52"))
    assert small(steps, meter=METER).after(*said).state is State.FORGOTTEN
    assert small(steps).after(*said).state is not State.FORGOTTEN


def test_one_chosen_among_two_is_not_asked_about_again() -> None:
    bench = small(
        "one: {measure: voltage on the pin, accept: 4 V to 6 V, then: good, fail: bad}",
        certain=False,
    )
    bench.hear(volts("7.0"), volts("7.1"))
    assert bench.state is State.WHICH
    bench.say(volts("7.0"))
    assert bench.session.finding == "bad"


@pytest.mark.parametrize(
    ("said", "likely"), [("-1", True), ("-1.01", False), ("20", True), ("20.01", False)]
)
def test_the_ends_of_what_is_plausible_are_plausible(said: str, likely: bool) -> None:
    bench = small(
        "one: {measure: voltage on the pin, accept: at least 12 V, plausible: -1 V to 20 V,"
        " then: good, fail: bad}"
    )
    text = "" if bench.after(volts(said)).state is not State.CONFIRM else bench.texts()
    assert ("very unlikely" not in text) is likely


CORRECTED = """
one: {measure: voltage of the battery, accept: 4 V to 6 V, fail: bad}
two: {caution: blades, measure: voltage on the pin of the pump, accept: 4 V to 6 V, fail: bad}
three: {caution: blades, measure: voltage on the pin of the fan, accept: 4 V to 6 V, fail: bad,
  then: good}
"""


def corrected(*said: Meaning | str) -> Bench:
    return small(CORRECTED).after(volts("5"), *said)


def test_a_caution_acknowledged_since_is_not_asked_again_after_going_back() -> None:
    bench = corrected("affirm", volts("5"))
    assert (bench.step, bench.state) == ("three", State.MEASURE)
    bench.say("go-back", "go-back", volts("5"))
    assert (bench.step, bench.state) == ("two", State.MEASURE)


def test_where_a_test_point_is_need_not_be_told_again_after_going_back() -> None:
    bench = corrected("affirm")
    assert "pin one with the red wire" in bench.texts()
    bench.say("go-back", volts("5"))
    assert "Voltage on the pin of the pump" in bench.texts()
    assert "pin one with the red wire" not in bench.texts()


def test_a_reading_too_close_to_tell_is_forgotten_at_its_own_step() -> None:
    bench = small(
        "one: {measure: it, unit: V, accept: at most 13 V, fail: bad, then: good}", meter=METER
    )
    bench.say(volts("13.00"))
    assert bench.session.tries == 1
    (forgotten, *_) = bench.say("disregard")
    assert bench.session.tries == 0
    assert getattr(forgotten, "step", "") == "one"
