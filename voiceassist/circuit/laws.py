"""How current depends on voltage in the parts that are not plain resistances.

Each law takes the voltage across a part and gives its current and the slope of that (A per V).
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

#: Voltage in V to current in A and its slope in A per V.
Law = Callable[[float], tuple[float, float]]

#: Boltzmann constant over elementary charge, in V per K: exact since the SI of 2019.
_BOLTZMANN = 1.380649e-23 / 1.602176634e-19
#: 27 °C, at which circuit simulators take the values of a diode.
THERMAL_VOLT = _BOLTZMANN * 300.15
#: Conductance beside every junction, as circuit simulators put it there, so that none floats.
JUNCTION_SIEMENS = 1e-12
_STEEPEST = 80.0  # exponent beyond which the exponential goes on as a straight line

#: A cold filament has about a tenth of its hot resistance: common practice, no source.
COLD_SHARE = 0.1
#: With this exponent the current goes with about the 0.54th power of the voltage near the
#: rating, as lamp catalogues give it: 1 - 0.9 x 0.51 = 0.54. Common practice, no source.
FILAMENT_EXPONENT = 0.51


def saturation(volt: float, ampere: float, ideality: float) -> float:
    """Saturation current in A of a diode that drops ``volt`` at ``ampere``."""
    return ampere / math.expm1(volt / (ideality * THERMAL_VOLT))


@dataclass(frozen=True, slots=True)
class Junction:
    """Shockley's law: I = Is (exp(V / (n Vt)) - 1); W. Shockley, 1949, from memory."""

    saturation: float
    ideality: float

    @property
    def volt(self) -> float:
        """n Vt in V."""
        return self.ideality * THERMAL_VOLT

    @property
    def critical(self) -> float:
        """Voltage from which steps are limited: where the slope is that of 1/√2 Ω."""
        return self.volt * math.log(self.volt / (math.sqrt(2) * self.saturation))

    def __call__(self, volt: float) -> tuple[float, float]:
        """Current and slope at ``volt``."""
        power = min(volt / self.volt, _STEEPEST)
        grown = math.exp(power)
        slope = self.saturation * grown / self.volt
        current = self.saturation * (grown - 1) + slope * (volt - power * self.volt)
        if power < _STEEPEST:  # on the straight line the rest is counted already
            current = self.saturation * (grown - 1)
        return current + JUNCTION_SIEMENS * volt, slope + JUNCTION_SIEMENS

    def limited(self, new: float, old: float) -> float:
        """A step from ``old`` towards ``new`` that the exponential can follow.

        The usual rule of circuit simulators: beyond the critical voltage the current, not the
        voltage, goes on in a straight line.
        """
        if new <= self.critical or abs(new - old) <= 2 * self.volt:
            return new
        if old <= 0:
            return self.volt * math.log(max(new / self.volt, 1.0))
        grown = 1 + (new - old) / self.volt
        return old + self.volt * math.log(grown) if grown > 0 else self.critical


@dataclass(frozen=True, slots=True)
class Filament:
    """R = Rc + (Rh - Rc) (V / Vr)^p, from cold to hot resistance at the rated voltage."""

    hot: float
    rated: float

    def __call__(self, volt: float) -> tuple[float, float]:
        """Current and slope at ``volt``."""
        cold = COLD_SHARE * self.hot
        heated = (self.hot - cold) * (abs(volt) / self.rated) ** FILAMENT_EXPONENT
        ohm = cold + heated
        return volt / ohm, (ohm - FILAMENT_EXPONENT * heated) / (ohm * ohm)


#: Share of a fan motor's current that goes into its bearings; common practice, no source.
BEARING_SHARE = 0.05


@dataclass(frozen=True, slots=True)
class Fan:
    """A motor with back EMF E at speed: V = I R + E, and I = a E + b E².

    The torque of a fan grows with the square of its speed (affinity laws of fans), that of its
    bearings with the speed; current is in proportion to torque, and back EMF to speed, in a
    motor with a steady field.
    """

    winding: float
    bearing: float
    load: float

    @classmethod
    def rated(cls, volt: float, ampere: float, winding: float) -> "Fan":
        """The one that takes ``ampere`` at ``volt``; the EMF then is what the winding leaves."""
        emf = volt - ampere * winding
        bearing = BEARING_SHARE * ampere / emf
        return cls(winding, bearing, (1 - BEARING_SHARE) * ampere / (emf * emf))

    def __call__(self, volt: float) -> tuple[float, float]:
        """Current and slope at ``volt``."""
        ohm, straight = self.load * self.winding, 1 + self.bearing * self.winding
        root = math.sqrt(straight * straight + 4 * ohm * abs(volt))
        emf = 2 * abs(volt) / (straight + root)
        current = emf * (self.bearing + self.load * emf)
        pull = self.bearing + 2 * self.load * emf
        return math.copysign(current, volt), pull / (1 + pull * self.winding)


#: Share of the torque of a steady load that grows with its speed; common practice, no source.
GROWING_SHARE = 0.1


@dataclass(frozen=True, slots=True)
class Friction:
    """A motor that turns a nearly steady torque: it stands until its winding has the current.

    Parts:
        winding: in Ω.
        breaking: voltage in V at which it begins to turn.
        growth: of the current beyond that, in A per V.
    """

    winding: float
    breaking: float
    growth: float

    @classmethod
    def rated(cls, volt: float, ampere: float, winding: float) -> "Friction":
        """The one that takes ``ampere`` at ``volt``."""
        breaking = (1 - GROWING_SHARE) * ampere * winding
        return cls(winding, breaking, GROWING_SHARE * ampere / (volt - breaking))

    def __call__(self, volt: float) -> tuple[float, float]:
        """Current and slope at ``volt``."""
        if abs(volt) <= self.breaking:
            return volt / self.winding, 1 / self.winding
        current = self.breaking / self.winding + self.growth * (abs(volt) - self.breaking)
        return math.copysign(current, volt), self.growth


@dataclass(frozen=True, slots=True)
class Target:
    """What an output driver aims at, as a share of its supply or as a steady voltage.

    Parts:
        curve: command in V and share of the supply at the output; one entry for a fixed share.
        volt: aimed at instead, as far as the supply reaches; None for the curve.
        ohm: of the output.
        sink: it takes current instead of giving it.
        limit: the most current in A.
        pulsed: the load's current flows from the supply only for the share of time.
    """

    curve: tuple[tuple[float, float], ...]
    volt: float | None
    ohm: float
    sink: bool = False
    limit: float = math.inf
    pulsed: bool = False

    def share(self, command: float) -> tuple[float, float]:
        """Share of the supply at the output, and its slope per volt of ``command``."""
        before = self.curve[0]
        if command <= before[0]:
            return before[1], 0.0
        for after in self.curve[1:]:
            if command <= after[0]:
                slope = (after[1] - before[1]) / (after[0] - before[0])
                return before[1] + slope * (command - before[0]), slope
            before = after
        return before[1], 0.0
