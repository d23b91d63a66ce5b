"""Switches, plugs, relays and fuses; and what hangs in the air."""

from dataclasses import replace

import pytest
from circuit.small_circuits import bat, circuit, lamp, motor, relay, res, switch

from voiceassist.circuit.elements import Circumstances
from voiceassist.circuit.lasting import lasting
from voiceassist.circuit.loop import LoopError
from voiceassist.circuit.model import Probe, Shows
from voiceassist.circuit.parts import Fuse, Plug, Potentiometer, Resistor
from voiceassist.circuit.probe import shown
from voiceassist.circuit.solve import solved
from voiceassist.circuit.values import ByState
from voiceassist.errors import CircuitError

FUSE = Fuse(name="fuse", terminals={"from": "a", "to": "f"}, ampere=10.0, ohm=0.01)
PLUG = Plug("plug", ("pin",), {"plug": frozenset({"in"})})


def test_a_switch_follows_its_conditions() -> None:
    parts = circuit(
        bat("battery", "a", "0", 12.0), switch("key", "a", "b", key="run"), res("load", "b", "0", 6)
    )
    assert solved(parts, {"key": "run"}).current("load") == pytest.approx(2.0, rel=1e-3)
    assert solved(parts, {"key": "off"}).voltage("b") == 0


def test_a_stuck_switch_follows_nothing() -> None:
    key = replace(switch("key", "a", "b", key="run"), stuck=True)
    parts = circuit(bat("battery", "a", "0", 12.0), key, res("load", "b", "0", 6))
    assert solved(parts, {"key": "off"}).current("load") == pytest.approx(2.0, rel=1e-3)


def test_a_plug_takes_what_is_behind_it_away() -> None:
    parts = circuit(
        bat("battery", "a", "0", 12.0), res("wire", "a", "pin", 1.0),
        res("load", PLUG.behind("pin"), "0", 5.0), plugs={"plug": PLUG},
    )  # fmt: skip
    assert solved(parts, {"plug": "in"}).voltage("pin") == pytest.approx(10.0, rel=1e-3)
    assert solved(parts, {"plug": "out"}).voltage("pin") == pytest.approx(12.0)


def test_a_pull_up_inside_a_part_goes_with_its_plug() -> None:
    parts = circuit(
        bat("battery", "a", "0", 12.6), res("pull-up", "a", PLUG.behind("pin"), 4.7e3),
        res("sink", "pin", "0", 9.4e3), plugs={"plug": PLUG},
    )  # fmt: skip
    harness, inside = Probe(Shows.VOLTAGE, "pin", "0"), Probe(Shows.VOLTAGE, "pin behind plug", "0")
    values = [
        shown(parts, {"plug": state}, probe).value
        for state, probe in (("in", harness), ("out", harness), ("out", inside))
    ]
    found = [float(value.value) for value in values if value is not None]
    assert found == pytest.approx([8.39737, 0.0, 12.59408], abs=1e-5)


def test_a_value_goes_by_its_condition() -> None:
    sensor = res("sensor", "s", "0", ByState("air", {"cold": 5e3, "warm": 2.5e3}))
    parts = circuit(bat("reference", "r", "0", 5.0), res("pull-up", "r", "s", 2.5e3), sensor)
    assert solved(parts, {"air": "warm"}).voltage("s") == pytest.approx(2.5)
    assert solved(parts, {"air": "cold"}).voltage("s") == pytest.approx(10 / 3)
    with pytest.raises(CircuitError, match="'air' in no state; set it to one of cold, warm"):
        solved(parts, {})


def test_the_wiper_of_a_potentiometer_divides() -> None:
    track = Potentiometer(
        name="control", terminals={"from": "r", "wiper": "w", "to": "0"}, ohm=10e3,
        turned=ByState("control", {"end": 1.0, "middle": 0.25, "start": 0.0}),
    )  # fmt: skip
    parts = circuit(bat("reference", "r", "0", 5.0), track)
    volts = [solved(parts, {"control": s}).voltage("w") for s in ("start", "middle", "end")]
    assert volts == pytest.approx([5.0, 3.75, 0.0])


def test_a_relay_pulls_in_and_holds_down_to_its_drop_out() -> None:
    def at(volt: float, pulled: bool) -> frozenset[str]:
        parts = circuit(
            bat("control", "c", "0", volt), bat("battery", "a", "0", 12.0),
            relay("K", ("c", "0"), "a", "m"), res("load", "m", "0", 6.0),
        )  # fmt: skip
        return solved(parts, {}, Circumstances({}, frozenset({"K"} if pulled else ()))).pulled

    assert at(12.0, False) == {"K"}
    assert at(5.0, False) == frozenset()
    assert at(5.0, True) == {"K"}
    assert at(2.0, True) == frozenset()


def test_a_relay_at_rest_feeds_its_other_contact() -> None:
    parts = circuit(
        bat("battery", "a", "0", 12.0), switch("key", "a", "c", key="run"),
        relay("K", ("c", "0"), "a", "m", "r"), res("one", "m", "0", 6.0), res("two", "r", "0", 6.0),
    )  # fmt: skip
    for key, one, two in (("off", 0.0, 2.0), ("run", 2.0, 0.0)):
        found = solved(parts, {"key": key})
        assert found.current("one") == pytest.approx(one, abs=0.01)
        assert found.current("two") == pytest.approx(two, abs=0.01)


