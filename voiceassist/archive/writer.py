"""Puts sessions into the archive and takes them out, each call in one transaction."""

from collections.abc import Iterable, Iterator, Sequence

import sqlalchemy as sa

from voiceassist.archive import rows, tables
from voiceassist.archive.in_parts import in_parts, insert, rows_with
from voiceassist.archive.numbers import number_of
from voiceassist.archive.rows import Row, TakenSession
from voiceassist.archive.seal_rows import advance_seals
from voiceassist.archive.words import vector
from voiceassist.record.removal import Removal
from voiceassist.record.webvtt import one_line

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
    insert(
        connection,
        tables.sessions,
        [rows.session_row(one, place) | {"number": n} for one, n in numbered],
    )
    readings = [row for one, n in numbered for row in rows.reading_rows(one, n)]
    insert(connection, tables.readings, readings)
    verdicts = [row for one, n in numbered for row in rows.verdict_rows(one, n)]
    insert(connection, tables.verdicts, verdicts)
    _put_words(connection, [rows.word_row(one, n) for one, n in numbered])
    for one in taken:
        _put_points(connection, list(rows.point_rows(one)))
    advance_seals(connection, place, taken)


def forget(connection: sa.Connection, place: str, removals: Sequence[Removal]) -> None:
    """Take out sessions that were deleted, their seals too, and keep that they were."""
    folders = [removal.session for removal in removals]
    began = _began(connection, place, folders)
    _drop(connection, _at(place, folders))
    seals, deletions = tables.seals, tables.deletions
    for part in in_parts(folders):
        mine = (seals.c.place == place) & seals.c.folder.in_(part)
        connection.execute(sa.delete(seals).where(mine))
        # A session was deleted once, wherever its folder has been since.
        connection.execute(sa.delete(deletions).where(deletions.c.folder.in_(part)))
    insert(
        connection,
        tables.deletions,
        [_deletion_row(removal, place, began.get(removal.session, "")) for removal in removals],
    )


def set_missing(
    connection: sa.Connection, place: str, folders: Sequence[str], missing: bool
) -> None:
    """Note that the folders of these sessions are gone, or there again."""
    table = tables.sessions
    for part in in_parts(folders):
        connection.execute(
            sa.update(table)
            .where(table.c.place == place, table.c.folder.in_(part))
            .values(missing=missing)
        )


def tidy(connection: sa.Connection) -> None:
    """Have no word of deleted sessions left in the index of SQLite's full text search."""
    if connection.dialect.name == "sqlite":
        connection.execute(sa.text("INSERT INTO words (words) VALUES ('optimize')"))


_Conditions = Iterator[sa.ColumnElement[bool]]


def _at(place: str, folders: Sequence[str]) -> _Conditions:
    table = tables.sessions
    return ((table.c.place == place) & table.c.folder.in_(part) for part in in_parts(folders))


def _of_ids(sids: Sequence[str]) -> _Conditions:
    """Wherever they were last seen: a folder that was moved takes its sessions along."""
    return (tables.sessions.c.sid.in_(part) for part in in_parts(sids))


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
    used = {row.number for row in rows_with(connection, sa.select(number_is), number_is, wished)}
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


def _began(connection: sa.Connection, place: str, folders: Sequence[str]) -> dict[str, str]:
    c = tables.sessions.c
    asked = sa.select(c.folder, c.began).where(c.place == place)
    return {row.folder: row.began for row in rows_with(connection, asked, c.folder, folders)}


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
