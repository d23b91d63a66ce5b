"""Fields of a journal's lines: named once, and read with the type that they have.

A field that is missing, or of another type than it should be, reads as empty, nought or no: a
journal was written by another version perhaps, or by another hand, and still is to be told.
"""

import math
from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, Generic, Self, TypeGuard, TypeVar, overload

from voiceassist.record.webvtt import one_line

if TYPE_CHECKING:
    from voiceassist.record.lines import Line

_T = TypeVar("_T")
#: An object within a line, such as a meaning.
Part = Mapping[str, object]
_NOTHING: Part = MappingProxyType({})


class Field(Generic[_T]):
    """A field of a kind of line, called as the attribute that holds it.

    Args:
        read: makes its value of what the line has; of None where it has nothing.
        fits: what the line has is of its type.
        name: of the field, where the attribute has another one.
    """

    def __init__(
        self, read: Callable[[object], _T], fits: Callable[[object], bool], name: str = ""
    ) -> None:
        self._read = read
        self._none = read(None)  # what it reads as where a line has nothing, as most have
        self.fits = fits
        self.name = name
        self._attribute = name

    def __set_name__(self, owner: type["Line"], name: str) -> None:
        self.name = self.name or name
        self._attribute = name

    @overload
    def __get__(self, line: None, owner: type["Line"]) -> Self: ...
    @overload
    def __get__(self, line: "Line", owner: type["Line"]) -> _T: ...
    def __get__(self, line: "Line | None", owner: type["Line"]) -> Self | _T:
        if line is None:
            return self
        found = line._all.get(self.name)
        value = self._none if found is None else self._read(found)
        line.__dict__[self._attribute] = value  # asked for again, it is found there at once
        return value


def text() -> Field[str]:
    """Words on one line."""
    return Field(_one_line, lambda value: isinstance(value, str))


def verbatim(name: str = "") -> Field[str]:
    """Text as it stands, such as the name of a file; empty for what is no text."""
    return Field(
        lambda value: value if isinstance(value, str) else "",
        lambda value: isinstance(value, str),
        name,
    )


def whole() -> Field[int]:
    """A whole number."""
    return Field(lambda value: value if type(value) is int else 0, lambda value: type(value) is int)


def flag() -> Field[bool]:
    """Yes or no."""
    return Field(bool, lambda value: isinstance(value, bool))


def number() -> Field[float | None]:
    """A number that is one; None for none."""
    return Field(_number, _is_number)


def texts() -> Field[tuple[str, ...]]:
    """Several words, each on one line."""
    return Field(
        lambda value: tuple(one_line(str(one)) for one in _listed(value)),
        lambda value: all(isinstance(one, str) for one in _listed(value, [0])),
    )


def parts() -> Field[tuple[Part, ...]]:
    """Several objects, or one alone; what is none is passed over."""
    return Field(
        lambda value: tuple(one for one in _listed(value, [value]) if isinstance(one, Mapping)),
        lambda value: all(isinstance(one, Mapping) for one in _listed(value, [0])),
    )


def part() -> Field[Part]:
    """An object; empty for none."""
    return Field(
        lambda value: value if isinstance(value, Mapping) else _NOTHING,
        lambda value: isinstance(value, Mapping),
    )


def anything() -> Field[object]:
    """What is read by whoever knows it."""
    return Field(lambda value: value, lambda value: True)


def _one_line(value: object) -> str:
    if not value:
        return ""
    return one_line(value if isinstance(value, str) else str(value))


def _is_number(value: object) -> TypeGuard[int | float]:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _number(value: object) -> float | None:
    if not _is_number(value):
        return None
    try:
        found = float(value)
    except OverflowError:
        return None
    return found if math.isfinite(found) else None


def _listed(
    value: object, otherwise: list[object] | None = None
) -> list[object] | tuple[object, ...]:
    return value if isinstance(value, list | tuple) else otherwise or []
