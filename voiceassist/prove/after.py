"""After the finding: a repair that was done must be provable, one that was not must fail."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from voiceassist.procedure.model import Finding, Procedure
from voiceassist.prove.cases import GOOD, Case
from voiceassist.prove.outcome import good_part, right_findings
from voiceassist.prove.repairing import Repair
from voiceassist.prove.vehicle import States
from voiceassist.prove.walk import Afterwards, Walk
from voiceassist.session.outcomes import REPAIRED

_Judge = Callable[[Case, Afterwards], bool]


@dataclass(frozen=True, slots=True)
class Ending:
    """A repair that ended as it should not.

    Parts:
        fault: in the vehicle.
        finding: that was right.
        step: where its proof failed or could not go on; empty for nowhere.
        why: what stopped it; empty for nothing.
        states: those of the vehicle when its proof failed, as far as they are not as at first.
        walks: so many ended so.
    """

    fault: str
    finding: str
    step: str
    why: str
    states: States
    walks: int


@dataclass(frozen=True, slots=True)
class After:
    """What became of the repairs.

    Parts:
        tried: findings whose repair was gone through and can be proved.
        unprovable: done repairs that were not proved.
        passed: repairs that were only told as done, and were proved.
        misled: a good part that was condemned when it was looked further after such a repair.
        unproved: findings of a fault that nothing proves the repair of.
        dead: repair steps that no walk came to.
    """

    tried: int
    unprovable: tuple[Ending, ...]
    passed: tuple[Ending, ...]
    misled: tuple[Ending, ...]
    unproved: tuple[str, ...]
    dead: tuple[str, ...]


def cases_of(procedure: Procedure, draws: int) -> Iterator[Case]:
    """Each fault with its repair done, undone and declined; a good vehicle to its end."""
    for number in range(draws):
        yield Case(GOOD, number, draws, repair=Repair.DECLINED)
        for fault in procedure.faults:
            for repair in Repair:
                yield Case(fault, number, draws, repair=repair)


def after_of(procedure: Procedure, walks: Sequence[tuple[Case, Walk]]) -> After:
    """Count ``walks``."""
    ended = [
        (case, walk.finding, walk.after)
        for case, walk in walks
        if walk.after is not None and walk.finding in right_findings(procedure, case.fault)
    ]
    proved = [end for end in ended if _is_tried(procedure.findings[end[1]])]
    done = {step for _, _, after in ended for step in after.did}
    named = {finding for case, finding, _ in ended if case.fault != GOOD}
    return After(
        tried=len({finding for _, finding, _ in proved}),
        unprovable=_counted(proved, _is_unprovable),
        passed=_counted(proved, _has_passed),
        misled=_counted(proved, lambda case, after: _has_misled(procedure, case, after)),
        unproved=tuple(
            name
            for name, finding in procedure.findings.items()
            if name in named and not _is_tried(finding) and finding.condemns
        ),
        dead=tuple(name for name in procedure.repairs if name not in done),
    )


def _is_tried(finding: Finding) -> bool:
    """True when something is read once it is put right."""
    return bool(finding.prove_with or finding.go_on)


def _is_unprovable(case: Case, after: Afterwards) -> bool:
    return case.repair is Repair.MENDED and (after.ending != REPAIRED or bool(after.failed))


def _has_passed(case: Case, after: Afterwards) -> bool:
    """A fault that comes and goes and did not show meanwhile cannot be told from one mended."""
    return case.repair is Repair.UNDONE and after.ending == REPAIRED and after.has_shown


def _has_misled(procedure: Procedure, case: Case, after: Afterwards) -> bool:
    later = case.repair is Repair.UNDONE and after.later
    return bool(later and good_part(procedure, case.faults, after.later))


def _counted(ended: Iterable[tuple[Case, str, Afterwards]], is_so: _Judge) -> tuple[Ending, ...]:
    count = Counter(
        (case.fault, finding, after.failed or after.at, after.trouble, after.failed_in)
        for case, finding, after in ended
        if is_so(case, after)
    )
    return tuple(Ending(*key, many) for key, many in count.most_common())
