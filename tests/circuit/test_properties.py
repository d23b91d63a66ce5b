"""What must hold for any network, whoever solves it."""

from collections import defaultdict
from collections.abc import Callable

import pytest
from circuit.small_circuits import (
    at_rest,
    bat,
    circuit,
    diode,
    lamp,
    module,
    motor,
    res,
)
from hypothesis import given, settings
from hypothesis import strategies as st

from voiceassist.circuit.laws import Fan, Filament, Friction, Junction
from voiceassist.circuit.parts import Battery, Part
from voiceassist.circuit.solve import Solution
from voiceassist.circuit.values import scaled

_NODES = ["0", "a", "b", "c", "d", "e"]
_pairs = st.sampled_from([(p, q) for p in _NODES for q in _NODES if p != q])
_ohms = st.floats(0.01, 1e5)
_volts = st.floats(0.5, 28)


@st.composite
def linear(draw: st.DrawFn) -> list[Part]:
    """Resistors that join all nodes, and two sources."""
    parts: list[Part] = [
        res(f"tree {node}", _NODES[i], node, draw(_ohms)) for i, node in enumerate(_NODES[1:])
    ]
    for i in range(draw(st.integers(1, 5))):
        parts.append(res(f"across {i}", *draw(_pairs), draw(_ohms)))
    for i in range(2):
        parts.append(bat(f"source {i}", *draw(_pairs), draw(_volts), draw(st.floats(0.01, 2))))
    return parts


@st.composite
def bent(draw: st.DrawFn) -> list[Part]:
    """The same with parts that are not linear."""
    parts = draw(linear())
    for i in range(draw(st.integers(1, 4))):
        makers: list[Callable[[str, str, str], Part]] = [lamp, diode, motor]
        parts.append(draw(st.sampled_from(makers))(f"bent {i}", *draw(_pairs)))
    return parts


def source(parts: list[Part], name: str, factor: float) -> list[Part]:
    """``parts`` with the voltage of the source ``name`` times ``factor``."""
    return [
        part.with_main(scaled(part.volt, factor))
        if isinstance(part, Battery) and part.name == name
        else part
        for part in parts
    ]


def sums(found: Solution) -> dict[str, float]:
    """Current from each node into all that is joined to it, with the size of the largest."""
    total: dict[str, float] = defaultdict(float)
    largest: dict[str, float] = defaultdict(float)
    for _, _, node, flow in found.flows():
        total[node] += flow
        largest[node] = max(largest[node], abs(flow))
    return {node: total[node] / max(largest[node], 1e-3) for node in total}


@settings(max_examples=60)
@given(parts=bent())
def test_as_much_current_leaves_a_node_as_comes_to_it(parts: list[Part]) -> None:
    assert max(map(abs, sums(at_rest(*parts)).values())) < 1e-6


@settings(max_examples=40)
@given(parts=bent())
def test_the_power_given_is_the_power_taken(parts: list[Part]) -> None:
    found = at_rest(*parts)
    powers = [found.power(part.name) for part in parts]
    assert sum(powers) == pytest.approx(0, abs=1e-6 * max(1.0, *map(abs, powers)))


@settings(max_examples=40)
@given(parts=linear())
def test_two_sources_do_together_what_they_do_alone(parts: list[Part]) -> None:
    both = at_rest(*parts)
    first = at_rest(*source(parts, "source 1", 0.0))
    second = at_rest(*source(parts, "source 0", 0.0))
    for node in _NODES:
        alone = first.voltage(node) + second.voltage(node)
        assert both.voltage(node) == pytest.approx(alone, rel=1e-6, abs=1e-6)


@settings(max_examples=40)
@given(parts=linear(), factor=st.floats(0.1, 10))
def test_all_answers_grow_with_the_sources(parts: list[Part], factor: float) -> None:
    once = at_rest(*parts)
    grown = at_rest(*source(source(parts, "source 0", factor), "source 1", factor))
    for node in _NODES:
        expected = once.voltage(node) * factor
        assert grown.voltage(node) == pytest.approx(expected, rel=1e-6, abs=1e-6)


@settings(max_examples=40)
@given(parts=linear(), one=_pairs, other=_pairs)
def test_source_and_ammeter_can_change_places(
    parts: list[Part], one: tuple[str, str], other: tuple[str, str]
) -> None:
    passive = [part for part in parts if not part.name.startswith("source")]

    def current(fed: tuple[str, str], read: tuple[str, str]) -> float:
        found = at_rest(*passive, bat("fed", *fed, 10.0, 1.0), bat("read", *read, 0.0, 1.0))
        return found.current("read")

    assert current(one, other) == pytest.approx(current(other, one), rel=1e-6, abs=1e-9)


@settings(max_examples=60)
@given(volt=st.floats(-40, 40))
@pytest.mark.parametrize(
    "law",
    [
        Filament(6.86, 12.0),
        Fan.rated(12.0, 7.0, 0.4),
        Friction.rated(12.0, 7.0, 0.4),
        Junction(1e-12, 1.5),
    ],
    ids=lambda law: type(law).__name__,
)
def test_a_law_tells_its_own_slope_and_never_falls(
    law: Filament | Fan | Friction | Junction, volt: float
) -> None:
    volt = min(volt, 1.2) if isinstance(law, Junction) else volt
    step = 1e-6
    (before, _), (at, slope), (after, _) = law(volt - step), law(volt), law(volt + step)
    assert before <= at <= after
    tangents = sorted(((at - before) / step, (after - at) / step))
    spare = 5e-3 * max(1.0, abs(slope)) + 1e-9 * abs(at) / step
    assert tangents[0] - spare <= slope <= tangents[1] + spare


def test_a_lamp_a_motor_and_a_module_meet_their_ratings() -> None:
    assert Filament(144 / 21, 12.0)(12.0)[0] == pytest.approx(21 / 12)
    assert Fan.rated(12.0, 7.0, 0.4)(12.0)[0] == pytest.approx(7.0)
    assert Friction.rated(12.0, 7.0, 0.4)(12.0)[0] == pytest.approx(7.0)
    # common practice: a filament lamp takes about the 0.54th power of its voltage in current
    at, above = Filament(6.86, 12.0)(12.0)[0], Filament(6.86, 12.0)(12.6)[0]
    assert above / at == pytest.approx(1.05**0.54, rel=2e-3)


def test_a_seized_motor_takes_what_its_winding_lets_through() -> None:
    parts = (bat("battery", "a", "0", 12.0), motor("fan", "a", "0", seized=True))
    assert at_rest(*parts).current("fan") == pytest.approx(12.0 / 0.4)


def test_a_cold_lamp_reads_a_tenth_of_its_hot_resistance() -> None:
    faint = at_rest(bat("battery", "a", "0", 1e-9), lamp("L", "a", "0"))
    assert 1e-9 / faint.current("L") == pytest.approx(0.1 * 144 / 21, rel=1e-3)


def test_a_steady_module_draws_what_it_passes_on() -> None:
    found = at_rest(
        bat("battery", "bat", "0", 12.6), bat("control", "c", "0", 6.0),
        module("M", "bat", "0", "c", "m"), res("load", "m", "0", 2.0),
    )  # fmt: skip
    assert found.current("M", "feed") == pytest.approx(found.current("load") + 12.6 / 1000)
    assert circuit(bat("b", "a", "0", 1.0)).nodes == ("a", "0")
