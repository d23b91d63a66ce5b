"""The vehicle that a walk is made on: its circuit, its conditions, and what it answers."""

from collections.abc import Mapping

from voiceassist.circuit.joined import conductor
from voiceassist.circuit.lasting import lasting
from voiceassist.circuit.model import Circuit, Probe
from voiceassist.circuit.parts import Fuse
from voiceassist.circuit.probe import Shown, shown
from voiceassist.circuit.solve import solved

#: The conditions that a circuit follows, and their states.
State = tuple[tuple[str, str], ...]


class Vehicle:
    """A circuit in its conditions, as they really are.

    A fuse that blows under conditions that a step is taken under stays blown. ``met`` are the
    states of the circuit that an instrument was held to it in, in order.

    Args:
        circuit: with tolerances drawn and the fault in it.
        answers: step to what it is answered or reads where the circuit cannot tell.
        good: the same circuit without the fault; None for ``circuit``.
    """

    def __init__(
        self, circuit: Circuit, answers: Mapping[str, str], good: Circuit | None = None
    ) -> None:
        self.circuit = circuit
        self.good = good or circuit
        self.answers = answers
        self.conditions: dict[str, str] = dict(circuit.at_first)
        self._followed = tuple(circuit.at_first)
        self._seen: set[State] = set()
        self.met: dict[State, None] = {}
        self._shown: dict[tuple[Probe, State], Shown] = {}
        self._drops: dict[tuple[Probe, State], bool] = {}

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
        self.met[key[1]] = None
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

    def reads_a_drop(self, step: str) -> bool:
        """True when the two points of ``step`` are one conductor where nothing is wrong."""
        probe = self.circuit.probes[step]
        key = (probe, self._state())
        if key not in self._drops:
            found = solved(self.good, self.conditions)
            self._drops[key] = probe.black in conductor(found, probe.red)
        return self._drops[key]

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

    def _state(self) -> State:
        """The conditions that the circuit follows."""
        return tuple((name, self.conditions[name]) for name in self._followed)


def _blown(circuit: Circuit) -> list[str]:
    return [n for n, p in circuit.parts.items() if isinstance(p, Fuse) and p.blown]


def _has_whole_fuse(circuit: Circuit) -> bool:
    return any(isinstance(part, Fuse) and not part.blown for part in circuit.parts.values())
