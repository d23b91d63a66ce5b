"""The whole range of a fault's size: from where it is felt to far beyond what the file tells."""

import math
from collections.abc import Callable
from dataclasses import dataclass

from voiceassist.circuit.faults import USUAL_OHM, CircuitFault, FaultKind, with_fault
from voiceassist.circuit.model import Circuit
from voiceassist.circuit.parts import Part
from voiceassist.circuit.values import numbers_of
from voiceassist.errors import CircuitError
from voiceassist.prove.effect import Effect

#: So many sizes are tried between where a fault is felt and what its file tells.
_MILD = 6
#: Beyond the file's range a joint goes on to be open, a short to be a dead one.
_BEYOND = (4.0, 20.0, 400.0)
#: The mildest size is looked for down to this share of the file's, in so many halvings.
_LEAST_SHARE, _HALVINGS = 1e-4, 8

_SHORTS = frozenset({FaultKind.EARTH, FaultKind.SUPPLY, FaultKind.SHORTED})


@dataclass(frozen=True, slots=True)
class Range:
    """Sizes of a fault outside the range that its file tells, in SI units.

    Parts:
        mild: from the mildest that is felt to the least of the file; empty when none is felt.
        beyond: graver than the gravest of the file.
        told: the sizes of the file, the mildest first.
    """

    mild: tuple[float, ...]
    beyond: tuple[float, ...]
    told: tuple[float, float]


def range_of(circuit: Circuit, fault: CircuitFault, effect: Effect) -> Range | None:
    """The sizes that ``fault`` can have beside those of its file; None when it has no size."""
    told = _told(circuit, fault)
    if told is None:
        return None
    mildest, gravest = told
    gentle = _nominal(circuit, fault, mildest)
    by_log = fault.kind is FaultKind.HIGH or fault.kind in _SHORTS
    path = _between_logs if by_log else _between

    def felt(share: float) -> bool:
        """Whether the fault is felt so far from its mildest told size to none at all."""
        return _felt(circuit, fault, path(mildest, gentle, share), effect)

    if not felt(0.0):
        return Range((), _beyond(fault, gravest), told)
    edge = _edge(felt)
    mild = tuple(path(mildest, gentle, edge * (_MILD - i) / _MILD) for i in range(_MILD))
    return Range(mild, _beyond(fault, gravest), told)


def _edge(felt: Callable[[float], bool]) -> float:
    low, high = 0.0, 1.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if felt(middle) else (low, middle)
    return low


def _felt(circuit: Circuit, fault: CircuitFault, size: float, effect: Effect) -> bool:
    try:
        return effect.is_felt(with_size(circuit, fault, size))
    except CircuitError:
        return False


def with_size(circuit: Circuit, fault: CircuitFault, size: float) -> Circuit:
    """``circuit`` with ``fault`` of the very ``size``.

    Raises:
        CircuitError: the fault does not fit.
    """
    return with_fault(circuit, fault.sized(size), 0.0)


def _told(circuit: Circuit, fault: CircuitFault) -> tuple[float, float] | None:
    """The range of the file, its mildest end first."""
    if fault.kind is FaultKind.HIGH:
        return fault.size or USUAL_OHM[fault.kind]
    if fault.kind in _SHORTS:
        least, most = fault.size or USUAL_OHM[fault.kind]
        return most, least
    if fault.kind not in {FaultKind.WRONG, FaultKind.WEAK} or fault.size is None:
        return None
    least, most = fault.size
    nominal = _nearest(circuit.part(fault.target), (least + most) / 2)
    if least <= nominal <= most:
        return None  # it is no matter of size
    return (most, least) if nominal > most else (least, most)


def _nominal(circuit: Circuit, fault: CircuitFault, mildest: float) -> float:
    """The size at which ``fault`` is none."""
    if fault.kind is FaultKind.HIGH:
        return mildest * _LEAST_SHARE
    if fault.kind in _SHORTS:
        return mildest / _LEAST_SHARE
    return _nearest(circuit.part(fault.target), mildest)


def _nearest(part: Part, value: float) -> float:
    return min(numbers_of(getattr(part, part.MAIN)), key=lambda good: abs(good - value))


def _beyond(fault: CircuitFault, gravest: float) -> tuple[float, ...]:
    if fault.kind is FaultKind.HIGH:
        return tuple(gravest * factor for factor in _BEYOND)
    return tuple(gravest / factor for factor in _BEYOND[:2]) if fault.kind in _SHORTS else ()


def _between(start: float, end: float, share: float) -> float:
    return (1 - share) * start + share * end


def _between_logs(start: float, end: float, share: float) -> float:
    start, end = max(start, 1e-9), max(end, 1e-9)
    return math.exp(_between(math.log(start), math.log(end), share))
