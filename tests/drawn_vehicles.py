"""Vehicles of the world that the belief reckons with, and what is read of them.

Each has a listed fault, as likely as the file says, or none, or now and then a cause that no
file lists. Its meter errs, and now and then a reading is taken at a wrong point or misread.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from voiceassist.circuit.faults import CircuitFault
from voiceassist.circuit.model import Shows
from voiceassist.errors import CircuitError
from voiceassist.language.meanings import Reading
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import base_unit
from voiceassist.procedure.model import Procedure
from voiceassist.prove.cases import GOOD, vehicle_with
from voiceassist.prove.comings import Drawn
from voiceassist.prove.meter_in_use import MeterInUse
from voiceassist.prove.vehicle import Vehicle
from voiceassist.reason.adviser import Adviser
from voiceassist.reason.infer import AS_LISTED, SLIP, UNLISTED, UNLISTED_SHARE, anything
from voiceassist.reason.likely import likely
from voiceassist.reason.samples import Place, Sight
from voiceassist.reason.sampling import OVER, vehicle_of
from voiceassist.rehearse.eye import Eye


@dataclass(frozen=True, slots=True)
class Reader:
    """Sees one vehicle, as a technician with a meter does who slips now and then.

    Parts:
        adviser: of the procedure.
        cause: what is wrong; GOOD for nothing, UNLISTED for what no file lists.
        eye: sees the vehicle as it is; of what is not listed, None.
        hand: the meter.
        rng: of slips, and of what is not listed.
    """

    adviser: Adviser
    cause: str
    eye: Eye | None
    hand: MeterInUse
    rng: np.random.Generator

    def __call__(self, place: Place) -> Sight:
        """What is read at a place of the table."""
        where = self.adviser.samples.places.index(place)
        if self.eye is None:
            listed = self.rng.uniform() < AS_LISTED
            return self._as_some_cause(where) if listed else self._anything(where)
        if self.rng.uniform() < SLIP:
            return self._anything(where)
        return self._read(place.step, self.eye(place))

    def _as_some_cause(self, where: int) -> Sight:
        table = self.adviser.samples
        cause = int(self.rng.choice(len(table.causes), p=table.likely))
        vehicle = int(self.rng.integers(table.vehicles))
        number, word = table.numbers[where, cause, vehicle], table.seen[where, cause, vehicle]
        if np.isnan(number):
            return Sight(word=table.words[word])
        return self._read(table.places[where].step, Sight(float(number)))

    def _anything(self, where: int) -> Sight:
        ways = anything(self.adviser.samples, where)
        drawn = int(self.rng.integers(ways.many))
        if drawn < len(ways.words):
            return Sight(word=ways.words[drawn])
        if ways.low < ways.high:
            return Sight(float(self.rng.uniform(ways.low, ways.high)))
        return Sight(word="something else")

    def _read(self, step: str, what: Sight) -> Sight:
        """``what`` with the error of the meter, where it is read by one."""
        procedure = self.adviser.setup.procedure
        probe = procedure.circuit.probes.get(step) if procedure.circuit else None
        if what.number is None or probe is None or probe.shows is Shows.LAMP:
            return what
        true = Quantity(Decimal(repr(what.number)), base_unit(probe.shows.value))
        shown = self.hand.read(true, procedure.steps[step].meter)
        if not isinstance(shown, Reading) or shown.unit is None:
            return Sight(word=OVER)
        return Sight(float(Quantity(shown.value, shown.unit).in_base))


def readers(adviser: Adviser, many: int, seed: int) -> Iterator[Reader]:
    """``many`` drawn vehicles; the same ``seed`` draws the same."""
    rng = np.random.default_rng(seed)
    shares = {name: (1 - UNLISTED_SHARE) * s for name, s in likely(adviser.setup.procedure).items()}
    shares[UNLISTED] = UNLISTED_SHARE
    while many:
        cause = str(rng.choice(list(shares), p=list(shares.values())))
        try:
            eye = _eye(adviser.setup.procedure, cause, rng)
        except CircuitError:
            continue  # these tolerances cannot be with this fault
        own = np.random.default_rng(int(rng.integers(2**31)))
        yield Reader(adviser, cause, eye, MeterInUse(adviser.setup.meter, own), own)
        many -= 1


def _eye(procedure: Procedure, cause: str, rng: np.random.Generator) -> Eye | None:
    size, seed = float(rng.uniform()), int(rng.integers(10**6, 2**31))
    if cause == UNLISTED:
        return None
    fault = None if cause == GOOD else procedure.faults[cause]
    car = vehicle_of(procedure, fault, size, seed)
    return Eye(procedure, car, coming(fault), lambda: float(rng.uniform()))


def coming(fault: CircuitFault | None) -> CircuitFault | None:
    """``fault`` where it comes and goes."""
    return fault if fault is not None and fault.comes is not None else None


def in_time(eye: Eye, size: float, rng: np.random.Generator) -> Vehicle:
    """The vehicle of ``eye`` as nobody has touched it; a fault that comes and goes does so."""
    car, circuit = eye.car, eye.procedure.circuit
    if eye.fault is None or circuit is None:
        return Vehicle(car.circuit, car.answers, car.good)
    return vehicle_with(circuit.answers, car.good, [Drawn(eye.fault, size)], rng)
