"""What the walks of a procedure show, counted."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from voiceassist.procedure.checks.flow import reached
from voiceassist.procedure.model import FAIL, HIGH, IN_DOUBT, LOW, PASS, Kind, Procedure, Step
from voiceassist.prove.cases import GOOD, Case
from voiceassist.prove.examine import Examined
from voiceassist.prove.outcome import Outcome, has_hidden, outcome_of
from voiceassist.prove.stray import Stray, stray_of
from voiceassist.prove.technician import Change
from voiceassist.prove.walk import Walk

#: The largest share of draws of a fault that may be called by a wrong name.
MOST_WRONG = 0.005


@dataclass(frozen=True, slots=True)
class FaultProof:
    """What became of one fault, or of the good vehicle (``fault`` is GOOD then).

    Parts:
        draws: walks made.
        found, wrong, unresolved: walks that ended so; together they are ``draws``.
        findings: finding to the walks that came to it; "" for those that came to none.
        strayed: the step whose outcome led astray, its outcome, what was read, and the finding
            or trouble it led to, with how many walks went so; the most frequent first.
        hidden: of those that are unresolved, walks in which the fault did not show.
        mean_steps: steps taken on the average.
        likely: how likely the fault is beside the others.
    """

    fault: str
    draws: int
    found: int
    wrong: int
    unresolved: int
    findings: Mapping[str, int]
    strayed: tuple[tuple[Stray, int], ...]
    mean_steps: float
    likely: float
    hidden: int = 0

    @property
    def outcome(self) -> Outcome:
        """WRONG from ``MOST_WRONG`` on (a good vehicle: once); UNRESOLVED when never found."""
        allowed = 0.0 if self.fault == GOOD else MOST_WRONG * self.draws
        if self.wrong > allowed:
            return Outcome.WRONG
        return Outcome.FOUND if self.found else Outcome.UNRESOLVED


@dataclass(frozen=True, slots=True)
class Forgotten:
    """What happens when one change to the vehicle is told as done, and is not.

    Parts:
        change: the step that asks for it, the condition and its state.
        walks: made.
        noticed: the session asked about the reading or about the very condition, or refused the
            reading, or the instrument showed it.
        harmless: not noticed, and the right finding all the same.
        misled: not noticed, and a wrong finding.
        open: not noticed, and no finding that is told as proved.
        findings: of the walks that were misled, by how many.
    """

    change: Change
    walks: int
    noticed: int
    harmless: int
    misled: int
    open: int
    findings: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Proof:
    """What was proved of a procedure.

    Parts:
        good: of vehicles without a fault.
        faults: of each fault, in the order of the file.
        paths: different paths taken.
        shortest_path, longest_path: in steps.
        mean_path: steps to the finding, weighed by how likely each fault is.
        unreached: steps of the diagnosis that no walk came to.
        unused: step and outcome of branches that no walk took.
        loops: steps that a walk came to more than once in the diagnosis.
        close: step to the share of its readings that were too close to call; those above 0 only.
        forgotten: of each change to the vehicle.
        examined: what was tried beyond the faults as they are told; None when nothing was.
    """

    good: FaultProof
    faults: tuple[FaultProof, ...]
    paths: int
    shortest_path: int
    longest_path: int
    mean_path: float
    unreached: tuple[str, ...]
    unused: tuple[tuple[str, str], ...]
    loops: tuple[str, ...]
    close: Mapping[str, float]
    forgotten: tuple[Forgotten, ...] = ()
    examined: Examined | None = None

    @property
    def settled(self) -> tuple[FaultProof, ...]:
        """The faults that were drawn less often, since their first draws settled them."""
        return tuple(each for each in self.faults if each.draws < self.good.draws)

    def many(self, outcome: Outcome) -> int:
        """How many faults ended so."""
        return sum(each.outcome is outcome for each in self.faults)


def proof_of(
    procedure: Procedure,
    walks: Sequence[tuple[Case, Walk]],
    forgotten: Sequence[tuple[Case, Walk]] = (),
    examined: Examined | None = None,
) -> Proof:
    """Count ``walks``; ``forgotten`` are those with a change left out."""
    by_fault: dict[str, list[Walk]] = {name: [] for name in (GOOD, *procedure.faults)}
    for case, walk in walks:
        by_fault[case.fault].append(walk)
    proofs = [_of_fault(procedure, fault, made) for fault, made in by_fault.items()]
    all_walks = [walk for _, walk in walks]
    paths = {walk.path for walk in all_walks}
    taken = Counter((t.step, t.outcome) for w in all_walks for t in w.taken)
    went = {pair for walk in all_walks for pair in pairwise((*walk.path, walk.finding))}
    visited = {step for step, _ in taken} | {walk.at for walk in all_walks}
    on_a_path = reached(procedure)  # without the steps that only a repair is proved by
    diagnosis = [name for name in procedure.steps if name in on_a_path]
    weight = sum(each.likely for each in proofs[1:]) or 1.0
    return Proof(
        good=proofs[0],
        faults=tuple(proofs[1:]),
        paths=len(paths),
        shortest_path=min(map(len, paths), default=0),
        longest_path=max(map(len, paths), default=0),
        mean_path=sum(each.likely * each.mean_steps for each in proofs[1:]) / weight,
        unreached=tuple(name for name in diagnosis if name not in visited),
        unused=tuple(_unused(procedure, diagnosis, visited, set(taken), went)),
        loops=tuple(_loops(all_walks)),
        close=_close(by_fault),
        forgotten=tuple(_forgotten(procedure, forgotten)),
        examined=examined,
    )


def _of_fault(procedure: Procedure, fault: str, walks: Sequence[Walk]) -> FaultProof:
    ends = [outcome_of(procedure, fault, walk) for walk in walks]
    count = Counter(ends)
    strays = Counter(
        stray_of(walk) for walk, end in zip(walks, ends, strict=True) if end is not Outcome.FOUND
    )
    return FaultProof(
        fault=fault,
        draws=len(walks),
        found=count[Outcome.FOUND],
        wrong=count[Outcome.WRONG],
        unresolved=count[Outcome.UNRESOLVED],
        findings=dict(Counter(walk.finding for walk in walks).most_common()),
        strayed=tuple(strays.most_common()),
        mean_steps=sum(len(walk.taken) for walk in walks) / max(len(walks), 1),
        likely=procedure.faults[fault].likely if fault != GOOD else 0.0,
        hidden=sum(has_hidden(procedure, walk) for walk in walks),
    )


def _unused(
    procedure: Procedure,
    diagnosis: Iterable[str],
    visited: set[str],
    taken: set[tuple[str, str]],
    went: set[tuple[str, str]],
) -> Iterable[tuple[str, str]]:
    """Branches that nobody takes, of steps that somebody comes to."""
    for name in diagnosis:
        for outcome in _branches(procedure.steps[name]) if name in visited else ():
            if (name, outcome) not in taken:
                yield name, outcome
        step = procedure.steps[name]
        for band in step.bands if name in visited else ():
            if (name, step.routes[band]) not in went:
                yield name, band


def _branches(step: Step) -> list[str]:
    """The outcomes of a step that lead somewhere of their own."""
    if step.kind in {Kind.WAIT, Kind.DO, Kind.IDENTIFY}:
        return []
    if step.kind is Kind.LAMP:
        bad = [state for state in ("bright", "dim", "off") if state not in step.bright_enough]
        return [
            *step.bright_enough[:1],
            *(s for s in bad if s in step.routes or FAIL in step.routes),
        ]
    named = [outcome for outcome in step.routes if outcome not in {FAIL, *IN_DOUBT, *step.bands}]
    if FAIL in step.routes and step.limit is not None:
        named += [LOW] if step.limit.low and LOW not in named else []
        named += [HIGH] if step.limit.high and HIGH not in named else []
    return named if step.kind is Kind.ASK or step.names or step.limit or step.sweep else [PASS]


def _loops(walks: Iterable[Walk]) -> Iterable[str]:
    twice = (step for walk in walks for step, many in Counter(walk.path).items() if many > 1)
    return dict.fromkeys(twice)


def _close(by_fault: Mapping[str, Sequence[Walk]]) -> dict[str, float]:
    """The share of each step's readings; a fault that was drawn less often counts no less."""
    close: dict[str, float] = {}
    judged: dict[str, float] = {}
    for walks in by_fault.values():
        for walk in walks:
            for step in set(walk.close):
                close[step] = close.get(step, 0.0) + 1 / len(walks)
            for step in set(walk.judged):
                judged[step] = judged.get(step, 0.0) + 1 / len(walks)
    return {step: many / judged[step] for step, many in close.items()}


def _forgotten(procedure: Procedure, walks: Iterable[tuple[Case, Walk]]) -> Iterable[Forgotten]:
    by_change: dict[Change, list[tuple[Case, Walk]]] = {}
    for case, walk in walks:
        if case.forget is not None and walk.forgot:
            by_change.setdefault(case.forget, []).append((case, walk))
    for change, made in by_change.items():
        unnoticed = [
            (outcome_of(procedure, case.fault, walk), walk.finding)
            for case, walk in made
            if not walk.noticed
        ]
        count = Counter(end for end, _ in unnoticed)
        misled = Counter(finding for end, finding in unnoticed if end is Outcome.WRONG)
        yield Forgotten(
            change=change,
            walks=len(made),
            noticed=len(made) - len(unnoticed),
            harmless=count[Outcome.FOUND],
            misled=count[Outcome.WRONG],
            open=count[Outcome.UNRESOLVED],
            findings=dict(misled.most_common()),
        )
