"""Numbers of parts: fixed, or by the state of a condition. All are in SI units."""

import math
from collections.abc import Mapping
from dataclasses import MISSING, dataclass, field, fields
from typing import Any

from voiceassist.errors import CircuitError

#: Condition to the state it is in.
States = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class ByState:
    """A number that goes by a condition: the resistance of a control by where it is turned.

    Parts:
        condition: the condition.
        table: its state to the number.
    """

    condition: str
    table: Mapping[str, float]

    def at(self, states: States) -> float:
        """The number in ``states``.

        Raises:
            CircuitError: the condition has no state there, or one that is not in the table.
        """
        state = states.get(self.condition, "")
        if state not in self.table:
            known = ", ".join(self.table)
            raise CircuitError(
                f"no value is known with {self.condition!r} {state or 'in no state'}",
                remedy=f"set it to one of {known}",
            )
        return self.table[state]


Value = float | ByState
_CHECK = "check"


def value_at(value: Value, states: States) -> float:
    """``value`` in ``states``; CircuitError when its condition has no state there."""
    return value.at(states) if isinstance(value, ByState) else value


def numbers_of(value: Value) -> tuple[float, ...]:
    """Every number that ``value`` can be."""
    return tuple(value.table.values()) if isinstance(value, ByState) else (value,)


def scaled(value: Value, factor: float) -> Value:
    """``value`` times a plain number, in every state."""
    if isinstance(value, ByState):
        table = {state: number * factor for state, number in value.table.items()}
        return ByState(value.condition, table)
    return value * factor


def number(what: str, unit: str, default: object = MISSING, *, above_zero: bool = False) -> Any:  # noqa: ANN401 - a field of any type
    """A field that holds a number of zero or more, or one ``above_zero``; or None for none."""

    def check(name: str, value: Value) -> None:
        for given in numbers_of(value):
            if math.isnan(given) or given < 0 or (above_zero and given == 0):
                least = "a value above zero" if above_zero else "zero or more"
                told = f"{given:g} {unit}".rstrip()
                raise CircuitError(f"{name!r} cannot have {what} of {told}", remedy=f"give {least}")

    return field(default=default, metadata={_CHECK: check})


def share(what: str, default: object = MISSING) -> Any:  # noqa: ANN401 - a field of any type
    """A field that holds a share from 0 to 1."""

    def check(name: str, value: Value) -> None:
        check_share(name, what, value)

    return field(default=default, metadata={_CHECK: check})


def check_share(name: str, what: str, value: Value) -> None:
    """Refuse a share of the part ``name`` that is not from 0 to 1.

    Raises:
        CircuitError: it is not.
    """
    for given in numbers_of(value):
        if not 0 <= given <= 1:
            raise CircuitError(
                f"{name!r} cannot have {what} of {given * 100:g} %", remedy="give 0 % to 100 %"
            )


def check_fields(of: Any) -> None:  # noqa: ANN401 - a part of any kind
    """Refuse a value of the part ``of`` that cannot be.

    Raises:
        CircuitError: a number of it is none that its field can hold.
    """
    for own in fields(of):
        if own.metadata and (value := getattr(of, own.name)) is not None:
            own.metadata[_CHECK](of.name, value)
