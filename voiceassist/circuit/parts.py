"""The parts of a circuit as values that check themselves. All numbers are in SI units."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any, ClassVar, Self

from voiceassist.circuit.values import States, Value, check_fields, number, share
from voiceassist.errors import CircuitError

#: Condition to the states in which something is closed.
ClosedWhen = Mapping[str, frozenset[str]]


def is_closed(when: ClosedWhen, states: States) -> bool:
    """True when every condition of ``when`` is in one of its states."""
    return all(states.get(condition, "") in wanted for condition, wanted in when.items())


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """What all parts have.

    Parts:
        name: as faults and steps call it.
        terminals: name of a terminal to the node it is joined to.
        tolerance: how far the main value of a good one may be off, as a share of it.
        label: for a drawing; empty for its name.
        at: hint for its place in a drawing, to the right and down; None when not told.
        drawn: what a drawing tells of it in place of its value; empty for the value.
    """

    KIND: ClassVar[str] = "part"
    TERMINALS: ClassVar[tuple[str, ...]] = ("from", "to")
    #: Terminals that may be left out.
    OPTIONAL: ClassVar[tuple[str, ...]] = ()
    #: Name of the field that tolerances and wrong values change; empty for none.
    MAIN: ClassVar[str] = ""

    name: str
    terminals: Mapping[str, str]
    tolerance: float = share("a tolerance", 0.0)
    label: str = ""
    at: tuple[float, float] | None = None
    drawn: str = ""

    def __post_init__(self) -> None:
        for terminal in self.TERMINALS:
            if terminal not in self.terminals and terminal not in self.OPTIONAL:
                raise CircuitError(
                    f"{self.name!r} does not name its terminal {terminal!r}",
                    remedy=f"add '{terminal}:' with the node it is joined to",
                )
        for terminal in self.terminals:
            if terminal not in self.TERMINALS:
                raise CircuitError(
                    f"{self.name!r} has no terminal {terminal!r}",
                    remedy="use " + ", ".join(self.TERMINALS),
                )
        check_fields(self)

    @property
    def kind(self) -> str:
        """What it is, in the word a file uses."""
        return self.KIND

    def with_main(self, value: Value) -> Self:
        """The same part with another main value."""
        return self._with({self.MAIN: value})

    def changed(self, **marks: bool) -> Self:
        """The same part with other ``marks``: dead, seized, blown."""
        return self._with(marks)

    def _with(self, fields: Mapping[str, Any]) -> Self:
        return replace(self, **fields)


@dataclass(frozen=True, slots=True, kw_only=True)
class Battery(Part):
    """A source of ``volt`` behind ``ohm``; "from" is its plus post, "to" its minus post."""

    KIND: ClassVar[str] = "battery"
    MAIN: ClassVar[str] = "volt"
    volt: Value = number("a voltage", "V")
    ohm: float = number("an inner resistance", "Ω", 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pulses(Part):
    """A source that is at ``volt`` for the share ``duty`` of the time and else at zero."""

    KIND: ClassVar[str] = "pulses"
    MAIN: ClassVar[str] = "volt"
    volt: Value = number("a voltage", "V")
    hertz: float = number("a frequency", "Hz", above_zero=True)
    duty: Value = share("a duty")
    ohm: float = number("an inner resistance", "Ω", 0.0)


#: What a plain resistance may be.
RESISTORS = ("resistor", "joint", "wire", "termination", "leak")


@dataclass(frozen=True, slots=True, kw_only=True)
class Resistor(Part):
    """A resistance of ``ohm``; ``sort`` is one of RESISTORS; infinite when open.

    A wire has its ``colour``, in the letters of IEC 60757, and its ``size`` as written.
    """

    MAIN: ClassVar[str] = "ohm"
    ohm: Value = number("a resistance", "Ω")
    sort: str = "resistor"
    colour: str = ""
    size: str = ""

    def __post_init__(self) -> None:
        Part.__post_init__(self)
        if self.sort not in RESISTORS:
            raise ValueError(f"{self.sort} is no sort of resistance")

    @property
    def kind(self) -> str:
        """What it is, in the word a file uses."""
        return self.sort


@dataclass(frozen=True, slots=True, kw_only=True)
class Fuse(Part):
    """A fuse of the rating ``ampere`` and the resistance ``ohm``; it may be ``blown``."""

    KIND: ClassVar[str] = "fuse"
    ampere: float = number("a rating", "A", above_zero=True)
    ohm: float = number("a resistance", "Ω")
    blown: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Latch(Part):
    """A contact of ``ohm`` that opens above ``ampere``; it stays ``tripped`` while it is fed."""

    KIND: ClassVar[str] = "latch"
    ampere: float = number("a current", "A", above_zero=True)
    ohm: float = number("a resistance", "Ω")
    tripped: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Switch(Part):
    """A contact that conditions close.

    Parts:
        closed_when: the conditions.
        ohm: of the closed contact.
        stuck: True for closed, False for open; None when it is not.
        lapses_s: it opens by itself when its conditions have held so long; None for never.
        ran_s: how long they have.
    """

    KIND: ClassVar[str] = "switch"
    closed_when: ClosedWhen
    ohm: float = number("a resistance", "Ω")
    stuck: bool | None = None
    lapses_s: float | None = number("a time to lapse after", "s", None, above_zero=True)
    ran_s: float = 0.0

    def is_closed(self, states: States) -> bool:
        """Whether current can pass under ``states``."""
        if self.stuck is not None:
            return self.stuck
        has_lapsed = self.lapses_s is not None and self.ran_s >= self.lapses_s
        return not has_lapsed and is_closed(self.closed_when, states)


@dataclass(frozen=True, slots=True, kw_only=True)
class Relay(Part):
    """A coil and its contacts, with the terminal numbers of DIN 72552 (from memory).

    Parts:
        coil_ohm: between pin-85 and pin-86.
        pull_in, drop_out: voltage of the coil from which it pulls in, and below which it drops.
        ohm: of a closed contact: at rest pin-30 to pin-87a, pulled in pin-30 to pin-87.
        stuck: True for contacts that stay pulled in, False for ones that never move.
    """

    KIND: ClassVar[str] = "relay"
    MAIN: ClassVar[str] = "coil_ohm"
    TERMINALS: ClassVar[tuple[str, ...]] = ("pin-85", "pin-86", "pin-30", "pin-87", "pin-87a")
    OPTIONAL: ClassVar[tuple[str, ...]] = ("pin-87", "pin-87a")
    coil_ohm: Value = number("a coil", "Ω", above_zero=True)
    pull_in: float
    drop_out: float = number("a drop-out voltage", "V", above_zero=True)
    ohm: float = number("a contact resistance", "Ω")
    stuck: bool | None = None

    def __post_init__(self) -> None:
        Part.__post_init__(self)
        if self.drop_out > self.pull_in:
            raise CircuitError(
                f"{self.name!r} drops out at {self.drop_out:g} V, above its pull-in voltage of "
                f"{self.pull_in:g} V",
                remedy="give a drop-out below the pull-in",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Bulb(Part):
    """A filament lamp that takes ``watt`` at ``volt``."""

    KIND: ClassVar[str] = "lamp"
    MAIN: ClassVar[str] = "watt"
    watt: Value = number("a power", "W", above_zero=True)
    volt: float = number("a rated voltage", "V", above_zero=True)


#: What a motor turns.
LOADS = ("fan", "friction")


@dataclass(frozen=True, slots=True, kw_only=True)
class Motor(Part):
    """A direct-current motor that takes ``ampere`` at ``volt``, of winding resistance ``ohm``.

    Parts:
        load: "fan" for a torque that grows with the square of the speed, "friction" for a
            steady one.
        seized: it cannot turn.
    """

    KIND: ClassVar[str] = "motor"
    MAIN: ClassVar[str] = "ampere"
    volt: float = number("a rated voltage", "V", above_zero=True)
    ampere: Value = number("a rated current", "A", above_zero=True)
    ohm: float = number("a winding resistance", "Ω", above_zero=True)
    load: str = "fan"
    seized: bool = False

    def __post_init__(self) -> None:
        Part.__post_init__(self)
        if self.load not in LOADS:
            raise CircuitError(
                f"{self.name!r} cannot turn {self.load!r}", remedy="use " + " or ".join(LOADS)
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Potentiometer(Part):
    """A track of ``ohm``; ``turned`` is the share of it between "from" and the wiper."""

    KIND: ClassVar[str] = "potentiometer"
    TERMINALS: ClassVar[tuple[str, ...]] = ("from", "wiper", "to")
    MAIN: ClassVar[str] = "ohm"
    ohm: Value = number("a resistance", "Ω", above_zero=True)
    turned: Value = share("a setting")


@dataclass(frozen=True, slots=True, kw_only=True)
class Diode(Part):
    """A diode that drops ``volt`` at ``ampere``, with its ideality; current goes "from" "to"."""

    KIND: ClassVar[str] = "diode"
    volt: float = number("a forward voltage", "V", above_zero=True)
    ampere: float = number("a forward current", "A", 1.0, above_zero=True)
    ideality: float = number("an ideality", "", 1.0, above_zero=True)


@dataclass(frozen=True, slots=True)
class Plug:
    """A group of pins that open and close together.

    Parts:
        name: of the plug.
        pins: nodes on its harness side; ``behind`` names those on the other side.
        closed_when: the conditions that close it.
        ohm: of one pin.
        crossed: pin to the pin whose other side it is joined to, in a plug that was mixed up.
    """

    #: Of a good pin in Ω; common practice, no source.
    PIN_OHM: ClassVar[float] = 0.002

    name: str
    pins: tuple[str, ...]
    closed_when: ClosedWhen
    ohm: float = number("a pin resistance", "Ω", PIN_OHM)
    crossed: Mapping[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        check_fields(self)

    def behind(self, pin: str) -> str:
        """The node on the other side of ``pin``."""
        return f"{pin} behind {self.name}"
