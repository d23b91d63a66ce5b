"""One thing that a proof fails by, or warns of."""

from dataclasses import dataclass

from voiceassist.procedure.model import HIGH, LOW, OVER, PASS, written
from voiceassist.prove.stray import Stray


@dataclass(frozen=True, slots=True)
class Failure:
    """Something that a proof fails by.

    Parts:
        fault: the one that shows it; empty for a good vehicle.
        step: where it went wrong; empty when nowhere in particular.
        message: one sentence.
        only_warns: it is told, and nothing fails by it.
    """

    fault: str
    step: str
    message: str
    only_warns: bool = False


def how(stray: Stray) -> str:
    """How a walk went astray, in words."""
    since = f", after the fuse {stray.blown!r} blew" if stray.blown else ""
    if stray.trouble:
        return f"it stops at step {stray.step!r}{since}: {stray.trouble}"
    read = f" ({stray.read})" if stray.read else ""
    does = f"{_does(stray.outcome)} and leads to {stray.finding!r}"
    return f"step {stray.step!r} {does}{since}{read}"


def _does(outcome: str) -> str:
    """An outcome as what a step does."""
    plain = {PASS: "passes", LOW: "reads low", HIGH: "reads high", OVER: "reads over range"}
    return plain.get(outcome, f"is {written(outcome)!r}")
