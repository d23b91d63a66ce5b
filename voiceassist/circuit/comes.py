"""A fault that comes and goes: in which states, and how often in a second."""

from dataclasses import dataclass, field

from voiceassist.circuit.parts import ClosedWhen, is_closed
from voiceassist.circuit.values import States
from voiceassist.errors import CircuitError


@dataclass(frozen=True, slots=True)
class Comes:
    """When a fault is there.

    From one second to the next nothing is carried over, so the second in which it first shows
    has a geometric distribution.

    Parts:
        when: condition to the states in which it can be there; empty for any.
        chance: that it is there in any second of that; 1 for always.
    """

    when: ClosedWhen = field(default_factory=dict)
    chance: float = 1.0

    def __post_init__(self) -> None:
        if not 0 < self.chance <= 1:
            raise CircuitError(
                f"a chance of {100 * self.chance:g} % in a second cannot be",
                remedy="give more than 0 %, and at most 100 %",
            )

    def is_there(self, states: States, draw: float) -> bool:
        """Whether it is there in a second with the ``draw``, from 0 to 1, under ``states``."""
        return draw < self.chance and is_closed(self.when, states)

    def shows_within(self, states: States, seconds: int) -> float:
        """How likely it is there in any of so many ``seconds`` under ``states``."""
        return 1 - (1 - self.chance) ** seconds if is_closed(self.when, states) else 0.0
