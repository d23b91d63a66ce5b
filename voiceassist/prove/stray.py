"""Where a walk ended that did not name its fault."""

from dataclasses import dataclass, field

from voiceassist.prove.walk import Compared, Walk


@dataclass(frozen=True, slots=True)
class Stray:
    """Where a walk ended that did not name its fault.

    Parts:
        step, outcome: the last result; empty when there was none.
        finding: where that led; empty for nowhere.
        trouble: why it ended there.
        blown: a fuse that blew on the way; empty for none.
        read: what the last result was read as, and its limit; walks that differ in it alone count
            as one, and the first of them is told.
    """

    step: str
    outcome: str
    finding: str
    trouble: str
    blown: str = ""
    read: str = field(default="", compare=False)


def stray_of(walk: Walk) -> Stray:
    """Where ``walk`` ended."""
    if walk.trouble:
        return Stray(walk.at, "", "", walk.trouble, walk.blown)
    last = walk.taken[-1] if walk.taken else None
    step, outcome = (last.step, last.outcome) if last else ("", "")
    own = (c for c in reversed(walk.compared) if c.step == step and (c.low or c.high))
    compared = next(own, None)
    read = _read(compared) if compared else ""
    return Stray(step, outcome, walk.finding, "", walk.blown, read)


def _read(compared: Compared) -> str:
    low, high = compared.low, compared.high
    ends = f"{low} to {high}" if low and high else f"at least {low}" if low else f"at most {high}"
    return f"it read {compared.reading}, and the limit was {ends}"
