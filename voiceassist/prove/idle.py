"""Parts that are condemned by a drop that was read while no current flowed, which proves nothing.

A drop of voltage is the current times the resistance on its way: where nothing flows, the worst
joint reads zero as a good one does.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from voiceassist.procedure.model import Procedure
from voiceassist.prove.cases import Case
from voiceassist.prove.walk import Walk


@dataclass(frozen=True, slots=True)
class IdleProof:
    """A finding that is proved by a drop without current.

    Parts:
        finding: its name.
        part: it condemns.
        step: the drop.
        fault: with which that was seen.
        walks: how often.
    """

    finding: str
    part: str
    step: str
    fault: str
    walks: int


def idle_proofs(procedure: Procedure, walks: Iterable[tuple[Case, Walk]]) -> tuple[IdleProof, ...]:
    """What ``walks`` condemned so, each finding and step once, with the fault seen most often."""
    count: Counter[tuple[str, str, str]] = Counter()
    for case, walk in walks:
        finding = procedure.findings.get(walk.finding)
        if finding is not None and finding.condemns:
            steps = {step for _, step in finding.proved_by} & set(walk.idle)
            count.update((finding.name, step, case.fault) for step in steps)
    found: dict[tuple[str, str], IdleProof] = {}
    for (name, step, fault), many in count.most_common():
        part = procedure.findings[name].condemns
        found.setdefault((name, step), IdleProof(name, part, step, fault, many))
    return tuple(found.values())
