"""Routes to a step that stands for several, led to the first of them."""

from collections.abc import Mapping

from voiceassist.procedure.text.tree import Value

_ROUTES = frozenset(
    {"then", "low", "high", "over", "fail", "dim", "off", "bright", "flickering", "skip"}
    | {"not-sure", "comes-and-goes", "go-on"}
)
_LISTS = frozenset({"because", "before-fitting", "prove-with", "repair"})


def led(value: Value, made: Mapping[str, list[str]]) -> Value:
    """``value`` with a route to a step that stands for several led to the first of them."""
    if isinstance(value, list):
        return [led(part, made) for part in value]
    if not isinstance(value, dict):
        return value
    found: dict[str, Value] = {}
    for key, part in value.items():
        if key in {"answers", "go", "bands"}:
            found[key] = _led_answers(part, made)
        elif key in _ROUTES and isinstance(part, str):
            found[key] = made.get(part, [part])[0]
        elif key in _LISTS and isinstance(part, list):
            found[key] = [
                name
                for one in part
                for name in (made.get(one, [one]) if isinstance(one, str) else [one])
            ]
        else:
            found[key] = led(part, made)
    return found


def _led_answers(value: Value, made: Mapping[str, list[str]]) -> Value:
    """The answers of a question, or the ways on from a used file."""
    if isinstance(value, str):
        return made.get(value, [value])[0]
    if isinstance(value, dict):
        return {
            key: part if key == "say" else _led_answers(part, made) for key, part in value.items()
        }
    return value
