"""Many values at once, in parts that a statement can hold."""

from collections.abc import Iterable, Iterator
from typing import Any, TypeVar

import sqlalchemy as sa

from voiceassist.archive.rows import Row

_T = TypeVar("_T")


def insert(connection: sa.Connection, table: sa.Table, values: list[Row]) -> None:
    """Put ``values`` in, where there are any."""
    if values:
        connection.execute(sa.insert(table), values)


def rows_with(
    connection: sa.Connection,
    asked: sa.Select[Any],
    column: sa.ColumnElement[Any],
    values: Iterable[object],
) -> Iterator[Any]:
    """The rows of ``asked`` in which ``column`` holds one of ``values``."""
    for part in in_parts(values):
        yield from connection.execute(asked.where(column.in_(part)))


def in_parts(values: Iterable[_T], size: int = 400) -> list[list[_T]]:
    """``values`` in parts that a statement can hold."""
    listed = list(values)
    return [listed[i : i + size] for i in range(0, len(listed), size)]
