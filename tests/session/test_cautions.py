"""Safety is spoken first, acknowledged, repeated, and never skipped."""

import pytest
from bench import small, volts

from voiceassist.session.outputs import CautionSpoken
from voiceassist.session.session import Detail
from voiceassist.session.states import State

STEP = """
one:
  caution: {caution}
  needs: {{key: run}}
  measure: voltage on the pin
  unit: V
  then: good
"""


@pytest.mark.parametrize("detail", Detail)
def test_a_caution_comes_before_everything_else_at_every_level_of_detail(detail: Detail) -> None:
    bench = small(STEP.format(caution="blades"), detail=detail)
    spoken = [o for o in bench.outputs if o.step == "one" and o.text]
    assert isinstance(spoken[0], CautionSpoken)
    assert spoken[0].text == "WARNING: the fan may start. Keep clear."


def test_a_warning_waits_to_be_acknowledged_and_a_light_caution_does_not() -> None:
    assert small(STEP.format(caution="blades")).state is State.CAUTION
    assert small(STEP.format(caution="edge")).changing


def test_no_does_not_acknowledge() -> None:
    bench = small(STEP.format(caution="blades")).after("negative")
    assert bench.state is State.CAUTION
    assert "finish" in bench.texts()


def test_high_voltage_is_for_trained_and_authorised_people_only() -> None:
    bench = small(STEP.format(caution="orange"))
    assert "trained and authorised people only" in bench.texts()
    bench.say("negative")
    assert bench.state is State.CAUTION
    bench.say("finish", "affirm")
    assert bench.outputs[-1].to_json()["outcome"] == "stopped"


def test_a_caution_is_repeated_with_its_step() -> None:
    bench = small(STEP.format(caution="blades")).after("affirm", "done", "repeat")
    assert "the fan may start" in bench.texts()


def test_a_reading_before_the_caution_is_acknowledged_does_not_count() -> None:
    bench = small(STEP.format(caution="blades")).after(volts("5"))
    assert bench.session.ledger == ()
    assert "affirm" in bench.texts()


@pytest.mark.parametrize(
    ("name", "signal"),
    [
        # Signal words by the definitions of ANSI Z535.4 (from memory): DANGER will, WARNING
        # could cause death or serious injury; the choice for each hazard is common practice.
        ("high-voltage", "DANGER"),
        ("restraint-wiring", "WARNING"),
        ("battery-gas", "WARNING"),
        ("fan-and-belts", "WARNING"),
    ],
)
def test_the_built_in_cautions_need_no_writing(name: str, signal: str) -> None:
    bench = small(STEP.format(caution=name))
    spoken = [o for o in bench.outputs if isinstance(o, CautionSpoken)]
    assert [o.signal for o in spoken] == [signal]


def test_an_ohmmeter_is_kept_off_live_circuits_without_being_told() -> None:
    bench = small("one: {measure: resistance of the coil, unit: Ω, then: good}")
    assert "no-ohmmeter-live" in [o.name for o in bench.outputs if isinstance(o, CautionSpoken)]
