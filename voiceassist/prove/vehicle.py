"""The vehicle that a walk is made on: its circuit, its conditions, and what it answers."""

from collections.abc import Iterator, Mapping

from voiceassist.circuit.joined import conductor
from voiceassist.circuit.lasting import lasting, passed, remembering, timers
from voiceassist.circuit.model import Circuit, Probe
from voiceassist.circuit.parts import Fuse, Latch
from voiceassist.circuit.probe import Shown, shown
from voiceassist.circuit.solve import solved
from voiceassist.prove.comings import Comings

#: The conditions that a circuit follows, and their states.
States = tuple[tuple[str, str], ...]
#: Step to what it is answered or reads.
Answers = Mapping[str, str]

#: A fault shows when a reading is off by more than this share of what it would be without it.
_SEEN = 0.05


class Vehicle:
    """A circuit in its conditions, as they really are.

    A fuse that blows under conditions that a step is taken under stays blown. ``met`` are the
    steps whose instrument was held to it and the states of the circuit then, in order; ``looked``
    are these and the steps that something was looked at for without one.

    Args:
        circuit: with tolerances drawn and the fault in it.
        answers: step to what it is answered or reads where the circuit cannot tell.
        good: the same circuit without the fault; None for ``circuit``.
        comings: the faults in time, where one comes and goes; ``circuit`` is without it then.
        told: fault to what steps are answered while it is there.
    """

    def __init__(
        self,
        circuit: Circuit,
        answers: Answers,
        good: Circuit | None = None,
        comings: Comings | None = None,
        told: Mapping[str, Answers] | None = None,
    ) -> None:
        self.circuit = circuit
        self._whole = frozenset(_whole_fuses(circuit))
        self.good = good or circuit
        self.answers = answers
        self.conditions: dict[str, str] = dict(circuit.at_first)
        self._followed = tuple(circuit.at_first)
        self._seen: set[States] = set()
        self.met: dict[tuple[str, States], None] = {}
        self.looked: dict[tuple[str, States], None] = {}
        self._shown: dict[tuple[Probe, States], Shown] = {}
        self._drops: dict[tuple[Probe, States], bool] = {}
        self._comings = comings
        self._told = told or {}
        self._there = comings.steady if comings is not None else ()
        self._seconds = 0
        self.has_shown = comings is None
        #: Whether time changes anything.
        self.moves = comings is not None or any(timers(circuit))

    @property
    def blew(self) -> str:
        """A fuse that has blown since; empty for none."""
        return min(self._whole - frozenset(_whole_fuses(self.circuit)), default="")

    @property
    def moved(self) -> States:
        """The states that are not as at first."""
        return tuple((n, s) for n, s in self._state() if self.circuit.at_first[n] != s)

    def change(self, condition: str, state: str) -> None:
        """Bring ``condition`` about; ``settle`` when all changes are made."""
        self.conditions[condition] = state

    def passes(self, seconds: int) -> None:
        """Let time pass under the conditions as they are."""
        if not self.moves:
            return
        self._put(passed(self.circuit, self.conditions, seconds))
        self._seconds += seconds
        self._come()

    def forget_showing(self) -> None:
        """From here on it is new whether a fault that comes and goes shows."""
        self.has_shown = self._comings is None

    def told(self, step: str) -> str:
        """What ``step`` is answered now, where the circuit cannot tell; empty for nothing."""
        for name in self._there:
            if step in self._told.get(name, {}):
                self.has_shown = True
                return self._told[name][step]
        return self.answers.get(step, "")

    def shows(self, step: str) -> Shown | None:
        """What the instrument of ``step`` shows; None when it has none.

        Raises:
            CircuitError: the circuit cannot be solved so.
        """
        probe = self.circuit.probes.get(step)
        self.looked[step, self._state()] = None
        if probe is None:
            self.settle()
            return None
        key = (probe, self._state())
        self.met[step, key[1]] = None
        if key not in self._shown:
            found = shown(self.circuit, self.conditions, probe)
            # The solution tells whether a fuse blows; where none does, that is not asked again.
            if found.blown is None or found.blown or _can_let_go(self.circuit):
                before = self.circuit
                self.settle()
                if self.circuit is not before:
                    found = shown(self.circuit, self.conditions, probe)
            self._shown[key] = found
        if not self.has_shown:
            self._see(probe, self._shown[key])
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
        """Let the fuses blow that blow now, and the latches trip or let go.

        Raises:
            CircuitError: the circuit cannot be solved so.
        """
        state = self._state()
        if state in self._seen or not _can_change(self.circuit):
            return
        self._put(lasting(self.circuit, self.conditions))
        self._seen.add(state)

    def _put(self, circuit: Circuit) -> None:
        if circuit is not self.circuit:
            self.circuit = circuit
            self._seen.clear()
            self._shown.clear()

    def _come(self) -> None:
        """Let the faults come and go."""
        if self._comings is None:
            return
        there = self._comings.there(self._seconds, self.conditions)
        if there != self._there:
            self._there = there
            self._put(remembering(self._comings.circuit(there), self.circuit))

    def _see(self, probe: Probe, found: Shown) -> None:
        """Keep in mind whether a fault that comes and goes shows in what was ``found``."""
        assert self._comings is not None
        if self._there == self._comings.steady:
            return
        without = remembering(self._comings.circuit(self._comings.steady), self.circuit)
        self.has_shown = differs(found, shown(without, self.conditions, probe))

    def _state(self) -> States:
        """The conditions that the circuit follows."""
        return tuple((name, self.conditions[name]) for name in self._followed)


def differs(one: Shown, other: Shown) -> bool:
    """Whether an instrument shows something else, by more than its own digits may dance."""
    if (one.lamp, one.over, one.invalid) != (other.lamp, other.over, other.invalid):
        return True
    if one.value is None or other.value is None:
        return one.value is not other.value
    off = abs(float(one.value.in_base - other.value.in_base))
    return off > _SEEN * abs(float(other.value.in_base))


def _whole_fuses(circuit: Circuit) -> Iterator[str]:
    for part in circuit.parts.values():
        if isinstance(part, Fuse) and not part.blown:
            yield part.name


def _can_change(circuit: Circuit) -> bool:
    """Whether there is a fuse that could blow, or a latch."""
    return any(
        isinstance(part, Latch) or (isinstance(part, Fuse) and not part.blown)
        for part in circuit.parts.values()
    )


def _can_let_go(circuit: Circuit) -> bool:
    return any(isinstance(part, Latch) and part.tripped for part in circuit.parts.values())
