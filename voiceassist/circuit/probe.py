"""What an instrument shows that is held to a circuit."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from math import inf
from types import MappingProxyType

from voiceassist.circuit.elements import Circumstances
from voiceassist.circuit.model import Circuit, Probe, Shows
from voiceassist.circuit.parts import Battery, Resistor
from voiceassist.circuit.pulses import Beat, beat_of
from voiceassist.circuit.solve import Solution, solved
from voiceassist.circuit.values import States
from voiceassist.errors import CircuitError
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import base_unit

#: Shares of its rated voltage from which a filament lamp is taken as bright, and as dim; its
#: light goes with about the 3.4th power of the voltage. Common practice, no source.
BRIGHT_FROM, DIM_FROM = 0.75, 0.2
#: An ohmmeter is misled by more than this voltage at its leads; common practice, no source.
LIVE_VOLT = 0.01
_DIGITS, _LEAST = 9, 1e-9
_METER = "the meter"


@dataclass(frozen=True, slots=True)
class Shown:
    """What an instrument shows.

    Parts:
        value: the reading; None when there is none.
        lamp: of a test lamp: bright, dim or off.
        over: over range, as an ohmmeter shows an open circuit.
        invalid: why the reading tells nothing, as with an ohmmeter on a live circuit.
        blown: fuses that blow meanwhile; None where that was not looked at.
        flow: of a voltage, the current that flows through both its points, in A; a drop without
            it tells nothing. None where that was not looked at.
        light: of a test lamp, the share of its rated voltage that it gets.
    """

    value: Quantity | None = None
    lamp: str = ""
    over: bool = False
    invalid: str = ""
    blown: frozenset[str] | None = field(default=None, compare=False)
    flow: float | None = field(default=None, compare=False)
    light: float | None = field(default=None, compare=False)


def shown(circuit: Circuit, conditions: States, probe: Probe) -> Shown:
    """What ``probe`` shows on ``circuit`` under ``conditions``.

    The instrument loads the circuit: 10 MΩ for a voltmeter, its burden for an ammeter, the
    filament for a lamp. Pulses are shown by their mean.

    Raises:
        CircuitError: the circuit cannot be solved so, or the probe is held to what it lacks.
    """
    nodes = frozenset(circuit.nodes)
    for node in (probe.red, probe.black, *(probe.lamp or ())):
        if node and node not in nodes:
            raise CircuitError(f"there is no node {node!r} in this circuit")
    if probe.lamp is not None:
        circuit = circuit.with_parts(circuit.instruments.lamp(*probe.lamp))
    return _SHOWN[probe.shows](circuit, conditions, probe)


def quantity(value: float, kind: str) -> Quantity:
    """``value`` in the base unit of ``kind`` ("voltage"), with nine significant digits.

    What no meter shows, below a billionth, is zero.
    """
    value = value if abs(value) >= _LEAST else 0.0
    return Quantity(Decimal(f"{value:.{_DIGITS}g}"), base_unit(kind))


def _voltage(circuit: Circuit, conditions: States, probe: Probe) -> Shown:
    found = solved(_with_voltmeter(circuit, probe), conditions)
    volt = quantity(found.between(probe.red, probe.black), "voltage")
    return Shown(volt, blown=found.blown, flow=_flow(found, probe))


def _flow(found: Solution, probe: Probe) -> float:
    """The current through the point of the two that carries less."""
    into = {probe.red: 0.0, probe.black: 0.0}
    for part, _, node, flow in found.flows():
        if node in into and part != _METER:
            into[node] += abs(flow) / 2  # what comes in goes out again
    return min(into.values())


def _with_voltmeter(circuit: Circuit, probe: Probe) -> Circuit:
    return circuit.with_parts(_bridge(probe, circuit.instruments.voltmeter_ohm))


def _bridge(probe: Probe, ohm: float) -> Resistor:
    return Resistor(name=_METER, terminals={"from": probe.red, "to": probe.black}, ohm=ohm)


def _current(circuit: Circuit, conditions: States, probe: Probe) -> Shown:
    meter = circuit.instruments
    if probe.red:
        circuit = circuit.with_parts(_bridge(probe, meter.ammeter_ohm))
        value = solved(circuit, conditions).current(_METER)
    elif probe.through in circuit.parts:
        value = _through_part(circuit, conditions, probe)
    else:
        found = solved(circuit, conditions)
        value = found.pin_current(_plug_of(circuit, probe.through), probe.through)
    if not probe.red:
        value = abs(value)  # its words tell no direction
    over = not probe.clamp and abs(value) > meter.ammeter_limit
    return Shown(over=True) if over else Shown(quantity(value, "current"))


def _through_part(circuit: Circuit, conditions: States, probe: Probe) -> float:
    part = circuit.parts[probe.through]
    terminal = next(iter(part.terminals))
    if probe.clamp:
        return solved(circuit, conditions).current(part.name, terminal)
    ends = {"from": part.terminals[terminal], "to": f"{part.name} at {_METER}"}
    meter = Resistor(name=_METER, terminals=ends, ohm=circuit.instruments.ammeter_ohm)
    opened = replace(part, terminals={**part.terminals, terminal: ends["to"]})
    return solved(circuit.with_parts(opened, meter), conditions).current(_METER)


def _plug_of(circuit: Circuit, pin: str) -> str:
    for plug in circuit.plugs.values():
        if pin in plug.pins:
            return plug.name
    raise CircuitError(
        f"the current at {pin!r} cannot be found: it is neither a part nor a pin of a plug",
        remedy="name the wire or part that carries it",
    )


def _resistance(circuit: Circuit, conditions: States, probe: Probe) -> Shown:
    meter = circuit.instruments
    before = solved(_with_voltmeter(circuit, probe), conditions)
    volt = before.between(probe.red, probe.black)
    if abs(volt) > LIVE_VOLT:
        why = f"{abs(volt):.3g} V stand between the points; switch the power off"
        return Shown(invalid=why, blown=before.blown)
    inner = f"{probe.red} at {_METER}"
    source = Battery(
        name=_METER, terminals={"from": inner, "to": probe.black}, volt=meter.ohmmeter_volt
    )
    lead = Resistor(
        name=f"{_METER}'s lead", terminals={"from": inner, "to": probe.red}, ohm=meter.ohmmeter_ohm
    )
    still = Circumstances({}, still=True)
    found = solved(circuit.with_parts(source, lead), conditions, still)
    current = found.current(lead.name)
    ohm = found.between(probe.red, probe.black) / current if current > 0 else inf
    if ohm > meter.ohmmeter_top:
        return Shown(over=True, blown=before.blown)
    return Shown(quantity(ohm, "resistance"), blown=before.blown)


def _lamp(circuit: Circuit, conditions: States, probe: Probe) -> Shown:
    lamp = circuit.instruments.lamp(probe.red, probe.black)
    found = solved(circuit.with_parts(lamp), conditions)
    share = abs(found.between(probe.red, probe.black)) / lamp.volt
    light = "bright" if share >= BRIGHT_FROM else "dim" if share >= DIM_FROM else "off"
    return Shown(lamp=light, blown=found.blown, light=share)


def _frequency(circuit: Circuit, conditions: States, probe: Probe) -> Shown:
    return _of_beat(circuit, conditions, probe, lambda beat: quantity(beat.hertz, "frequency"))


def _duty(circuit: Circuit, conditions: States, probe: Probe) -> Shown:
    return _of_beat(
        circuit, conditions, probe, lambda beat: quantity(beat.high_share * 100, "ratio")
    )


def _of_beat(
    circuit: Circuit, conditions: States, probe: Probe, value: Callable[[Beat], Quantity]
) -> Shown:
    mean = solved(_with_voltmeter(circuit, probe), conditions)
    return Shown(value(beat_of(mean, probe.red, probe.black)), blown=mean.blown)


_SHOWN: Mapping[Shows, Callable[[Circuit, States, Probe], Shown]] = MappingProxyType(
    {
        Shows.VOLTAGE: _voltage,
        Shows.CURRENT: _current,
        Shows.RESISTANCE: _resistance,
        Shows.LAMP: _lamp,
        Shows.FREQUENCY: _frequency,
        Shows.DUTY: _duty,
    }
)
