"""A procedure with one end of a limit taken away."""

from collections.abc import Mapping
from dataclasses import replace

from voiceassist.procedure.model import LOW, Procedure, Step

#: A step, and LOW or HIGH.
End = tuple[str, str]


def without_end(procedure: Procedure, end: End) -> Procedure:
    """``procedure`` with one end of a limit taken away."""
    name, side = end
    step = procedure.steps[name]
    assert step.limit is not None
    opened = replace(step.limit, low=None) if side == LOW else replace(step.limit, high=None)
    limit = opened if opened.low or opened.high else None
    steps: Mapping[str, Step] = {**procedure.steps, name: replace(step, limit=limit)}
    return replace(procedure, steps=steps)
