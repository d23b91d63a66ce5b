"""Whether a value is what its class says: each part of the type that is written for it.

A type checker reads that in the program's text; here it is seen in what the program gives out.
"""

import types
from collections.abc import Callable, Iterator, Mapping
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
    return _fitting(hint)(value)


_Fits = Callable[[Any], bool]


@cache
def _fitting(hint: Any) -> _Fits:  # noqa: ANN401
    """What tells whether a value is of the type ``hint``."""
    origin, of = get_origin(hint), get_args(hint)
    if origin in {Union, types.UnionType}:
        each = tuple(map(_fitting, of))
        return lambda value: any(one(value) for one in each)
    if origin is tuple:
        return _tuple_of(of)
    if origin is not None:
        return _holding(origin, of)
    if hint in {int, float}:
        number = int if hint is int else int | float
        return lambda value: isinstance(value, number) and not isinstance(value, bool)
    return (lambda value: isinstance(value, hint)) if isinstance(hint, type) else lambda _: True


def _tuple_of(of: tuple[Any, ...]) -> _Fits:
    if len(of) == 2 and of[1] is Ellipsis:
        every = _fitting(of[0])
        return lambda value: isinstance(value, tuple) and all(map(every, value))
    each = tuple(map(_fitting, of))

    def fits_each(value: object) -> bool:
        if not isinstance(value, tuple) or len(value) != len(each):
            return False
        return all(one(part) for one, part in zip(each, value, strict=True))

    return fits_each


def _holding(origin: Any, of: tuple[Any, ...]) -> _Fits:  # noqa: ANN401
    if not isinstance(origin, type):  # such as Literal
        return lambda value: value in of
    if issubclass(origin, Mapping):
        key, kept = map(_fitting, of)
        return lambda value: (
            isinstance(value, origin) and all(key(k) and kept(v) for k, v in value.items())
        )
    if issubclass(origin, frozenset | set | list):
        every = _fitting(of[0])
        return lambda value: isinstance(value, origin) and all(map(every, value))
    return lambda value: isinstance(value, origin)