def test_a_relay_that_opens_its_own_feed_is_told_as_restless() -> None:
    parts = circuit(
        bat("battery", "a", "0", 12.0), relay("buzzer", ("r", "0"), "a", "m", "r"),
        res("load", "m", "0", 6.0),
    )  # fmt: skip
    with pytest.raises(CircuitError, match="'buzzer' chatters"):
        solved(parts, {})


def test_a_fuse_blows_above_its_rating_and_stays_blown() -> None:
    parts = circuit(
        bat("battery", "a", "0", 12.0), FUSE, switch("key", "f", "b", key="run"),
        res("short", "b", "0", 0.1),
    )  # fmt: skip
    found = solved(parts, {"key": "run"})
    assert found.blown == {"fuse"}
    assert found.current("short") == pytest.approx(0.0, abs=1e-9)
    assert solved(parts, {"key": "off"}).voltage("f") == pytest.approx(12.0)
    later = lasting(parts, {"key": "run"})
    assert solved(later, {"key": "off"}).voltage("b") == 0
    with pytest.raises(CircuitError, match="no voltage can be found at 'f'"):
        solved(later, {"key": "off"}).voltage("f")


def test_a_fuse_holds_its_rating() -> None:
    parts = circuit(bat("battery", "a", "0", 12.0), FUSE, res("load", "f", "0", 1.2))
    assert not solved(parts, {}).blown


def test_of_two_fuses_in_a_row_the_smaller_blows() -> None:
    small = Fuse(name="small", terminals={"from": "f", "to": "g"}, ampere=5.0, ohm=0.02)
    parts = circuit(bat("battery", "a", "0", 12.0, 0.01), FUSE, small, res("short", "g", "0", 0.05))
    assert solved(parts, {}).blown == {"small"}


def test_no_voltage_is_told_where_nothing_leads_to_earth() -> None:
    parts = circuit(bat("battery", "a", "0", 12.0), res("stray", "x", "y", 1.0))
    found = solved(parts, {})
    with pytest.raises(CircuitError, match="no voltage can be found at 'x': nothing joins it to"):
        found.voltage("x")
    with pytest.raises(CircuitError, match="no voltage can be found at 'y'"):
        found.between("a", "y")
    assert found.between("x", "y") == 0


def test_a_meter_on_a_floating_pin_reads_nothing() -> None:
    parts = circuit(bat("battery", "a", "0", 12.0), res("stray", "x", "y", 1.0))
    for probe in (Probe(Shows.VOLTAGE, "x", "0"), Probe(Shows.VOLTAGE, "a", "x")):
        reading = shown(parts, {}, probe).value
        assert reading is not None
        assert abs(float(reading.value)) < 1e-6 or probe.red == "a"


def test_a_source_of_its_own_tells_its_voltage_though_it_floats() -> None:
    parts = circuit(bat("battery", "a", "0", 12.0), bat("cell", "x", "y", 1.5, 0.1))
    assert solved(parts, {}).between("x", "y") == pytest.approx(1.5)


@pytest.mark.parametrize(
    "loop",
    [
        [bat("second", "a", "0", 12.0)],
        [bat("second", "a", "b", 1.0), bat("third", "b", "0", 1.0)],
        [Resistor(name="second", terminals={"from": "a", "to": "0"}, ohm=0.0)],
    ],
)
def test_a_loop_without_resistance_is_told(loop: list[Resistor]) -> None:
    with pytest.raises(LoopError, match="closes a loop without any resistance"):
        solved(circuit(bat("first", "a", "0", 12.0), *loop), {})


def test_an_empty_end_of_a_lamp_and_a_motor_settles() -> None:
    parts = circuit(
        bat("battery", "a", "0", 12.0), lamp("L", "a", "x"), motor("M", "x", "y"),
        motor("N", "a", "z", "friction"),
    )  # fmt: skip
    found = solved(parts, {})
    assert found.current("L") == pytest.approx(0.0, abs=1e-9)
    assert found.voltage("z") == pytest.approx(12.0, rel=1e-3)


@pytest.mark.parametrize("leaks", [(5e3, 10e3), (10e3, 5e3)])
def test_of_two_relays_that_feed_each_other_the_one_held_least_drops_out(
    leaks: tuple[float, float],
) -> None:
    """Both coils at a fraction of a volt, 0.2 V and 0.1 V; whoever is at rest feeds the other."""
    parts = circuit(
        bat("battery", "a", "0", 12.0),
        res("one leak", "a", "c1", leaks[0]), relay("one", ("c1", "0"), "a", rest="c2"),
        res("other leak", "a", "c2", leaks[1]), relay("other", ("c2", "0"), "a", rest="c1"),
    )  # fmt: skip
    both = Circumstances({}, pulled=frozenset({"one", "other"}))
    held = "one" if leaks[0] < leaks[1] else "other"
    assert solved(parts, {}, both).pulled == {held}
