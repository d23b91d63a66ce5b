"""A circuit whose good parts are off their values as far as their tolerances let them."""

from dataclasses import replace

import numpy as np

from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import Part
from voiceassist.circuit.values import scaled


def drawn(circuit: Circuit, rng: np.random.Generator) -> Circuit:
    """``circuit`` with the main value of each part drawn evenly from its tolerance."""
    draws = rng.uniform(-1, 1, len(circuit.parts)).tolist()
    parts = {
        name: _off(part, draw)
        for (name, part), draw in zip(circuit.parts.items(), draws, strict=True)
    }
    return replace(circuit, parts=parts)


def _off(part: Part, draw: float) -> Part:
    if not part.MAIN or not part.tolerance:
        return part
    return part.with_main(scaled(getattr(part, part.MAIN), 1 + draw * part.tolerance))
