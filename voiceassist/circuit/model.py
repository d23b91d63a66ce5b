"""A whole circuit as a value."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum

from voiceassist.circuit.parts import Bulb, Part, Plug
from voiceassist.circuit.values import States
from voiceassist.errors import CircuitError


class Shows(StrEnum):
    """What an instrument shows."""

    VOLTAGE = "voltage"
    CURRENT = "current"
    RESISTANCE = "resistance"
    FREQUENCY = "frequency"
    DUTY = "ratio"
    LAMP = "lamp"


@dataclass(frozen=True, slots=True)
class Probe:
    """Where an instrument is held.

    Parts:
        shows: what it is.
        red, black: nodes of its leads; for a current empty, or where the meter is put between.
        through: the part, or the pin of a plug, whose current it reads; empty otherwise.
        clamp: a current is read around the wire, which loads nothing.
        lamp: nodes a test lamp is held between meanwhile; None for no lamp.
    """

    shows: Shows
    red: str = ""
    black: str = ""
    through: str = ""
    clamp: bool = False
    lamp: tuple[str, str] | None = None


@dataclass(frozen=True, slots=True)
class Instruments:
    """What the technician measures with. Usual values; common practice, no source.

    Parts:
        voltmeter_ohm: input resistance of a voltmeter.
        ammeter_ohm: burden of a meter put into the circuit.
        ammeter_limit: more amperes than these it does not stand.
        ohmmeter_volt, ohmmeter_ohm: source of an ohmmeter and what is in series with it.
        ohmmeter_top: more ohms than these it shows as over range.
        lamp_watt, lamp_volt: of the test lamp.
    """

    voltmeter_ohm: float = 10e6
    ammeter_ohm: float = 0.02
    ammeter_limit: float = 10.0
    ohmmeter_volt: float = 0.5
    ohmmeter_ohm: float = 1000.0
    ohmmeter_top: float = 60e6
    lamp_watt: float = 21.0
    lamp_volt: float = 12.0

    def lamp(self, red: str, black: str) -> Bulb:
        """The test lamp between two nodes."""
        ends = {"from": red, "to": black}
        return Bulb(name=TEST_LAMP, terminals=ends, watt=self.lamp_watt, volt=self.lamp_volt)


TEST_LAMP = "the test lamp"


@dataclass(frozen=True, slots=True)
class Circuit:
    """Parts and how they are joined.

    Parts:
        parts: by name.
        earth: the node all voltages are told from.
        supply: the node a short to supply leads to; empty for none.
        plugs: by name.
        points: name that steps use to the node, or to plus and minus node.
        at_first: states of the conditions as the vehicle is met.
        probes: step to where its instrument is held.
        answers: step to what it would be answered or read on a good vehicle, where the
            circuit cannot tell.
        instruments: what is measured with.
    """

    parts: Mapping[str, Part]
    earth: str
    supply: str = ""
    plugs: Mapping[str, Plug] = field(default_factory=dict)
    points: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    at_first: States = field(default_factory=dict)
    probes: Mapping[str, Probe] = field(default_factory=dict)
    answers: Mapping[str, str] = field(default_factory=dict)
    instruments: Instruments = Instruments()

    def __post_init__(self) -> None:
        joined = any(self.earth in part.terminals.values() for part in self.parts.values())
        if not joined and self.earth not in self.nodes:
            raise CircuitError(
                f"nothing is joined to the earth node {self.earth!r}", remedy="join a part to it"
            )

    @property
    def nodes(self) -> tuple[str, ...]:
        """Every node, each once."""
        found = [node for part in self.parts.values() for node in part.terminals.values()]
        for plug in self.plugs.values():
            found += [*plug.pins, *(plug.behind(pin) for pin in plug.pins)]
        return tuple(dict.fromkeys(found))

    def states(self, conditions: States) -> States:
        """``conditions``, and those of the beginning where nothing is told."""
        return {**self.at_first, **conditions}

    def part(self, name: str) -> Part:
        """The part ``name``; CircuitError when there is none."""
        if name not in self.parts:
            raise CircuitError(f"there is no part {name!r}", remedy="use a name under 'parts:'")
        return self.parts[name]

    def with_parts(self, *parts: Part) -> "Circuit":
        """The circuit with ``parts`` added, or put in the place of those of the same name."""
        return replace(self, parts={**self.parts, **{part.name: part for part in parts}})
