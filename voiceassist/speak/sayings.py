"""How the voice should say what it reads wrongly: acronyms, signs, dates, foreign words."""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Self

from voiceassist.errors import SpeakError

_SAY, _BETWEEN, _DATE = "say", "between", "date"
_ISO_DATE = re.compile(r"(?<![\w-])(\d{4})-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])(?![\w-])")
_MONTHS = 12


@dataclass(frozen=True)
class Sayings:
    """Written forms and what is spoken for them.

    Parts:
        forms: written form to spoken form. A written form counts as a whole word and in its own
            case; longer ones come first.
        between: the same for signs between two figures.
        months: names of the twelve months; empty when dates are left as they are.
        date: how a date is put, from "{day}", "{month}" and "{year}".
    """

    forms: Mapping[str, str] = field(default_factory=dict)
    between: Mapping[str, str] = field(default_factory=dict)
    months: tuple[str, ...] = ()
    date: str = ""

    @classmethod
    def load(cls, text: str, place: str) -> Self:
        """Read a TOML file: tables [say] and [between], written = "spoken"; and [date].

        Raises:
            SpeakError: it is not such a file; with its place and the fault.
        """
        try:
            found = tomllib.loads(text)
        except tomllib.TOMLDecodeError as error:
            raise SpeakError(f"this is not TOML: {error}", place=place) from None
        for name, table in found.items():
            if name not in {_SAY, _BETWEEN, _DATE} or not isinstance(table, dict):
                raise SpeakError(
                    f"found {name!r}", place=place, remedy="write [say], [between] or [date]"
                )
        months, form = _dates(found.get(_DATE, {}), place)
        say, between = (_texts(found.get(name, {}), place) for name in (_SAY, _BETWEEN))
        return cls(say, between, months, form)

    def __or__(self, other: "Sayings") -> "Sayings":
        """Both; where they differ, ``other`` counts."""
        return Sayings(
            {**self.forms, **other.forms},
            {**self.between, **other.between},
            other.months or self.months,
            other.date or self.date,
        )

    def __call__(self, text: str) -> str:
        """``text`` as the voice should read it."""
        if self.months:
            text = _ISO_DATE.sub(self._dated, text)
        if self.between:
            signs = _any_of(self.between)
            text = re.sub(
                rf"(?<=[\w%Ω°])\s*({signs})\s*(?=\d)", lambda m: f" {self.between[m[1]]} ", text
            )
        if self.forms:
            written = _any_of(self.forms)
            text = re.sub(rf"(?<!\w)(?:{written})(?!\w)", lambda m: self.forms[m[0]], text)
            # A sign stands before its figure without a gap.
            text = re.sub(rf"(?<!\w)({_signs(self.forms)})(?=\d)", self._spaced, text)
        return text

    def _dated(self, match: re.Match[str]) -> str:
        year, month, day = (int(part) for part in match.groups())
        return self.date.format(day=day, month=self.months[month - 1], year=year)

    def _spaced(self, match: re.Match[str]) -> str:
        return f"{self.forms[match[0]]} "


def _any_of(written: Mapping[str, str]) -> str:
    return "|".join(re.escape(form) for form in sorted(written, key=len, reverse=True))


def _signs(written: Mapping[str, str]) -> str:
    """A pattern of the written forms that hold no letter; of nothing when there are none."""
    return _any_of({f: s for f, s in written.items() if not re.search(r"\w", f)}) or r"(?!)"


def _texts(table: Mapping[str, Any], place: str) -> Mapping[str, str]:
    for written, said in table.items():
        if not written.strip() or not isinstance(said, str):
            raise SpeakError(
                f"{written!r} is said as {said!r}", place=place, remedy='write "text" = "text"'
            )
    return table


def _dates(table: Mapping[str, Any], place: str) -> tuple[tuple[str, ...], str]:
    """Names of the months and the form of a date; both empty when the file has none."""
    if not table:
        return (), ""
    months, form = table.get("months"), table.get("form")
    if not isinstance(months, list) or len(months) != _MONTHS or not _is_form(form):
        raise SpeakError(
            "[date] cannot be used",
            place=place,
            remedy='write months = [twelve names] and form = "{day} {month} {year}"',
        )
    return tuple(str(month) for month in months), str(form)


def _is_form(form: object) -> bool:
    try:
        return isinstance(form, str) and bool(form.format(day=1, month="", year=2000))
    except (KeyError, ValueError, IndexError):
        return False
