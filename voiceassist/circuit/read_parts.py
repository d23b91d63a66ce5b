"""Parts as written in a file."""

import re
from collections.abc import Callable, Mapping
from types import MappingProxyType

from voiceassist.circuit import parts
from voiceassist.circuit.drivers import Module, Regulator
from voiceassist.circuit.part_body import Body, Common
from voiceassist.circuit.part_keys import kind_of
from voiceassist.circuit.read_wire import wire
from voiceassist.circuit.reading import CircuitReader, Path
from voiceassist.circuit.shape import PartShape
from voiceassist.circuit.values import numbers_of

# What parts have when a file does not tell. Common practice, no source.
_SWITCH_OHM, _RELAY_OHM = 0.005, 0.01
_FUSE_VOLT = 0.1  # lost by a fuse at its rated current
_PULL_IN, _DROP_OUT = 7.0, 2.5
_RATED_VOLT = 12.0
_STALL = 5.0  # a standing motor takes so many times its rated current
_PULL_DOWN_OHM = 100e3
_TERMINALS = (
    *("from", "wiper", "to", "feed", "earth", "command", "output"),
    *("pin-85", "pin-86", "pin-30", "pin-87", "pin-87a"),
)


def part_at(
    path: Path,
    shape: PartShape,
    plugs: Mapping[str, parts.Plug],
    tolerance: float,
    reader: CircuitReader,
) -> parts.Part | None:
    """The part at ``path``; None when it cannot be used.

    Args:
        path: its place; the last of it is its name.
        shape: what is written there.
        plugs: it can sit behind.
        tolerance: of parts that do not tell theirs.
        reader: takes the blame.
    """
    kind = kind_of(path, shape, reader)
    if not kind:
        return None
    body = Body(path, shape, reader)
    common = {
        "name": str(path[-1]),
        "terminals": _terminals(body, plugs),
        "tolerance": body.number("tolerance", "ratio", tolerance),
        "label": shape.label or "",
        "at": _place(body),
    }
    return reader.attempt(path, lambda: _MAKERS[kind](body, common))


def _terminals(body: Body, plugs: Mapping[str, parts.Plug]) -> dict[str, str]:
    """Its terminals; those that are pins of the plug it sits behind are on the far side."""
    fields = {"from": "from_"}
    given = {key: getattr(body.shape, fields.get(key, key.replace("-", "_"))) for key in _TERMINALS}
    found = {key: node for key, node in given.items() if node is not None}
    behind, place = body.shape.behind, (*body.path, "behind")
    if behind is None or not body.reader.knows(place, "plug", behind, list(plugs)):
        return found
    plug = plugs[behind]
    if not set(found.values()) & set(plug.pins):
        message = f"no terminal of it is a pin of {behind!r}; its pins are {', '.join(plug.pins)}"
        body.reader.blame.error(place, message)
    return {k: plug.behind(node) if node in plug.pins else node for k, node in found.items()}


def _place(body: Body) -> tuple[float, float] | None:
    given = body.shape.at
    if given is None:
        return None
    if len(given) != 2:
        message = "a place in a drawing is two numbers, such as [3, 2]"
        body.reader.blame.error((*body.path, "at"), message)
        return None
    return given[0], given[1]


def _battery(body: Body, common: Common) -> parts.Part:
    volt = body.setting("battery", "voltage", 0.0)
    return parts.Battery(
        **common, volt=volt, ohm=body.number("inner_resistance", "resistance", 0.0)
    )


def _fuse(body: Body, common: Common) -> parts.Part:
    ampere = body.number("fuse", "current", 1.0)
    usual = _FUSE_VOLT / ampere if ampere else 0.0
    return parts.Fuse(**common, ampere=ampere, ohm=body.number("resistance", "resistance", usual))


def _switch(body: Body, common: Common) -> parts.Part:
    closed = body.reader.closed_when((*body.path, "switch"), body.shape.switch or {})
    ohm = body.number("resistance", "resistance", _SWITCH_OHM)
    lapsing = body.shape.lapses_after is not None
    lapses = body.number("lapses_after", "time", 1.0) if lapsing else None
    return parts.Switch(**common, closed_when=closed, ohm=ohm, lapses_s=lapses)


def _latch(body: Body, common: Common) -> parts.Part:
    ampere = body.number("latch", "current", 1.0)
    return parts.Latch(
        **common, ampere=ampere, ohm=body.number("resistance", "resistance", _SWITCH_OHM)
    )


