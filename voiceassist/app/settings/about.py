"""What there is to know of a setting: what can be used, what is told of it, and its option."""

import re
from dataclasses import dataclass, field
from decimal import Decimal, InvalidOperation
from typing import Any

from voiceassist.errors import SettingsError


@dataclass(frozen=True, slots=True)
class Number:
    """A number from ``low`` to ``high``, whole or with a point, in a unit."""

    low: str
    high: str
    unit: str
    whole: bool = False

    def read(self, name: str, value: object) -> int | Decimal:
        """``value`` as a number; SettingsError when it is none, or not within the bounds."""
        try:
            number = Decimal(str(value)) if not isinstance(value, bool) else None
        except InvalidOperation:
            number = None
        if self.whole and (number is None or number != number.to_integral_value()):
            raise SettingsError(f"{name} is {value!r}", remedy="write a whole number")
        if (
            number is None
            or not number.is_finite()
            or not Decimal(self.low) <= number <= Decimal(self.high)
        ):
            raise SettingsError(f"{name} is {value!r}", remedy=f"choose {self}")
        return int(number) if self.whole else number

    def __str__(self) -> str:
        return f"{self.low} to {self.high} {self.unit}"


@dataclass(frozen=True, slots=True)
class Text:
    """Any text; of ``choices`` where there are some, or of a ``form``.

    Parts:
        choices: the texts that can be used; empty for any.
        form: a regular expression; empty for any.
        remedy: what would do, where ``form`` does not match.
    """

    choices: tuple[str, ...] = ()
    form: str = ""
    remedy: str = ""

    def read(self, name: str, value: object) -> str:
        """``value``; SettingsError when it is no text, or cannot be used."""
        if not isinstance(value, str):
            raise SettingsError(f"{name} is {value!r}", remedy="write text in quotes")
        if self.choices and value not in self.choices:
            listed = ", ".join(self.choices[:-1]) + f" or {self.choices[-1]}"
            raise SettingsError(f"{name} is {value!r}", remedy=f"choose {listed}")
        if self.form and not re.fullmatch(self.form, value, re.ASCII):
            raise SettingsError(f"{name} is {value!r}", remedy=self.remedy)
        return value


@dataclass(frozen=True, slots=True)
class About:
    """What there is to know of a setting beside its usual value.

    Parts:
        help: one line for the README and ``--help``.
        fits: what can be used.
        option: its option on the command line; empty for none.
        command: the command, or group of commands, that has the option.
        metavar: what stands for its value in ``--help``.
    """

    help: str
    fits: Number | Text
    option: str = ""
    command: str = "run"
    metavar: str | None = None


def setting(
    usual: object,
    help_: str,
    fits: Number | Text = Text(),
    **more: str,
) -> Any:  # noqa: ANN401 - a field of any type
    """A field of ``Settings`` with its ``usual`` value; ``more`` goes to ``About``."""
    return field(default=usual, metadata={"about": About(help_, fits, **more)})
