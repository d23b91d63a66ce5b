"""Limits that depend on a state, an answer or another reading."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from voiceassist.errors import MeasureError
from voiceassist.measure.expression import LimitExpression, Values
from voiceassist.measure.quantity import Quantity

_NONE: Values = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a table.

    Parts:
        key: as written: a state or an answer, or values such as "0 °C to 25 °C".
        when: the values of ``key``, in fixed quantities; None for a state or an answer.
        limit: what holds then.
    """

    key: str
    when: LimitExpression | None
    limit: LimitExpression

    def __post_init__(self) -> None:
        if self.when is not None and self.when.names:
            raise MeasureError(
                f"the row {self.key!r} depends on {', '.join(sorted(self.when.names))}",
                remedy="give it fixed values such as 0 °C to 25 °C",
            )

    def renamed(self, names: Mapping[str, str]) -> "Row":
        """The same row with the readings of its limit called otherwise, old name to new."""
        return replace(self, limit=self.limit.renamed(names))


@dataclass(frozen=True, slots=True)
class LimitTable:
    """Limits by the value of one thing.

    Parts:
        by: name of a condition or question, when rows are words; of a reading or fact, when
            they are values.
        rows: in the order they are tried.
    """

    by: str
    rows: tuple[Row, ...]

    def __post_init__(self) -> None:
        if not self.rows:
            raise MeasureError(
                f"the table by {self.by!r} has no rows",
                remedy="write one such as 'run: 12 V to 13 V'",
            )
        keys = [row.key for row in self.rows]
        twice = next((key for key in keys if keys.count(key) > 1), None)
        if twice is not None:
            raise MeasureError(
                f"the table by {self.by!r} has the row {twice!r} twice", remedy="take one out"
            )
        kinds = {_kind(row) for row in self.rows}
        if len(kinds) > 1:
            raise MeasureError(
                f"the table by {self.by!r} has rows for {' and for '.join(sorted(kinds))}",
                remedy="use states and answers only, or values of one kind only",
            )

    @property
    def conditional(self) -> bool:
        """True when its rows are states or answers, False when they are values."""
        return self.rows[0].when is None

    @property
    def names(self) -> frozenset[str]:
        """Earlier readings and facts it needs."""
        by = frozenset[str]() if self.conditional else frozenset({self.by})
        return by.union(*(row.limit.names for row in self.rows))

    def pick(self, value: str | Quantity, values: Values = _NONE) -> LimitExpression | None:
        """The limit of the first row that holds for ``value``; None when no row does.

        Args:
            value: the state or answer, or the reading, that ``by`` names now.
            values: other readings; rows with fixed values need none.

        Raises:
            MeasureError: the reading is of another kind than the rows.
            TypeError: a word for rows of values, or a reading for rows of words.
        """
        if isinstance(value, str) is not self.conditional:
            raise TypeError(f"the table by {self.by!r} cannot be asked with {value!r}")
        held = (row.limit for row in self.rows if _holds(row, value, values))
        return next(held, None)

    def renamed(self, names: Mapping[str, str]) -> "LimitTable":
        """The same table with steps and readings called otherwise, old name to new."""
        rows = tuple(row.renamed(names) for row in self.rows)
        return LimitTable(names.get(self.by, self.by), rows)


def _holds(row: Row, value: str | Quantity, values: Values) -> bool:
    if isinstance(value, str):
        return row.key == value
    return row.when is not None and row.when.fill(values).holds(value)


def _kind(row: Row) -> str:
    """What rows of one table must have in common."""
    if row.when is None:
        return "states"
    limit = row.when.fill(_NONE)
    end = limit.low or limit.high
    assert end is not None  # a limit has one
    return end.unit.quantity
