"""A wire as written in a file: its colour, and what its length and gauge come to."""

import re

from voiceassist.circuit import parts
from voiceassist.circuit.colours import colour, colour_in
from voiceassist.circuit.part_body import Body, Common
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.wire import ROOM, copper_resistance

_GAUGE = re.compile(r"AWG\s*(-?\d{1,2})", re.IGNORECASE)


def wire(body: Body, common: Common) -> parts.Part:
    """A wire, which is a resistor of its own kind."""
    letters, size = _colour(body), body.shape.size or ""
    made = _wire_drawn(body, letters)
    ohm = _wire_ohm(body)
    return parts.Resistor(**common, ohm=ohm, sort="wire", drawn=made, colour=letters, size=size)


def _wire_drawn(body: Body, letters: str) -> str:
    """Colour, cross-section and length of a wire, as a drawing has them: "BN 2.5 mm², 3 m"."""
    made = " ".join(filter(None, (letters, _unbroken(body.shape.size))))
    return ", ".join(filter(None, (made, _unbroken(body.shape.wire))))


def _colour(body: Body) -> str:
    """The letters of its colour, as told or as its name tells them; empty for none."""
    given, place = body.shape.colour, (*body.path, "colour")
    if given is None:
        return colour_in(str(body.path[-1]))
    return body.reader.attempt(place, lambda: colour(given)) or ""


def _unbroken(written: str | None) -> str:
    """A value that no line ends in."""
    return (written or "").replace(" ", "\u00a0")


def _wire_ohm(body: Body) -> float:
    length = body.number("wire", "length", 1.0)
    if body.shape.size is None:
        return 1.0
    gauge = _GAUGE.fullmatch(body.shape.size)
    size = int(gauge[1]) if gauge else body.quantity("size", "area")
    warmth = body.quantity("temperature", "temperature") if body.shape.temperature else ROOM
    if size is None or warmth is None:
        return 1.0
    place, metre = (*body.path, "size"), Quantity.parse("1 m")
    ohm = body.reader.attempt(place, lambda: copper_resistance(size, metre, warmth))
    return 1.0 if ohm is None else float(ohm.in_base) * length
