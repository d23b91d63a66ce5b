"""Two faults at once: is one of them named, and is no good part condemned?"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations

from voiceassist.procedure.model import Procedure
from voiceassist.prove.cases import Case
from voiceassist.prove.outcome import good_part, has_hidden
from voiceassist.prove.stray import Stray, stray_of
from voiceassist.prove.walk import Walk


class PairEnd(StrEnum):
    """How a walk with two faults ended.

    NAMED: at a finding that names one of them.
    THIRD: at another finding that condemns no good part.
    CONDEMNED: at one that condemns a good part.
    NO_FAULT: at one that says that nothing is wrong.
    OPEN: at none, or at one that is not proved, since a step was left out.
    """

    NAMED = "named"
    THIRD = "third"
    CONDEMNED = "condemned"
    NO_FAULT = "no fault"
    OPEN = "open"


@dataclass(frozen=True, slots=True)
class Pair:
    """Two faults whose walk went astray.

    Parts:
        faults: the two.
        finding: it came to.
        part: the good part that was condemned; empty for none.
        stray: where it went astray.
    """

    faults: tuple[str, ...]
    finding: str
    part: str
    stray: Stray


@dataclass(frozen=True, slots=True)
class Pairs:
    """What became of the faults two by two.

    Parts:
        walks: made.
        ends: by how they ended.
        condemned: each pair at which a good part was condemned.
        no_fault: each pair that ended as if nothing were wrong.
    """

    walks: int
    ends: Counter[PairEnd]
    condemned: tuple[Pair, ...]
    no_fault: tuple[Pair, ...]


def cases_of(procedure: Procedure, share: float) -> Iterator[Case]:
    """Every pair of faults in two parts, or so large an even ``share`` of them."""
    faults = procedure.faults
    every = [(a, b) for a, b in combinations(faults, 2) if faults[a].target != faults[b].target]
    many = round(len(every) * min(share, 1.0))
    for i in range(many):
        a, b = every[i * len(every) // many]
        yield Case(a, 0, 1, also=b)


def pairs_of(procedure: Procedure, walks: Sequence[tuple[Case, Walk]]) -> Pairs:
    """Count ``walks``."""
    ended = [(case, walk, end_of(procedure, case, walk)) for case, walk in walks]
    return Pairs(
        walks=len(walks),
        ends=Counter(end for _, _, end in ended),
        condemned=tuple(_pairs(procedure, ended, PairEnd.CONDEMNED)),
        no_fault=tuple(_pairs(procedure, ended, PairEnd.NO_FAULT)),
    )


def end_of(procedure: Procedure, case: Case, walk: Walk) -> PairEnd:
    """How the ``walk`` of ``case`` ended."""
    if not walk.finding:
        return PairEnd.OPEN
    named = {name for fault in case.faults for name in procedure.faults[fault].found_as}
    if walk.finding in named:
        return PairEnd.NAMED
    all_come_and_go = all(procedure.faults[name].comes for name in case.faults)
    if walk.skipped or (all_come_and_go and has_hidden(procedure, walk)):
        return PairEnd.OPEN
    if good_part(procedure, case.faults, walk.finding):
        return PairEnd.CONDEMNED
    return PairEnd.NO_FAULT if procedure.findings[walk.finding].no_fault else PairEnd.THIRD


def _pairs(
    procedure: Procedure, ended: Iterable[tuple[Case, Walk, PairEnd]], wanted: PairEnd
) -> Iterator[Pair]:
    for case, walk, end in ended:
        if end is wanted:
            part = good_part(procedure, case.faults, walk.finding)
            yield Pair(case.faults, walk.finding, part, stray_of(walk))
