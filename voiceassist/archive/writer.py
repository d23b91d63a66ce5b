"""Puts sessions into the archive and takes them out, each call in one transaction."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Any, TypeVar

import sqlalchemy as sa

from voiceassist.archive import rows, tables
from voiceassist.archive.numbers import number_of
from voiceassist.archive.rows import Row, TakenSession
from voiceassist.archive.words import vector
from voiceassist.record.removal import Removal
from voiceassist.record.webvtt import one_line

_T = TypeVar("_T")

_WORDS_SQLITE = sa.text(
    "INSERT INTO words (rowid, said, cause, complaint, vehicle)"
    " VALUES (:session, :said, :cause, :complaint, :vehicle)"
)


def put(connection: sa.Connection, place: str, taken: Sequence[TakenSession]) -> None:
    """Take in ``taken``, each in place of what was there of it, and advance their seals.

    Where a session is there twice, the last one counts.
    """
    taken = list({one.sid(place): one for one in taken}.values())
    _drop(connection, _at(place, [one.folder for one in taken]))
    _drop(connection, _of_ids([one.sid(place) for one in taken]))
    numbers = _numbers(connection, taken)
    numbered = list(zip(taken, numbers, strict=True))
    _insert(
        connection,
        tables.sessions,
        [rows.session_row(one, place) | {"number": n} for one, n in numbered],
    )
    readings = [row for one, n in numbered for row in rows.reading_rows(one, n)]
    _insert(connection, tables.readings, readings)
    verdicts = [row for one, n in numbered for row in rows.verdict_rows(one, n)]
    _insert(connection, tables.verdicts, verdicts)
    _put_words(connection, [rows.word_row(one, n) for one, n in numbered])
    for one in taken:
        _put_points(connection, list(rows.point_rows(one)))
    _advance_seals(connection, place, taken)


def forget(connection: sa.Connection, place: str, removals: Sequence[Removal]) -> None:
    """Take out sessions that were deleted, their seals too, and keep that they were."""
    folders = [removal.session for removal in removals]
    began = _began(connection, place, folders)
    _drop(connection, _at(place, folders))
    seals, deletions = tables.seals, tables.deletions
    for part in _parts(folders):
        mine = (seals.c.place == place) & seals.c.folder.in_(part)
        connection.execute(sa.delete(seals).where(mine))
        # A session was deleted once, wherever its folder has been since.
        connection.execute(sa.delete(deletions).where(deletions.c.folder.in_(part)))
    _insert(
        connection,
        tables.deletions,
        [_deletion_row(removal, place, began.get(removal.session, "")) for removal in removals],
    )


def set_missing(
    connection: sa.Connection, place: str, folders: Sequence[str], missing: bool
) -> None:
    """Note that the folders of these sessions are gone, or there again."""
    table = tables.sessions
    for part in _parts(folders):
        connection.execute(
            sa.update(table)
            .where(table.c.place == place, table.c.folder.in_(part))
            .values(missing=missing)
        )


def tidy(connection: sa.Connection) -> None:
    """Have no word of deleted sessions left in the index of SQLite's full text search."""
    if connection.dialect.name == "sqlite":
        connection.execute(sa.text("INSERT INTO words (words) VALUES ('optimize')"))


def _insert(connection: sa.Connection, table: sa.Table, values: list[Row]) -> None:
    if values:
        connection.execute(sa.insert(table), values)


_Conditions = Iterator[sa.ColumnElement[bool]]


def _at(place: str, folders: Sequence[str]) -> _Conditions:
    table = tables.sessions
    return ((table.c.place == place) & table.c.folder.in_(part) for part in _parts(folders))


def _of_ids(sids: Sequence[str]) -> _Conditions:
    """Wherever they were last seen: a folder that was moved takes its sessions along."""
    return (tables.sessions.c.sid.in_(part) for part in _parts(sids))


def forget_place(connection: sa.Connection, place: str) -> None:
    """Take out all that is known of a folder of records but its seals, which do no harm."""
    _drop(connection, [tables.sessions.c.place == place])
    for other in (tables.deletions, tables.bays):
        connection.execute(sa.delete(other).where(other.c.place == place))


def note_bay(connection: sa.Connection, place: str, shown: str) -> None:
    """Keep where a folder of records was seen."""
    table = tables.bays
    connection.execute(sa.delete(table).where(table.c.place == place))
    connection.execute(sa.insert(table), [{"place": place, "shown": shown}])


def _drop(connection: sa.Connection, conditions: Iterable[sa.ColumnElement[bool]]) -> None:
    """Take out rows of sessions; readings, verdicts and words go with them."""
    table = tables.sessions
    for wanted in conditions:
        if connection.dialect.name == "sqlite":
            words, numbers = tables.words_sqlite, sa.select(table.c.number).where(wanted)
            connection.execute(sa.delete(words).where(words.c.rowid.in_(numbers)))
        connection.execute(sa.delete(table).where(wanted))


