"""Pulses between two points: what a meter shows that follows them and does not average."""

from dataclasses import dataclass, replace

from voiceassist.circuit.drivers import Module
from voiceassist.circuit.laws import Target
from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import Pulses
from voiceassist.circuit.solve import Solution, solved_at
from voiceassist.circuit.values import value_at
from voiceassist.errors import CircuitError

#: A meter counts pulses that swing at least so far; common practice, no source.
LEAST_SWING_VOLT = 1.0


@dataclass(frozen=True, slots=True)
class Beat:
    """Pulses at a place.

    Parts:
        hertz: their frequency; 0 for a steady voltage.
        high_share: the share of the time it is at the higher voltage.
        high, low: the two voltages in V.
    """

    hertz: float
    high_share: float
    high: float
    low: float

    @property
    def mean(self) -> float:
        """What an averaging meter shows, in V."""
        return self.high_share * self.high + (1 - self.high_share) * self.low


def beat_of(mean: Solution, red: str, black: str) -> Beat:
    """The pulses at ``red`` over ``black``: those of the part that swings most there.

    Each part with pulses is taken alone, the others by their mean; nothing stores energy.

    Args:
        mean: the circuit solved by the mean of its pulses.
        red, black: two nodes.

    Raises:
        CircuitError: nothing joins the two nodes.
    """
    level = mean.between(red, black)
    best = Beat(0.0, float(level >= LEAST_SWING_VOLT), level, level)
    shares = _shares(mean)
    for name, share in shares.items():
        if 0 < share < 1:
            on, off = (_level(mean, (name, high), shares, red, black) for high in (True, False))
            if abs(on - off) >= max(LEAST_SWING_VOLT, best.high - best.low):
                held = share if on > off else 1 - share
                best = Beat(_hertz(mean.circuit, name), held, max(on, off), min(on, off))
    return best


def _level(
    mean: Solution, phase: tuple[str, bool], shares: dict[str, float], red: str, black: str
) -> float:
    """The voltage while the pulse of ``phase`` lasts, too short to move a relay or a fuse."""
    held = tuple((name, share) for name, share in shares.items() if name != phase[0])
    moment = replace(mean.moment, phase=phase, shares=held)
    return solved_at(mean.circuit, moment).between(red, black)


def _hertz(circuit: Circuit, name: str) -> float:
    part = circuit.parts[name]
    assert isinstance(part, Module | Pulses)  # only these have shares
    return part.hertz


def _shares(mean: Solution) -> dict[str, float]:
    """Part with pulses to the share of time that its pulse lasts."""
    found = {}
    for name, part in mean.circuit.parts.items():
        if isinstance(part, Pulses):
            found[name] = value_at(part.duty, mean.moment.states)
        elif isinstance(part, Module) and part.hertz and not part.dead:
            found[name] = _share(mean, part)
    return found


def _share(mean: Solution, part: Module) -> float:
    if part.stuck is not None:
        return part.stuck
    command = part.terminals.get("command", part.terminals["earth"])
    try:
        volt = mean.between(command, part.terminals["earth"])
    except CircuitError:
        volt = 0.0  # its command hangs in the air
    return Target(part.curve, None, 1.0).share(volt)[0]
