"""The fuses in the circuit of a procedure."""

from decimal import Decimal

from voiceassist.circuit.parts import Fuse
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import base_unit
from voiceassist.procedure.model import Procedure


def fuses_of(procedure: Procedure) -> tuple[tuple[str, Quantity], ...]:
    """Name and rating of each fuse in its circuit."""
    parts = procedure.circuit.parts.values() if procedure.circuit is not None else ()
    return tuple((part.name, _rating(part)) for part in parts if isinstance(part, Fuse))


def _rating(fuse: Fuse) -> Quantity:
    return Quantity(Decimal(f"{fuse.ampere:g}"), base_unit("current"))
