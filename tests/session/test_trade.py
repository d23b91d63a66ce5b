"""Values that the trade knows, against the shipped procedure. Common practice, no source."""

import pytest
from bench import Bench, small, volts

from voiceassist.session.outputs import VerdictGiven
from voiceassist.session.states import State


def verdict(bench: Bench) -> str:
    return [o.verdict for o in bench.outputs if isinstance(o, VerdictGiven)][-1]


@pytest.mark.parametrize(
    ("step", "value", "expected"),
    [
        # A fan-speed command wire: about 8.5 V at the lowest, about 2.5 V at the highest speed.
        ("command-slow", "8.5", "pass"),
        ("command-slow", "2.5", "low"),
        ("command-fast", "2.5", "pass"),
        ("command-fast", "8.5", "high"),
        # The supply stands within half a volt of the battery, which reads 12.6 V here.
        ("feed", "12.2", "pass"),
        ("feed", "12.0", "low"),
        # No more than 0.1 V is lost across a joint while current flows.
        ("earth-drop", "0.08", "pass"),
        ("earth-drop", "0.2", "high"),
    ],
)
def test_a_value_of_the_trade_gets_the_verdict_of_the_trade(
    step: str, value: str, expected: str
) -> None:
    bench = Bench().to(step).after(volts(value))
    like_a_control_not_turned = (step, value) == ("command-fast", "8.5")
    assert (bench.state is State.FORGOTTEN) is like_a_control_not_turned
    if like_a_control_not_turned:
        bench.say("affirm")
    assert verdict(bench) == expected


@pytest.mark.parametrize("step", ["command-slow", "command-fast"])
def test_the_command_wire_reads_only_with_its_plug_in(step: str) -> None:
    bench = Bench().to(step)
    assert bench.session.condition("module plug") == "in"
    bench.say(volts("0.0"))
    assert bench.state is State.FORGOTTEN
    assert "Is the module plug in?" in bench.texts()


@pytest.mark.parametrize(("far", "expected"), [("12.2", "good"), ("12.0", "bad")])
def test_a_whole_feed_loses_at_most_half_a_volt_under_load(far: str, expected: str) -> None:
    steps = """
    near: {measure: voltage across the battery with the load on, unit: V}
    far: {measure: voltage across the load, unit: V}
    feed: {compute: near - far, accept: at most 0.5 V, high: bad, then: good}
    """
    assert small(steps).after(volts("12.6"), volts(far)).session.finding == expected