def _relay(body: Body, common: Common) -> parts.Part:
    return parts.Relay(
        **common,
        coil_ohm=body.setting("relay", "resistance", 1.0),
        pull_in=body.number("pull_in", "voltage", _PULL_IN),
        drop_out=body.number("drop_out", "voltage", _DROP_OUT),
        ohm=body.number("resistance", "resistance", _RELAY_OHM),
    )


def _resistor(body: Body, common: Common) -> parts.Part:
    sort = next(sort for sort in parts.RESISTORS if getattr(body.shape, sort) is not None)
    if sort == "wire":
        return wire(body, common)
    return parts.Resistor(**common, ohm=body.setting(sort, "resistance", 1.0), sort=sort)


def _lamp(body: Body, common: Common) -> parts.Part:
    volt = body.number("voltage", "voltage", _RATED_VOLT)
    return parts.Bulb(**common, watt=body.setting("lamp", "power", 1.0), volt=volt)


def _motor(body: Body, common: Common) -> parts.Part:
    ampere = body.setting("motor", "current", 1.0)
    volt = body.number("voltage", "voltage", _RATED_VOLT)
    usual = volt / (_STALL * max(numbers_of(ampere))) if max(numbers_of(ampere)) else 1.0
    return parts.Motor(
        **common,
        volt=volt,
        ampere=ampere,
        ohm=body.number("resistance", "resistance", usual),
        load=body.shape.load or "fan",
    )


def _potentiometer(body: Body, common: Common) -> parts.Part:
    ohm = body.setting("potentiometer", "resistance", 1.0)
    return parts.Potentiometer(**common, ohm=ohm, turned=body.setting("turned", "ratio", 0.0))


def _diode(body: Body, common: Common) -> parts.Part:
    place = (*body.path, "ideality")
    text = body.shape.ideality
    ideality = 1.0
    if text is not None and re.fullmatch(r"\d(\.\d+)?", text):
        ideality = float(text)
    elif text is not None:
        body.reader.blame.error(place, f"{text!r} is no ideality; write a number from 1 to 2")
    volt = body.number("diode", "voltage", 0.7)
    ampere = body.number("current", "current", 1.0)
    return parts.Diode(**common, volt=volt, ampere=ampere, ideality=ideality)


def _module(body: Body, common: Common) -> parts.Part:
    place = (*body.path, "module")
    entries = []
    for command, share in (body.shape.module or {}).items():
        volt = body.reader.number((*place, command), command, "voltage")
        part = body.reader.number((*place, command), share, "ratio")
        if volt is not None and part is not None:
            entries.append((volt, part))
    if "command" not in common["terminals"] and len(entries) > 1:
        body.reader.blame.error(body.path, "a module with a curve needs 'command'; add it")
    pulled_up = body.shape.pull_up is not None
    never = float("inf")
    return Module(
        **common,
        curve=tuple(sorted(entries)) or ((0.0, 0.0),),
        side=body.shape.side or "high",
        hertz=body.number("frequency", "frequency", 0.0),
        ohm=body.number("output_resistance", "resistance", Module.OUTPUT_OHM),
        own_ohm=body.number("own_resistance", "resistance", Module.OWN_OHM),
        pull_up=body.number("pull_up", "resistance", never),
        pull_down=body.number("pull_down", "resistance", never if pulled_up else _PULL_DOWN_OHM),
    )


def _regulator(body: Body, common: Common) -> parts.Part:
    return Regulator(
        **common,
        volt=body.setting("regulator", "voltage", 1.0),
        ohm=body.number("output_resistance", "resistance", Regulator.OUTPUT_OHM),
        limit=body.number("current", "current", Regulator.LIMIT),
        own_ohm=body.number("own_resistance", "resistance", Regulator.OWN_OHM),
    )


def _pulses(body: Body, common: Common) -> parts.Part:
    return parts.Pulses(
        **common,
        volt=body.setting("pulses", "voltage", 0.0),
        hertz=body.number("frequency", "frequency", 1.0),
        duty=body.setting("duty", "ratio", 0.0),
        ohm=body.number("inner_resistance", "resistance", 0.0),
    )


_MAKERS: Mapping[str, Callable[[Body, Common], parts.Part]] = MappingProxyType(
    {
        "battery": _battery,
        "fuse": _fuse,
        "latch": _latch,
        "switch": _switch,
        "relay": _relay,
        **dict.fromkeys(parts.RESISTORS, _resistor),
        "lamp": _lamp,
        "motor": _motor,
        "potentiometer": _potentiometer,
        "diode": _diode,
        "module": _module,
        "regulator": _regulator,
        "pulses": _pulses,
    }
)
