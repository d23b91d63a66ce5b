"""Whether a value is what its class says: each part of the type that is written for it.

A type checker reads that in the program's text; here it is seen in what the program gives out.
"""

import types
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any, Union, get_args, get_origin, get_type_hints


class Checked:
    """What was found well formed; nothing frozen is looked at twice."""

    def __init__(self) -> None:
        self._known: dict[tuple[int, str], object] = {}

    def odd(self, value: object, where: str = "it") -> Iterator[str]:
        """Each part of ``value`` that is not of its type, by its place."""
        if not is_dataclass(value) or isinstance(value, type):
            return
        kind = type(value)
        for name, hint in _hints(kind).items():
            part = getattr(value, name)
            key = id(part), f"{kind.__name__}.{name}"
            if key in self._known:
                continue
            self._known[key] = part  # kept, so that its id is not given to another one
            if not fits(part, hint):
                yield f"{where}.{name} is {part!r}"
            for inner in part if isinstance(part, tuple | list) else (part,):
                yield from self.odd(inner, f"{where}.{name}")


@cache
def _hints(kind: type) -> Mapping[str, Any]:
    told = get_type_hints(kind)
    return {field.name: told[field.name] for field in fields(kind)}


def fits(value: object, hint: Any) -> bool:  # noqa: ANN401
    """Whether ``value`` is of the type ``hint``."""
    origin, of = get_origin(hint), get_args(hint)
    if origin in {Union, types.UnionType}:
        return any(fits(value, one) for one in of)
    if origin is tuple:
        return isinstance(value, tuple) and _fits_each(value, of)
    if origin is not None:
        return _holds(value, origin, of)
    if hint in {int, float}:
        return isinstance(value, int if hint is int else int | float) and not isinstance(
            value, bool
        )
    return not isinstance(hint, type) or isinstance(value, hint)


def _fits_each(value: tuple[object, ...], of: tuple[Any, ...]) -> bool:
    if len(of) == 2 and of[1] is Ellipsis:
        return all(fits(one, of[0]) for one in value)
    return len(value) == len(of) and all(map(fits, value, of))


def _holds(value: object, origin: Any, of: tuple[Any, ...]) -> bool:  # noqa: ANN401
    if not isinstance(origin, type):  # such as Literal
        return value in of
    if not isinstance(value, origin):
        return False
    if isinstance(value, Mapping):
        return all(fits(k, of[0]) and fits(v, of[1]) for k, v in value.items())
    if isinstance(value, frozenset | set | list):
        return all(fits(one, of[0]) for one in value)
    return True
