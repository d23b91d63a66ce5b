"""Limits that contradict each other: the same reading is good at one step and bad at another.

Two steps read the same when they are held to the circuit in the same state and a good vehicle shows
the same at both, as at two ends of a wire; where something lapses in between, it does not. Then a
reading that one of them passes and that lies beyond the other's limit is called good in one breath
and bad in the next.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from voiceassist.circuit.probe import shown
from voiceassist.errors import CircuitError
from voiceassist.procedure.model import HIGH, LOW, PASS, Procedure
from voiceassist.prove.cases import GOOD, Case
from voiceassist.prove.limits import based, within
from voiceassist.prove.vehicle import States
from voiceassist.prove.walk import Compared, Walk

#: Readings on a good vehicle that differ by no more than this share are the same.
_SAME = 0.02


@dataclass(frozen=True, slots=True)
class Contrary:
    """A reading that is good at one step and bad at another that reads the same.

    Parts:
        passes, fails: the two steps.
        side: LOW or HIGH, as the second has it.
        reading: that the first passes.
        fault: with which that was seen.
    """

    passes: str
    fails: str
    side: str
    reading: str
    fault: str


def contraries(procedure: Procedure, walks: Sequence[tuple[Case, Walk]]) -> tuple[Contrary, ...]:
    """Each two steps once."""
    good = [walk for case, walk in walks if case.fault == GOOD]
    found: dict[tuple[str, str], Contrary] = {}
    same: dict[tuple[str, str, States], bool] = {}
    for case, walk in walks:
        states = dict(walk.read_in)
        for one, other in _both(walk):
            names = (one.step, other.step)
            if names in found or one.step not in states:
                continue
            state = states[one.step]
            if states.get(other.step) != state:
                continue
            if (*names, state) not in same:
                shown_so = _reads_the_same(procedure, names, state)
                same[*names, state] = shown_so and not any(_reads_otherwise(w, names) for w in good)
            if same[*names, state]:
                found[names] = Contrary(*names, other.verdict, one.reading, case.fault)
    return tuple(found.values())


def _both(walk: Walk) -> Iterator[tuple[Compared, Compared]]:
    """A reading that passed and lies beyond the very end that another one fell beyond."""
    passed = [seen for seen in walk.compared if seen.verdict == PASS]
    for failed in (seen for seen in walk.compared if seen.verdict in {LOW, HIGH}):
        for seen in passed:
            if seen.step != failed.step and _is_beyond(seen.reading, failed):
                yield seen, failed


def _is_beyond(reading: str, failed: Compared) -> bool:
    end = failed.low if failed.verdict == LOW else failed.high
    gap = within(reading, end, failed.verdict)
    return gap is not None and gap[0] < 0


def _reads_the_same(procedure: Procedure, names: tuple[str, str], state: States) -> bool:
    """Whether a good vehicle in ``state`` shows the same at both steps."""
    circuit = procedure.circuit
    assert circuit is not None
    states: Mapping[str, str] = dict(state)
    values = []
    for name in names:
        try:
            value = shown(circuit, states, circuit.probes[name]).value
        except CircuitError:
            return False
        if value is None:
            return False
        values.append(float(value.in_base))
    return _is_same(*values)


def _reads_otherwise(walk: Walk, names: tuple[str, str]) -> bool:
    """Whether both steps were read on ``walk``, and not alike."""
    read = {seen.step: based(seen.reading) for seen in walk.compared}
    one, other = (read.get(name) for name in names)
    return one is not None and other is not None and not _is_same(one[0], other[0])


def _is_same(one: float, other: float) -> bool:
    return abs(one - other) <= _SAME * max(abs(one), abs(other))
