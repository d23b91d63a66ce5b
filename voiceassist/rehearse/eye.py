"""What an instructor, who knows the fault, would see at a place of the vehicle."""

from collections.abc import Callable
from dataclasses import dataclass

from voiceassist.circuit.faults import CircuitFault
from voiceassist.procedure.model import Procedure
from voiceassist.prove.vehicle import Vehicle
from voiceassist.reason.samples import Place, Sight
from voiceassist.reason.sampling import seen_at, showing


@dataclass(frozen=True, slots=True)
class Eye:
    """Sees what one vehicle shows.

    Parts:
        procedure: that is practised.
        car: the vehicle with its fault in it all the time.
        fault: of one that comes and goes; None for any other.
        draw: it is there where the chance of that is above this.
    """

    procedure: Procedure
    car: Vehicle
    fault: CircuitFault | None = None
    draw: Callable[[], float] = lambda: 0.5

    def __call__(self, place: Place) -> Sight:
        """What it shows at ``place``."""
        for condition, state in place.states:
            self.car.change(condition, state)
        if self.fault is None or showing(self.procedure, self.fault, place) > self.draw():
            return seen_at(self.procedure, place.step, self.car)
        assert self.procedure.circuit is not None
        whole = Vehicle(self.car.good, self.procedure.circuit.answers)
        whole.conditions.update(self.car.conditions)
        return seen_at(self.procedure, place.step, whole)
