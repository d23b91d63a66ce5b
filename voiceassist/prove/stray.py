"""Where a walk ended that did not name its fault."""

from dataclasses import dataclass

from voiceassist.prove.walk import Walk


@dataclass(frozen=True, slots=True)
class Stray:
    """Where a walk ended that did not name its fault.

    Parts:
        step, outcome: the last result; empty when there was none.
        finding: where that led; empty for nowhere.
        trouble: why it ended there.
        blown: a fuse that blew on the way; empty for none.
    """

    step: str
    outcome: str
    finding: str
    trouble: str
    blown: str = ""


def stray_of(walk: Walk) -> Stray:
    """Where ``walk`` ended."""
    if walk.trouble:
        return Stray(walk.at, "", "", walk.trouble, walk.blown)
    last = walk.taken[-1] if walk.taken else None
    step, outcome = (last.step, last.outcome) if last else ("", "")
    return Stray(step, outcome, walk.finding, "", walk.blown)
