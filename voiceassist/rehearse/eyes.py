"""What one sees and hears of a vehicle without any instrument."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import Bulb, Motor
from voiceassist.circuit.probe import BRIGHT_FROM, DIM_FROM
from voiceassist.circuit.solve import Solution, solved
from voiceassist.circuit.values import States

#: Shares of its rated voltage from which a motor turns fast, and from which it turns at all.
#: Common practice, no source.
_FAST_FROM, _TURNS_FROM = 0.6, 0.1
#: Less current, in A, turns no motor.
_FLOWS = 1e-3


class Looks(StrEnum):
    """How a lamp or motor looks."""

    BRIGHT = "bright"
    DIM = "dim"
    OFF = "off"
    FAST = "fast"
    SLOW = "slow"
    STANDS = "stands"


@dataclass(frozen=True, slots=True)
class Sighting:
    """One part that can be watched, and how it looks."""

    part: str
    look: Looks


def views(circuit: Circuit, conditions: States) -> tuple[Sighting, ...]:
    """How every lamp and motor of ``circuit`` looks.

    Raises:
        CircuitError: it cannot be solved so.
    """
    return tuple(_views(circuit, solved(circuit, conditions)))


def _views(circuit: Circuit, found: Solution) -> Iterator[Sighting]:
    for name, part in circuit.parts.items():
        if isinstance(part, Bulb):
            yield Sighting(name, _lamp(_share(part, found)))
        elif isinstance(part, Motor):
            share = 0.0 if part.seized or not _flows(part, found) else _share(part, found)
            yield Sighting(name, _motor(share))


def _share(part: Bulb | Motor, found: Solution) -> float:
    ends = list(part.terminals.values())
    return abs(found.between(ends[0], ends[-1])) / part.volt


def _flows(part: Motor, found: Solution) -> bool:
    return abs(found.current(part.name, next(iter(part.terminals)))) > _FLOWS


def _lamp(share: float) -> Looks:
    return Looks.BRIGHT if share >= BRIGHT_FROM else Looks.DIM if share >= DIM_FROM else Looks.OFF


def _motor(share: float) -> Looks:
    return (
        Looks.FAST if share >= _FAST_FROM else Looks.SLOW if share >= _TURNS_FROM else Looks.STANDS
    )