def _numbers(connection: sa.Connection, taken: Sequence[TakenSession]) -> list[int]:
    """A free number for each; one that is not free goes up by one until it is."""
    number_is = tables.sessions.c.number
    wished = [number_of(one.folder, one.summary.began) for one in taken]
    used = {row.number for row in _found(connection, sa.select(number_is), number_is, wished)}
    found = []
    for number in wished:
        free = number
        while free in used or (free != number and _is_used(connection, free)):
            free += 1
        used.add(free)
        found.append(free)
    return found


def _is_used(connection: sa.Connection, number: int) -> bool:
    table = tables.sessions
    found = sa.select(sa.func.count()).select_from(table).where(table.c.number == number)
    return bool(connection.scalar(found))


def _put_words(connection: sa.Connection, values: list[Row]) -> None:
    if not values:
        return
    if connection.dialect.name == "sqlite":
        connection.execute(_WORDS_SQLITE, values)
        return
    names = [name for name in values[0] if name != "session"]
    vectors = ", ".join(f"CAST(:{name} AS tsvector)" for name in names)
    line = f"INSERT INTO words (session, {', '.join(names)}) VALUES (:session, {vectors})"
    made = [{**row, **{name: vector(str(row[name])) for name in names}} for row in values]
    connection.execute(sa.text(line), made)


def _put_points(connection: sa.Connection, values: list[Row]) -> None:
    if values:
        connection.execute(_unless_there(tables.points, connection.dialect.name), values)


def _unless_there(table: sa.Table, dialect: str) -> sa.Executable:
    """Put rows that are not there yet; each database has its own word for it."""
    if dialect == "sqlite":
        from sqlalchemy.dialects.sqlite import insert as into_sqlite

        return into_sqlite(table).on_conflict_do_nothing()
    from sqlalchemy.dialects.postgresql import insert as into_postgresql  # takes long to import

    return into_postgresql(table).on_conflict_do_nothing()


def _advance_seals(connection: sa.Connection, place: str, taken: Sequence[TakenSession]) -> None:
    """A seal moves on only to a journal that still holds the line it was set at.

    So a journal that was cut or written anew keeps its old seal, which tells on it. The seal of
    a session that lay elsewhere before comes along by its id.
    """
    table = tables.seals
    held = _held_elsewhere(connection, place, taken) | _held_here(connection, place, taken)
    moving = [one for one in taken if one.hashes and _follows(one, held.get(one.folder))]
    for part in _parts([one.folder for one in moving]):
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
    _insert(connection, table, values)


def _held_here(
    connection: sa.Connection, place: str, taken: Sequence[TakenSession]
) -> dict[str, tuple[int, str]]:
    c = tables.seals.c
    asked = sa.select(c.folder, c.lines, c.last_hash).where(c.place == place)
    rows = _found(connection, asked, c.folder, [one.folder for one in taken])
    # One that is spoilt holds nothing, and is set anew.
    return {folder: (lines, last) for folder, lines, last in rows if isinstance(lines, int)}


def _held_elsewhere(
    connection: sa.Connection, place: str, taken: Sequence[TakenSession]
) -> dict[str, tuple[int, str]]:
    """The longest seal of each session under any other name or place."""
    c, held = tables.seals.c, dict[str, tuple[int, str]]()
    folders = {one.sid(place): one.folder for one in taken}
    rows = _found(connection, sa.select(c.sid, c.lines, c.last_hash), c.sid, folders)
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


def _began(connection: sa.Connection, place: str, folders: Sequence[str]) -> dict[str, str]:
    c = tables.sessions.c
    asked = sa.select(c.folder, c.began).where(c.place == place)
    return {row.folder: row.began for row in _found(connection, asked, c.folder, folders)}


def _deletion_row(removal: Removal, place: str, began: str) -> Row:
    return {
        "place": place,
        "folder": removal.session,
        "number": number_of(removal.session, began),
        "removed_at": removal.removed_at,
        "removed_by": one_line(removal.by),
        "reason": one_line(removal.reason),
        "last_hash": one_line(removal.last_hash),
    }


def _found(
    connection: sa.Connection,
    asked: sa.Select[Any],
    column: sa.ColumnElement[Any],
    values: Iterable[object],
) -> Iterator[Any]:
    """The rows of ``asked`` in which ``column`` holds one of ``values``."""
    for part in _parts(values):
        yield from connection.execute(asked.where(column.in_(part)))


def _parts(values: Iterable[_T], size: int = 400) -> list[list[_T]]:
    """``values`` in parts that a statement can hold."""
    listed = list(values)
    return [listed[i : i + size] for i in range(0, len(listed), size)]
