"""Seals of journals: how far each was seen, and by which line."""

from collections.abc import Sequence

import sqlalchemy as sa

from voiceassist.archive import tables
from voiceassist.archive.in_parts import in_parts, insert, rows_with
from voiceassist.archive.rows import Row, TakenSession


def advance_seals(connection: sa.Connection, place: str, taken: Sequence[TakenSession]) -> None:
    """A seal moves on only to a journal that still holds the line it was set at.

    So a journal that was cut or written anew keeps its old seal, which tells on it. The seal of
    a session that lay elsewhere before comes along by its id.
    """
    table = tables.seals
    held = _held_elsewhere(connection, place, taken) | _held_here(connection, place, taken)
    moving = [one for one in taken if one.hashes and _follows(one, held.get(one.folder))]
    for part in in_parts([one.folder for one in moving]):
        connection.execute(sa.delete(table).where(table.c.place == place, table.c.folder.in_(part)))
    values: list[Row] = [
        {
            "place": place,
            "folder": one.folder,
            "lines": len(one.hashes),
            "last_hash": one.last_hash,
            "sid": one.sid(place),
        }
        for one in moving
    ]
    insert(connection, table, values)


def _held_here(
    connection: sa.Connection, place: str, taken: Sequence[TakenSession]
) -> dict[str, tuple[int, str]]:
    c = tables.seals.c
    asked = sa.select(c.folder, c.lines, c.last_hash).where(c.place == place)
    rows = rows_with(connection, asked, c.folder, [one.folder for one in taken])
    # One that is spoilt holds nothing, and is set anew.
    return {folder: (lines, last) for folder, lines, last in rows if isinstance(lines, int)}


def _held_elsewhere(
    connection: sa.Connection, place: str, taken: Sequence[TakenSession]
) -> dict[str, tuple[int, str]]:
    """The longest seal of each session under any other name or place."""
    c, held = tables.seals.c, dict[str, tuple[int, str]]()
    folders = {one.sid(place): one.folder for one in taken}
    rows = rows_with(connection, sa.select(c.sid, c.lines, c.last_hash), c.sid, folders)
    for sid, lines, last in rows:
        if isinstance(lines, int):
            folder = folders[sid]
            held[folder] = max(held.get(folder, (0, "")), (lines, last))
    return held


def _follows(one: TakenSession, held: tuple[int, str] | None) -> bool:
    if held is None:
        return True
    lines, last = held
    return lines == 0 or (lines <= len(one.hashes) and one.hashes[lines - 1] == last)
