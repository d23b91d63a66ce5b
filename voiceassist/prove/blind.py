"""Sizes of a fault at which it is felt and not found, and what it is called there."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from voiceassist.circuit.faults import CircuitFault, FaultKind
from voiceassist.circuit.model import Circuit
from voiceassist.procedure.model import Procedure
from voiceassist.prove.cases import Case
from voiceassist.prove.effect import Effect
from voiceassist.prove.outcome import Outcome, good_part, has_hidden, outcome_of
from voiceassist.prove.sizes import Range, range_of
from voiceassist.prove.stray import Stray, stray_of
from voiceassist.prove.walk import Walk

#: Walks of each size where a fault is drawn so often as usual.
DRAWS_A_SIZE = 3


@dataclass(frozen=True, slots=True)
class BlindRange:
    """Sizes of one fault, one beside the other, at none of which it is always found.

    Parts:
        least, most: in the unit of the fault.
        walks: made there.
        findings: what it was called, by how often; "" where nothing was found.
        condemned: where a good part was condemned: the part, where it went astray, how often.
    """

    least: float
    most: float
    walks: int
    findings: Mapping[str, int]
    condemned: tuple[tuple[str, Stray, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Blind:
    """A fault that is not found over its whole range.

    Parts:
        fault: its name.
        unit: of its sizes.
        stretches: where it is not found, by rising size.
    """

    fault: str
    unit: str
    stretches: tuple[BlindRange, ...]


_UNITS = {"volt": "V", "watt": "W", "ampere": "A"}


def sizes(
    procedure: Procedure, circuit: Circuit, done: Iterable[tuple[Case, Walk]]
) -> dict[str, Range]:
    """Each fault with a size to the sizes that its file does not tell.

    Args:
        procedure: with its faults.
        circuit: its circuit.
        done: the walks of the proof; a fault is felt in the states that they came to.
    """
    states = dict.fromkeys(state for _, walk in done for _, state in walk.read_in)
    effect = Effect(circuit, map(dict, states))
    found = {}
    for name, fault in procedure.faults.items():
        its = range_of(circuit, fault, effect)
        if its is not None:
            found[name] = its
    return found


def cases_of(ranges: Mapping[str, Range], draws: int) -> Iterator[Case]:
    """``draws`` walks of each size."""
    for fault, its in ranges.items():
        for size in (*its.mild, *its.beyond):
            for number in range(draws):
                yield Case(fault, number, draws, size=size)


def blind_of(procedure: Procedure, walks: Iterable[tuple[Case, Walk]]) -> tuple[Blind, ...]:
    """The faults that are not always found."""
    by_fault: dict[str, dict[float, list[Walk]]] = {}
    for case, walk in walks:
        assert case.size is not None
        by_fault.setdefault(case.fault, {}).setdefault(case.size, []).append(walk)
    found = (_blind(procedure, fault, sized) for fault, sized in by_fault.items())
    return tuple(one for one in found if one.stretches)


def _blind(procedure: Procedure, name: str, sized: Mapping[float, Sequence[Walk]]) -> Blind:
    fault = procedure.faults[name]
    runs: list[list[float]] = []
    was_found = True
    for size in sorted(sized):
        if all(_is_found(procedure, name, walk) for walk in sized[size]):
            was_found = True
            continue
        if was_found:
            runs.append([])
        runs[-1].append(size)
        was_found = False
    stretches = tuple(_stretch(procedure, name, run, sized) for run in runs)
    return Blind(name, unit_of(procedure, fault), stretches)


def _is_found(procedure: Procedure, fault: str, walk: Walk) -> bool:
    """Whether it was, or did not show, whatever its size."""
    is_found = outcome_of(procedure, fault, walk) is Outcome.FOUND
    return is_found or has_hidden(procedure, walk)


def unit_of(procedure: Procedure, fault: CircuitFault) -> str:
    """The unit that the sizes of ``fault`` are in."""
    if fault.kind is FaultKind.WEAK:
        return "V"
    if fault.kind is not FaultKind.WRONG or procedure.circuit is None:
        return "Ω"
    return _UNITS.get(procedure.circuit.part(fault.target).MAIN, "Ω")


def _stretch(
    procedure: Procedure, fault: str, run: Sequence[float], sized: Mapping[float, Sequence[Walk]]
) -> BlindRange:
    walks = [walk for size in run for walk in sized[size]]
    return BlindRange(
        least=run[0],
        most=run[-1],
        walks=len(walks),
        findings=dict(Counter(walk.finding for walk in walks).most_common()),
        condemned=condemned_in(procedure, (fault,), walks),
    )


def condemned_in(
    procedure: Procedure, faults: Sequence[str], walks: Iterable[Walk]
) -> tuple[tuple[str, Stray, int], ...]:
    """Good parts that ``walks`` on vehicles with ``faults`` condemn, where and how often."""
    count: Counter[tuple[str, Stray]] = Counter()
    for walk in walks:
        part = "" if walk.skipped else good_part(procedure, faults, walk.finding)
        if part:
            count[part, stray_of(walk)] += 1
    return tuple((part, stray, many) for (part, stray), many in count.most_common())
