"""Latches and timers from one moment to the next, and faults that come and go.

ngspice solves the same circuits in time, with its own switches, charges and integrators.
"""

from collections import Counter

import numpy as np
import pytest
from circuit.small_circuits import bat, circuit, ends, res, switch
from circuit.spice import NGSPICE, volts_in_time

from voiceassist.circuit.comes import Comes
from voiceassist.circuit.faults import CircuitFault, FaultKind
from voiceassist.circuit.lasting import lasting, passed, remembering, timers
from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import Fuse, Latch, Switch
from voiceassist.circuit.solve import solved
from voiceassist.errors import CircuitError

needs_ngspice = pytest.mark.skipif(NGSPICE is None, reason="the Debian package ngspice is missing")

GUARDED = circuit(
    bat("battery", "plus", "0", 12.6, 0.02),
    switch("key", "plus", "feed", key="on"),
    Latch(name="latch", terminals=ends("feed", "out"), ampere=8.0, ohm=0.005),
    res("lamp", "out", "0", 6.0),
    switch("plug", "out", "extra", extra="in"),
    res("extra", "extra", "0", 1.0),
)
ON, MORE, OFF = (
    {"key": "on", "extra": "out"},
    {"key": "on", "extra": "in"},
    {"key": "off", "extra": "out"},
)


def out_after(found: Circuit, *states: dict[str, str]) -> tuple[Circuit, list[float]]:
    """The circuit after it was in ``states``, and the voltage of "out" in each."""
    volts = []
    for one in states:
        found = lasting(found, one)
        volts.append(solved(found, one).voltage("out"))
    return found, volts


def test_a_latch_stays_open_after_the_overload_is_gone_until_its_feed_was_taken_away() -> None:
    _, volts = out_after(GUARDED, ON, MORE, ON, OFF, ON)
    good = 12.6 * 6.0 / (6.0 + 0.02 + 0.001 + 0.005)
    assert volts == pytest.approx([good, 0.0, 0.0, 0.0, good], abs=1e-6)


def test_a_latch_that_was_never_overloaded_is_as_it_was() -> None:
    assert out_after(GUARDED, ON, OFF, ON)[0] is GUARDED


@needs_ngspice
def test_a_latch_agrees_with_a_switch_that_a_charge_holds_open() -> None:
    """The overload is there from the 4th to the 6th second, and the feed away from 10 to 12 s.

    A node is charged by 1 V in a millisecond while more than 8 A flow, which opens a switch, and
    it is discharged while less than 1 V is left at the feed.
    """
    lines = [
        "V1 plus 0 12.6",
        "R1 plus k 0.02",
        "Vkey ck 0 pwl(0 1 10 1 10.001 0 12 0 12.001 1)",
        "Skey k sense ck 0 KEY",
        "Vs sense feed 0",
        "Slatch feed out st 0 LATCH",
        "Rlamp out 0 6",
        "Vplug cp 0 pwl(0 0 4 0 4.001 1 6 1 6.001 0)",
        "Splug out extra cp 0 KEY",
        "Rextra extra 0 1",
        "Rleak feed 0 1e5",
        "Cst st 0 1u",
        "Bst 0 st I=(abs(i(Vs))>8 ? 1m : ((v(feed)<1 && v(st)>0) ? -1m : 0))",
        ".model KEY SW(vt=0.5 vh=0 ron=0.001 roff=1e9)",
        ".model LATCH SW(vt=0.5 vh=0.1 ron=1e9 roff=0.005)",
        ".ic v(st)=0",
    ]
    theirs = volts_in_time(lines, "out", [3.0, 5.0, 8.0, 11.0, 14.0])
    _, ours = out_after(GUARDED, ON, MORE, ON, OFF, ON)
    assert ours == pytest.approx(theirs, rel=1e-4, abs=1e-4)


TIMED = circuit(
    bat("battery", "plus", "0", 12.6, 0.02),
    Switch(
        name="timer",
        terminals=ends("plus", "out"),
        closed_when={"button": frozenset(["pressed"])},
        ohm=0.001,
        lapses_s=5.0,
    ),
    res("heater", "out", "0", 2.0),
)
PRESSED, FREE = {"button": "pressed"}, {"button": "free"}


def timed(*spans: tuple[dict[str, str], float]) -> list[float]:
    """The voltage of "out" at the end of each span of time."""
    found, volts = TIMED, []
    for states, seconds in spans:
        found = passed(found, states, seconds)
        volts.append(solved(found, states).voltage("out"))
    return volts


def test_a_timer_lapses_and_begins_anew_when_its_condition_was_left() -> None:
    good = 12.6 * 2.0 / 2.021
    spans = [(FREE, 1.0), (PRESSED, 2.0), (PRESSED, 4.0), (FREE, 0.5), (PRESSED, 2.0)]
    assert timed(*spans) == pytest.approx([0.0, good, 0.0, 0.0, good], abs=1e-6)


