"""Which keys each kind of part takes."""

from collections.abc import Mapping
from types import MappingProxyType

from voiceassist.circuit.reading import CircuitReader, Path
from voiceassist.circuit.shape import PartShape

_ENDS = frozenset({"from", "to"})
_POWERED = frozenset({"feed", "earth", "output", "output-resistance", "own-resistance"})
_ALWAYS = frozenset({"behind", "tolerance", "label", "at"})
#: Kind to its own keys.
TAKES: Mapping[str, frozenset[str]] = MappingProxyType(
    {
        "battery": _ENDS | {"inner-resistance"},
        "fuse": _ENDS | {"resistance"},
        "switch": _ENDS | {"resistance", "lapses-after"},
        "relay": frozenset({"pin-85", "pin-86", "pin-30", "pin-87", "pin-87a"})
        | {"pull-in", "drop-out", "resistance"},
        "wire": _ENDS | {"size", "temperature", "colour"},
        "joint": _ENDS,
        "resistor": _ENDS,
        "leak": _ENDS,
        "termination": _ENDS,
        "lamp": _ENDS | {"voltage"},
        "motor": _ENDS | {"voltage", "resistance", "load"},
        "potentiometer": _ENDS | {"wiper", "turned"},
        "diode": _ENDS | {"current", "ideality"},
        "module": _POWERED | {"command", "side", "frequency", "pull-up", "pull-down"},
        "regulator": _POWERED | {"current"},
        "pulses": _ENDS | {"frequency", "duty", "inner-resistance"},
        "latch": _ENDS | {"resistance"},
    }
)
#: Keys that a kind cannot do without, beside its terminals.
_NEEDS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {"wire": ("size",), "potentiometer": ("turned",), "pulses": ("frequency", "duty")}
)
_KEYS = MappingProxyType({n: info.alias or n for n, info in PartShape.model_fields.items()})


def kind_of(path: Path, shape: PartShape, reader: CircuitReader) -> str:
    """Its kind, empty when there is not exactly one; blames that and keys without effect."""
    given = [_KEYS[field] for field in shape.model_fields_set]
    kinds = [kind for kind in TAKES if kind in given]
    if len(kinds) != 1:
        if kinds or not reader.blame.written(path, *TAKES):
            found = " and ".join(kinds) or "none of them"
            message = f"a part has one of {', '.join(TAKES)}; found {found}"
            reader.blame.error(path, message)
        return ""
    (kind,) = kinds
    for key in sorted(set(given) - TAKES[kind] - _ALWAYS - {kind}):
        reader.blame.error((*path, key), f"{key!r} has no effect in a {kind}; take it out")
    for key in _NEEDS.get(kind, ()):
        if not reader.blame.written(path, key):
            reader.blame.error(path, f"a {kind} needs {key!r}; add it")
    return kind
