"""Two faults at once: is one of them named, and is no good part condemned?

Where the finding lets the job go on once it is put right, the walk goes on too, with the other
fault still there.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import combinations

from voiceassist.procedure.model import Procedure
from voiceassist.prove.cases import Case
from voiceassist.prove.outcome import good_part, has_hidden
from voiceassist.prove.repairing import Repair
from voiceassist.prove.stray import Stray, stray_of
from voiceassist.prove.walk import Walk
from voiceassist.session.outcomes import REPAIRED


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
        first: the finding that was put right before; empty for none.
        part: the good part that was condemned; empty for none.
        stray: where it went astray.
    """

    faults: tuple[str, ...]
    finding: str
    part: str
    stray: Stray
    first: str = ""


@dataclass(frozen=True, slots=True)
class Pairs:
    """What became of the faults two by two.

    Parts:
        walks: made.
        ends: by how they ended.
        after: those that went on after the first finding was put right, by how they ended then.
        condemned: each pair at which a good part was condemned.
        no_fault: each pair that ended as if nothing were wrong.
    """

    walks: int
    ends: Counter[PairEnd]
    after: Counter[PairEnd]
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


def onward_of(procedure: Procedure, walks: Iterable[tuple[Case, Walk]]) -> Iterator[Case]:
    """The pairs whose finding lets the job go on, with that put right."""
    for case, walk in walks:
        named = {name for fault in case.faults for name in procedure.faults[fault].found_as}
        if walk.finding in named and procedure.findings[walk.finding].go_on:
            yield replace(case, repair=Repair.MENDED)


def pairs_of(
    procedure: Procedure,
    walks: Sequence[tuple[Case, Walk]],
    onward: Iterable[tuple[Case, Walk]] = (),
) -> Pairs:
    """Count ``walks``, and those that went ``onward``."""
    ended = [_Ended(case, case, walk, end_of(procedure, case, walk)) for case, walk in walks]
    after = [one for case, walk in onward for one in _went_on(procedure, case, walk)]
    every = [*ended, *after]
    return Pairs(
        walks=len(walks),
        ends=Counter(one.end for one in ended),
        after=Counter(one.end for one in after),
        condemned=tuple(_pairs(procedure, every, PairEnd.CONDEMNED)),
        no_fault=tuple(_pairs(procedure, every, PairEnd.NO_FAULT)),
    )


@dataclass(frozen=True, slots=True)
class _Ended:
    """A pair, what is left of it, its walk, how that ended, and the finding put right before."""

    pair: Case
    left: Case
    walk: Walk
    end: PairEnd
    first: str = ""


def _went_on(procedure: Procedure, case: Case, walk: Walk) -> Iterator[_Ended]:
    """Nothing when it did not go on, or both faults were put right at once."""
    then = walk.after.then if walk.after is not None else None
    left = [name for name in case.faults if walk.finding not in procedure.faults[name].found_as]
    if walk.after is None or then is None or len(left) != 1:
        return
    alone = Case(left[0], case.number, case.of)
    end = end_of(procedure, alone, then)
    if walk.after.ending == REPAIRED:  # nothing else was found, so the first finding stands
        end = PairEnd.NO_FAULT if then.has_shown else PairEnd.OPEN
    yield _Ended(case, alone, then, end, walk.finding)


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


def _pairs(procedure: Procedure, ended: Iterable[_Ended], wanted: PairEnd) -> Iterator[Pair]:
    for one in ended:
        if one.end is wanted:
            finding = one.walk.finding
            part = good_part(procedure, one.left.faults, finding)
            yield Pair(one.pair.faults, finding, part, stray_of(one.walk), one.first)
