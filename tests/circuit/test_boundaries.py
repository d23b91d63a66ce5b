"""Where a part changes: a fuse that blows, a relay that pulls, what a meter still shows."""

from dataclasses import replace

import pytest
from circuit.small_circuits import bat, circuit, relay, res

from voiceassist.circuit.comes import Comes
from voiceassist.circuit.model import Circuit, Instruments, Probe, Shows
from voiceassist.circuit.parts import Fuse, Latch
from voiceassist.circuit.probe import quantity, shown
from voiceassist.circuit.solve import solved
from voiceassist.errors import CircuitError


def fused(load_ampere: float) -> Circuit:
    """A load behind a 10 A fuse of hardly any resistance."""
    fuse = Fuse(name="F", terminals={"from": "a", "to": "f"}, ampere=10.0, ohm=1e-6)
    return circuit(bat("battery", "a", "0", 12.0), fuse, res("load", "f", "0", 12.0 / load_ampere))


@pytest.mark.parametrize(("ampere", "blown"), [(13.4, False), (13.6, True)])
def test_a_fuse_blows_above_135_percent_of_its_rating(ampere: float, blown: bool) -> None:
    """Within ten minutes at 135 % (ISO 8820-3, not checked against the text)."""
    assert (solved(fused(ampere), {}).blown == {"F"}) is blown


@pytest.mark.parametrize(("volt", "opens"), [(8.0, False), (8.25, True)])
def test_a_latch_opens_above_its_current_and_not_at_it(volt: float, opens: bool) -> None:
    """One ohm in all; every figure is whole in binary."""
    latch = Latch(name="L", terminals={"from": "a", "to": "b"}, ampere=8.0, ohm=0.5)
    parts = circuit(bat("battery", "a", "0", volt), latch, res("load", "b", "0", 0.5))
    assert (solved(parts, {}).blown == {"L"}) is opens


@pytest.mark.parametrize(("volt", "pulls"), [(6.99, False), (7.0, True)])
def test_a_relay_pulls_from_its_voltage_on(volt: float, pulls: bool) -> None:
    parts = circuit(
        bat("battery", "a", "0", volt), relay("K", ("a", "0"), "a", make="m"), res("r", "m", "0", 9)
    )
    assert bool(solved(parts, {}).pulled) is pulls


@pytest.mark.parametrize(("ohm", "shown"), [(1e-8, "1E-8"), (9e-10, "0")])
def test_only_what_is_below_a_billionth_is_zero(ohm: float, shown: str) -> None:
    assert f"{quantity(ohm, 'resistance').value.normalize()}" == shown


@pytest.mark.parametrize(("ohm", "is_over"), [(59.9e6, False), (60.1e6, True)])
def test_an_ohmmeter_shows_up_to_its_top_and_over_range_above(ohm: float, is_over: bool) -> None:
    across = Probe(Shows.RESISTANCE, "a", "0")
    found = shown(circuit(res("r", "a", "0", ohm)), {}, across)
    assert found.over is is_over
    assert (found.value is None) is is_over
    if found.value is not None:
        assert float(found.value.in_base) == pytest.approx(ohm, rel=1e-4)


@pytest.mark.parametrize(("volt", "is_over"), [(10.0, False), (10.5, True)])
def test_a_meter_stands_a_current_up_to_its_limit(volt: float, is_over: bool) -> None:
    """Half an ohm of the load and half of the meter: every figure is whole in binary."""
    parts = replace(
        circuit(bat("battery", "a", "0", volt), res("load", "a", "0", 0.5)),
        instruments=Instruments(ammeter_ohm=0.5, ammeter_limit=10.0),
    )
    assert shown(parts, {}, Probe(Shows.CURRENT, through="load")).over is is_over


@pytest.mark.parametrize(("draw", "there"), [(0.0, True), (0.29, True), (0.3, False), (1.0, False)])
def test_a_fault_is_there_in_as_many_draws_as_its_chance_says(draw: float, there: bool) -> None:
    """Draws run from 0 to just below 1, so that of a hundred like ones thirty are below 0.3."""
    comes = Comes({"key": frozenset(["run"])}, 0.3)
    assert comes.is_there({"key": "run"}, draw) is there
    assert not comes.is_there({"key": "off"}, draw)
    assert comes.shows_within({"key": "run"}, 2) == pytest.approx(0.51)
    assert comes.shows_within({"key": "off"}, 2) == 0


@pytest.mark.parametrize("chance", [0.0, -0.1, 1.5])
def test_a_chance_that_cannot_be_is_told(chance: float) -> None:
    with pytest.raises(CircuitError) as refused:
        Comes({}, chance)
    told = f"a chance of {100 * chance:g} % in a second cannot be"
    assert str(refused.value) == f"{told}; give more than 0 %, and at most 100 %"


def test_an_ohmmeter_through_which_nothing_flows_shows_over_range() -> None:
    parts = circuit(res("one", "a", "b", 5.0), res("other", "c", "0", 5.0))
    assert shown(parts, {}, Probe(Shows.RESISTANCE, "a", "c")).over
