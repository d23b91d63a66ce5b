"""What goes wrong shows where it should; what cannot go wrong so is refused."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from circuit.small_circuits import bat, circuit, module, motor, relay, res, switch

from voiceassist.circuit.faults import CircuitFault, FaultKind, with_fault
from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import Fuse, Plug
from voiceassist.circuit.solve import solved
from voiceassist.circuit.tolerance import drawn
from voiceassist.circuit.usual import usual_faults
from voiceassist.circuit.values import ByState
from voiceassist.errors import CircuitError

PLUG = Plug("plug", ("c", "m"), {})
FAN = circuit(
    bat("battery", "a", "0", 12.6, 0.01),
    Fuse(name="fuse", terminals={"from": "a", "to": "f"}, ampere=30.0, ohm=0.005),
    switch("key", "f", "g", key="run"),
    res("feed wire", "g", "h", 0.02, tolerance=0.1),
    res("control", "c", "0", 9.4e3),
    replace(module("module", "h", "e", PLUG.behind("c"), PLUG.behind("m")), pull_up=4.7e3),
    motor("fan", "m", "e"),
    res("earth joint", "e", "0", 0.002),
    relay("horn relay", ("a", "0"), "a", "n"),
    res("horn", "n", "0", 3.0),
    plugs={"plug": PLUG},
)


def fault(kind: FaultKind, target: str, **more: object) -> CircuitFault:
    return CircuitFault(name="it", kind=kind, target=target, **more)  # type: ignore[arg-type]


def volts(with_it: Circuit, node: str) -> float:
    return solved(with_it, {"key": "run"}).voltage(node)


def test_the_fan_is_well_to_begin_with() -> None:
    found = solved(FAN, {"key": "run"})
    assert found.voltage("c") == pytest.approx(12.6 * 9.4 / 14.1, rel=0.02)
    assert 4 < found.current("fan") < 8
    assert found.pulled == {"horn relay"}


@pytest.mark.parametrize(
    ("what", "node", "least", "most"),
    [
        (fault(FaultKind.OPEN, "feed wire"), "g", 12.5, 12.6),
        (fault(FaultKind.OPEN, "earth joint"), "e", 5.0, 12.6),
        (fault(FaultKind.OPEN, "module", terminal="output"), "m", -0.01, 0.01),
        (fault(FaultKind.HIGH, "feed wire", size=(1.0, 1.0)), "h", 5.0, 11.0),
        (fault(FaultKind.EARTH, "c"), "c", -0.01, 0.1),
        (fault(FaultKind.EARTH, "module"), "m", -0.01, 0.1),
        (fault(FaultKind.SUPPLY, "m"), "m", 12.0, 12.6),
        (fault(FaultKind.SHORTED, "control"), "c", -0.01, 0.1),
        (fault(FaultKind.WRONG, "control", size=(4.7e3, 4.7e3)), "c", 6.2, 6.4),
        (fault(FaultKind.STUCK, "key", stuck_closed=False), "m", -0.01, 0.01),
        (fault(FaultKind.STUCK, "module", size=(0.5, 0.5)), "m", 6.0, 6.3),
        (fault(FaultKind.STUCK, "horn relay", stuck_closed=False), "n", -0.01, 0.01),
        (fault(FaultKind.DEAD, "module"), "m", -0.01, 0.01),
        (fault(FaultKind.BLOWN, "fuse"), "h", -0.01, 0.01),
        (fault(FaultKind.WEAK, "battery"), "a", 10.8, 11.9),
        (fault(FaultKind.WEAK, "battery", size=(9.0, 9.0)), "a", 8.0, 9.0),
        (fault(FaultKind.MIXED, "plug", pins=("c", "m")), "c", -0.01, 0.5),
    ],
    ids=lambda value: f"{value.kind} {value.target}" if isinstance(value, CircuitFault) else "",
)
def test_a_fault_shows_at_its_place(
    what: CircuitFault, node: str, least: float, most: float
) -> None:
    assert least <= volts(with_fault(FAN, what), node) <= most


def test_a_seized_motor_takes_more_current() -> None:
    stuck = with_fault(FAN, fault(FaultKind.SEIZED, "fan"))
    healthy, seized = (solved(one, {"key": "run"}).current("fan") for one in (FAN, stuck))
    assert seized > 2 * healthy


def test_a_short_behind_a_fuse_blows_it() -> None:
    shorted = with_fault(FAN, fault(FaultKind.EARTH, "h"))
    assert solved(shorted, {"key": "run"}).blown == {"fuse"}
    assert not solved(shorted, {"key": "off"}).blown


def test_a_joint_is_drawn_as_often_below_as_above_its_middle_on_a_scale_of_tens() -> None:
    joint = fault(FaultKind.HIGH, "feed wire", size=(1.0, 100.0))
    sizes = []
    for draw in (0.0, 0.25, 0.5, 0.75, 1.0):
        part = with_fault(FAN, joint, draw).parts["it at feed wire"]
        sizes.append(part.ohm)  # type: ignore[attr-defined]
    assert sizes == pytest.approx([1, math.sqrt(10), 10, 10 * math.sqrt(10), 100])
    other = fault(FaultKind.WRONG, "control", size=(1e3, 3e3))
    assert with_fault(FAN, other, 0.5).parts["control"].ohm == 2e3  # type: ignore[attr-defined]
    with pytest.raises(ValueError, match="from 0 to 1"):
        with_fault(FAN, joint, 1.5)


@pytest.mark.parametrize(
    ("what", "message"),
    [
        (fault(FaultKind.OPEN, "feed wyre"), "there is no part 'feed wyre'"),
        (fault(FaultKind.OPEN, "fuse", terminal="wiper"), "'fuse' has no terminal 'wiper'; use"),
        (fault(FaultKind.SEIZED, "fuse"), "a fuse cannot be seized; name another part"),
        (fault(FaultKind.BLOWN, "fan"), "a motor cannot be blown"),
        (fault(FaultKind.DEAD, "fan"), "a motor cannot be dead"),
        (fault(FaultKind.WEAK, "fan"), "a motor cannot be weak"),
        (fault(FaultKind.STUCK, "fan"), "a motor cannot be stuck"),
        (fault(FaultKind.WRONG, "fuse", size=(1.0, 2.0)), "a fuse has no value that can be wrong"),
        (fault(FaultKind.EARTH, "control"), "'control' is joined to '0' anyway"),
        (fault(FaultKind.EARTH, "nowhere"), "there is no part 'nowhere'"),
        (fault(FaultKind.MIXED, "socket", pins=("c", "m")), "there is no plug 'socket'"),
        (fault(FaultKind.MIXED, "plug", pins=("c", "x")), "'plug' has no pin 'x'; use c, m"),
        (fault(FaultKind.MIXED, "plug", pins=("c", "c")), "cannot change places with itself"),
    ],
)
def test_a_fault_that_does_not_fit_is_refused(what: CircuitFault, message: str) -> None:
    with pytest.raises(CircuitError, match=message) as refused:
        with_fault(FAN, what)
    assert refused.value.remedy


def test_a_fault_checks_itself() -> None:
    with pytest.raises(CircuitError, match="the smaller value first"):
        fault(FaultKind.HIGH, "fuse", size=(5.0, 1.0))
    with pytest.raises(CircuitError, match="never occurs"):
        fault(FaultKind.HIGH, "fuse", likely=0.0)


def test_tolerances_are_drawn_alike_from_the_same_seed_and_stay_in_their_bounds() -> None:
    def ohms(seed: int, many: int) -> list[float]:
        rng = np.random.default_rng(seed)
        parts = [drawn(FAN, rng).parts["feed wire"] for _ in range(many)]
        return [part.ohm for part in parts]  # type: ignore[attr-defined]

    assert ohms(7, 5) == ohms(7, 5) != ohms(8, 5)
    many = ohms(1, 300)
    assert 0.018 <= min(many) < 0.0185
    assert 0.0215 < max(many) <= 0.022
    assert np.mean(many) == pytest.approx(0.02, rel=0.01)
    other = drawn(FAN, np.random.default_rng(1)).parts["control"]
    assert other == FAN.parts["control"]


def test_a_tolerance_scales_a_value_in_every_state_alike() -> None:
    sensor = res("sensor", "a", "0", ByState("air", {"cold": 100.0, "warm": 10.0}), tolerance=0.2)
    off = drawn(circuit(bat("b", "a", "0", 1.0), sensor), np.random.default_rng(3))
    value = off.parts["sensor"].ohm  # type: ignore[attr-defined]
    assert value.table["cold"] == pytest.approx(10 * value.table["warm"])
    assert value.table["cold"] != 100.0


def test_the_worse_a_joint_the_less_comes_through() -> None:
    joint = fault(FaultKind.HIGH, "feed wire", size=(0.1, 1000.0))
    found = [volts(with_fault(FAN, joint, i / 10), "h") for i in range(11)]
    assert all(after < before for before, after in pairwise(found))


def test_each_part_usually_fails_as_parts_of_its_kind_do() -> None:
    """A wire breaks and corrodes, a contact sticks as well, a load opens and shorts."""
    parts = circuit(
        bat("battery", "a", "0", 12.0), switch("key", "a", "b", key="run"),
        replace(res("wire", "b", "c", 0.1), sort="wire"), res("load", "c", "0", 6.0),
        relay("horn relay", ("c", "0"), "a"), module("module", "a", "0", "c", "d"),
        res("behind", PLUG.behind("d"), "0", 1.0),
    )  # fmt: skip
    told: dict[str, list[tuple[object, ...]]] = {}
    for one in usual_faults(parts):
        more = one.terminal or one.size or one.stuck_closed
        told.setdefault(one.target, []).append((one.kind, more))
        place = f"{one.terminal} of {one.target}" if one.terminal else one.target
        assert one.name == f"{one.kind} at {place}"
        if one.target not in {"a", "0"}:
            with_fault(parts, one)
    joints = [(FaultKind.HIGH, (ohm, ohm)) for ohm in (0.3, 3.0, 50.0)]
    stuck = [(FaultKind.STUCK, False), (FaultKind.STUCK, True)]
    opened = (FaultKind.OPEN, False)
    assert "battery" not in told
    assert told["key"] == [opened, *joints, *stuck]
    assert told["wire"] == [opened, *joints]
    assert told["load"] == [opened, (FaultKind.SHORTED, False)]
    ends = [(FaultKind.OPEN, end) for end in ("pin-86", "pin-85", "pin-30")]
    assert told["horn relay"] == [*ends, *stuck]
    ends = [(FaultKind.OPEN, end) for end in ("feed", "earth", "command", "output")]
    assert told["module"] == [*ends, (FaultKind.DEAD, False)]
    assert told["a"] == [(FaultKind.EARTH, False), (FaultKind.SUPPLY, False)]
    assert not any("behind " in node for node in told)


@pytest.mark.parametrize("draw", [-0.01, 1.01])
def test_a_draw_is_a_share(draw: float) -> None:
    with pytest.raises(ValueError, match=rf"^a draw is from 0 to 1, not {draw}$"):
        with_fault(FAN, fault(FaultKind.OPEN, "feed wire"), draw)
    with_fault(FAN, fault(FaultKind.OPEN, "feed wire"), round(draw))


def test_without_a_supply_nothing_can_be_shorted_to_it() -> None:
    with pytest.raises(CircuitError) as refused:
        with_fault(replace(FAN, supply=""), fault(FaultKind.SUPPLY, "c"))
    assert str(refused.value) == "this circuit has no supply to be shorted to; add a battery"


def test_a_battery_that_goes_by_a_condition_is_weak_by_what_is_told_alone() -> None:
    charged = replace(bat("battery", "a", "0", 12.6, 0.01), volt=ByState("key", {"run": 12.6}))
    parts = FAN.with_parts(charged)
    weak = with_fault(parts, fault(FaultKind.WEAK, "battery", size=(9.0, 10.0))).parts["battery"]
    assert (weak.volt, weak.ohm) == (9.5, pytest.approx(0.1))  # type: ignore[attr-defined]
    with pytest.raises(CircuitError) as refused:
        with_fault(parts, fault(FaultKind.WEAK, "battery"))
    assert str(refused.value) == "'it' does not give its voltage; add 'value:'"


def test_a_weak_battery_has_lost_some_of_its_voltage_and_ten_times_its_inner_resistance() -> None:
    """From 88 to 94 percent of 12.6 V: common practice, no source."""
    for draw, volt in ((0.0, 0.88 * 12.6), (1.0, 0.94 * 12.6)):
        weak = with_fault(FAN, fault(FaultKind.WEAK, "battery"), draw).parts["battery"]
        assert weak.volt == pytest.approx(volt)  # type: ignore[attr-defined]
        assert weak.ohm == pytest.approx(0.1)  # type: ignore[attr-defined]


def test_what_a_fault_puts_in_is_named_by_it_and_stands_where_it_should() -> None:
    opened = with_fault(FAN, fault(FaultKind.OPEN, "feed wire")).parts
    assert opened["feed wire"].terminals == {"from": "from inside feed wire", "to": "h"}
    joint = opened["it at feed wire"]
    assert joint.terminals == {"from": "g", "to": "from inside feed wire"}
    assert (joint.kind, joint.ohm) == ("joint", math.inf)  # type: ignore[attr-defined]
    shorted = with_fault(FAN, fault(FaultKind.EARTH, "c", size=(1.0, 1.0))).parts["it at c"]
    assert shorted.terminals == {"from": "c", "to": "0"}
    assert (shorted.kind, shorted.ohm) == ("leak", pytest.approx(1))  # type: ignore[attr-defined]
    across = with_fault(FAN, fault(FaultKind.SHORTED, "fan")).parts["it at fan"]
    assert across.terminals == {"from": "m", "to": "e"}
