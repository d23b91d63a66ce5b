"""Which faults of a vehicle are there from second to second, and the circuit with them."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from voiceassist.circuit.faults import CircuitFault, with_fault
from voiceassist.circuit.model import Circuit
from voiceassist.circuit.values import States

#: Draws that are made at a time.
_AT_A_TIME = 256


@dataclass(frozen=True, slots=True)
class Drawn:
    """A fault, and where in the range of its size it is, from 0 to 1."""

    fault: CircuitFault
    draw: float


class Comings:
    """The faults of one vehicle in time.

    The draw of a second does not hang on what was done before it, so that the same walk can be
    made again with one thing changed.

    Args:
        good: the circuit without a fault.
        faults: that it has; those that do not come and go are always there.
        rng: where chance is drawn from.
    """

    def __init__(self, good: Circuit, faults: Sequence[Drawn], rng: np.random.Generator) -> None:
        self._good = good
        self._faults = faults
        self._rng = rng
        self._draws: list[tuple[float, ...]] = []
        self._made: dict[tuple[str, ...], Circuit] = {}

    @property
    def steady(self) -> tuple[str, ...]:
        """The faults that are always there."""
        return tuple(one.fault.name for one in self._faults if one.fault.comes is None)

    def there(self, second: int, states: States) -> tuple[str, ...]:
        """The faults that are there in ``second``, under ``states``."""
        draws = self._of(second)
        return tuple(
            one.fault.name
            for one, draw in zip(self._faults, draws, strict=True)
            if one.fault.comes is None or one.fault.comes.is_there(states, draw)
        )

    def circuit(self, there: tuple[str, ...]) -> Circuit:
        """The circuit with the faults ``there``, as it was made.

        Raises:
            CircuitError: a fault does not fit.
        """
        if there not in self._made:
            made = self._good
            for one in self._faults:
                made = with_fault(made, one.fault, one.draw) if one.fault.name in there else made
            self._made[there] = made
        return self._made[there]

    def _of(self, second: int) -> tuple[float, ...]:
        while len(self._draws) <= second:
            rows = self._rng.uniform(size=(_AT_A_TIME, len(self._faults)))
            self._draws += [tuple(row) for row in rows.tolist()]
        return self._draws[second]
