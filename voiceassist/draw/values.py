"""What a part is, in a few letters below its sign: "15 A", "10 kΩ", "key run"."""

from collections.abc import Collection, Mapping

from voiceassist.circuit import parts
from voiceassist.circuit.drivers import Module, Regulator
from voiceassist.circuit.values import ByState, Value

_PREFIXES = ((1e6, "M"), (1e3, "k"), (1.0, ""), (1e-3, "m"), (1e-6, "µ"))


def figure(value: Value, unit: str) -> str:
    """A number with a prefix that leaves 1 to 999; of one by a condition, its least and most."""
    if isinstance(value, ByState):
        numbers = sorted(set(value.table.values()))
        ends = dict.fromkeys(figure(n, unit) for n in (numbers[0], numbers[-1]))
        return " to ".join(ends)
    if not value:
        return f"0 {unit}"
    size, prefix = next((p for p in _PREFIXES if abs(value) >= p[0]), _PREFIXES[-1])
    return f"{value / size:.3g} {prefix}{unit}"


def states(conditions: Mapping[str, Collection[str]]) -> str:
    """When a contact is closed: "key run"."""
    return ", ".join(f"{name} {' or '.join(sorted(those))}" for name, those in conditions.items())


def value_text(part: parts.Part) -> str:  # noqa: PLR0911 - one for each class
    """What ``part`` is, below its sign; empty where its name says all."""
    match part:
        case parts.Battery() | parts.Diode():
            return figure(part.volt, "V")
        case parts.Pulses():
            return f"{figure(part.volt, 'V')}, {figure(part.hertz, 'Hz')}"
        case parts.Resistor() | parts.Potentiometer():
            return figure(part.ohm, "Ω")
        case parts.Fuse() | parts.Motor():
            return figure(part.ampere, "A")
        case parts.Switch():
            lapses = f", for {figure(part.lapses_s, 's')}" if part.lapses_s is not None else ""
            return states(part.closed_when) + lapses
        case parts.Latch():
            return f"opens above {figure(part.ampere, 'A')}"
        case parts.Relay():
            return f"coil {figure(part.coil_ohm, 'Ω')}"
        case parts.Bulb():
            return figure(part.watt, "W")
        case Regulator():
            return f"supply of {figure(part.volt, 'V')}"
        case Module():
            return f"{part.side} side" + (f", {figure(part.hertz, 'Hz')}" if part.hertz else "")
    return ""
