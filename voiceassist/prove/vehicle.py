"""The vehicle that a walk is made on: its circuit, its conditions, and what it answers."""

from collections.abc import Mapping

from voiceassist.circuit.model import Circuit, Probe
from voiceassist.circuit.parts import Fuse
from voiceassist.circuit.probe import Shown, shown
from voiceassist.circuit.solve import lasting

_State = tuple[tuple[str, str], ...]


class Vehicle:
    """A circuit in its conditions, as they really are.

    A fuse that blows under conditions that a step is taken under stays blown.

    Args:
        circuit: with tolerances drawn and the fault in it.
        answers: step to what it is answered or reads where the circuit cannot tell.
    """

    def __init__(self, circuit: Circuit, answers: Mapping[str, str]) -> None:
        self.circuit = circuit
        self.answers = answers
        self.conditions: dict[str, str] = dict(circuit.at_first)
        self._followed = tuple(circuit.at_first)
        self._seen: set[_State] = set()
        self._shown: dict[tuple[Probe, _State], Shown] = {}

    def change(self, condition: str, state: str) -> None:
        """Bring ``condition`` about; ``settle`` when all changes are made."""
        self.conditions[condition] = state

    def shows(self, step: str) -> Shown | None:
        """What the instrument of ``step`` shows; None when it has none.

        Raises:
            CircuitError: the circuit cannot be solved so.
        """
        probe = self.circuit.probes.get(step)
        if probe is None:
            self.settle()
            return None
        key = (probe, self._state())
        if key not in self._shown:
            found = shown(self.circuit, self.conditions, probe)
            # The solution tells whether a fuse blows; where none does, that is not asked again.
            if found.blown is None or found.blown:
                before = self.circuit
                self.settle()
                if self.circuit is not before:
                    found = shown(self.circuit, self.conditions, probe)
            self._shown[key] = found
        return self._shown[key]

    def settle(self) -> None:
        """Let the fuses blow that blow now.

        Raises:
            CircuitError: the circuit cannot be solved so.
        """
        state = self._state()
        if state in self._seen or not _has_whole_fuse(self.circuit):
            return
        after = lasting(self.circuit, self.conditions)
        if _blown(after) != _blown(self.circuit):
            self.circuit = after
            self._seen.clear()
            self._shown.clear()
        self._seen.add(state)

    def _state(self) -> _State:
        """The conditions that the circuit follows."""
        return tuple((name, self.conditions[name]) for name in self._followed)


def _blown(circuit: Circuit) -> list[str]:
    return [n for n, p in circuit.parts.items() if isinstance(p, Fuse) and p.blown]


def _has_whole_fuse(circuit: Circuit) -> bool:
    return any(isinstance(part, Fuse) and not part.blown for part in circuit.parts.values())