@needs_ngspice
def test_a_timer_agrees_with_a_switch_that_an_integrator_opens() -> None:
    """Pressed from 1 to 9 s and from 10 s on; a node rises by 1 V a second meanwhile."""
    lines = [
        "V1 plus 0 12.6",
        "R1 plus k 0.02",
        "Vc c 0 pwl(0 0 1 0 1.001 1 9 1 9.001 0 10 0 10.001 1)",
        "Sb k m c 0 KEY",
        "Rm m 0 1e9",
        "St m out tm 0 LAPSE",
        "Rheater out 0 2",
        "Ct tm 0 1u",
        "Bt 0 tm I=(v(c)>0.5 ? 1u : (v(tm)>0 ? -1m : 0))",
        ".model KEY SW(vt=0.5 vh=0 ron=0.001 roff=1e9)",
        ".model LAPSE SW(vt=5 vh=0 ron=1e9 roff=1e-6)",
        ".ic v(tm)=0",
    ]
    theirs = volts_in_time(lines, "out", [0.5, 3.0, 8.0, 9.5, 12.0, 18.0])
    ours = timed(
        (FREE, 0.5), (PRESSED, 2.0), (PRESSED, 5.0), (FREE, 1.5), (PRESSED, 2.0), (PRESSED, 6.0)
    )
    assert ours == pytest.approx(theirs, rel=1e-4, abs=1e-4)


def test_time_leaves_a_circuit_without_timers_alone() -> None:
    assert passed(GUARDED, ON, 100.0) is GUARDED
    assert list(timers(GUARDED)) == []


def test_what_a_circuit_kept_is_kept_when_a_fault_comes_into_it() -> None:
    fuse = Fuse(name="fuse", terminals=ends("plus", "out"), ampere=5.0, ohm=0.01)
    good = circuit(bat("battery", "plus", "0", 12.6), fuse, res("lamp", "out", "0", 6.0))
    shorted = good.with_parts(res("short", "out", "0", 0.01))
    after = remembering(good, lasting(shorted, {}))
    assert isinstance(after.parts["fuse"], Fuse)
    assert after.parts["fuse"].blown
    assert remembering(good, good) is good


def test_a_latch_and_a_timer_that_cannot_be_are_refused() -> None:
    with pytest.raises(CircuitError, match="above zero"):
        Latch(name="latch", terminals=ends("a", "b"), ampere=0.0, ohm=0.1)
    with pytest.raises(CircuitError, match="above zero"):
        Switch(name="t", terminals=ends("a", "b"), closed_when={}, ohm=0.1, lapses_s=0.0)


# --- faults that come and go ---


def test_the_second_in_which_a_fault_first_shows_has_a_geometric_distribution() -> None:
    """P(first in second n) = p (1 - p)^(n - 1), of mean 1 / p and variance (1 - p) / p²."""
    chance, many = 0.3, 20_000
    comes = Comes(chance=chance)
    rng = np.random.default_rng(4)
    first = []
    for _ in range(many):
        second = 1
        while not comes.is_there({}, float(rng.uniform())):
            second += 1
        first.append(second)
    spread = (1 - chance) ** 0.5 / chance
    assert np.mean(first) == pytest.approx(1 / chance, abs=4 * spread / many**0.5)
    count = Counter(first)
    for n in range(1, 8):
        share = chance * (1 - chance) ** (n - 1)
        assert count[n] / many == pytest.approx(share, abs=4 * (share / many) ** 0.5)


def test_a_fault_is_there_only_in_the_states_it_comes_in() -> None:
    comes = Comes(when={"harness": frozenset(["moved"])}, chance=0.5)
    assert comes.is_there({"harness": "moved"}, 0.49)
    assert not comes.is_there({"harness": "moved"}, 0.51)
    # missed three times in a row, at even odds: once in eight
    assert comes.shows_within({"harness": "moved"}, 3) == pytest.approx(7 / 8)
    assert comes.shows_within({"harness": "still"}, 3) == 0
    assert not comes.is_there({"harness": "still"}, 0.0)
    assert not comes.is_there({}, 0.0)


@pytest.mark.parametrize("chance", [0.0, 1.2])
def test_a_chance_that_cannot_be_is_refused(chance: float) -> None:
    with pytest.raises(CircuitError, match="in a second cannot be"):
        Comes(chance=chance)


def test_a_blown_fuse_does_not_come_and_go() -> None:
    with pytest.raises(CircuitError, match="a blown fuse stays blown"):
        CircuitFault("gone", FaultKind.BLOWN, "fuse", comes=Comes(chance=0.5))
