"""The archive as the rest of the program sees it."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import wraps
from typing import TYPE_CHECKING, Any, Concatenate, NamedTuple, ParamSpec, TypeVar

from sqlalchemy import Engine, RowMapping, Select, Table, func, select

from voiceassist.archive import schema, tables
from voiceassist.archive.content import checked
from voiceassist.archive.engine import (
    address,
    checkpoint,
    lasting,
    make_engine,
    reading,
    shown,
    tune,
    writing,
)
from voiceassist.archive.find import Wanted, statement
from voiceassist.archive.numbers import order_key

if TYPE_CHECKING:
    from voiceassist.archive.rows import TakenSession
    from voiceassist.archive.totals import Totals
    from voiceassist.archive.trend import Trend
    from voiceassist.record.removal import Removal

_P = ParamSpec("_P")
_R = TypeVar("_R")

Row = RowMapping


class FileMark(NamedTuple):
    """By what a journal that has not changed is known: size and time of change of its file.

    With the id of its session, so that a copy of it is known for one.
    """

    size: int
    mtime_ns: int
    missing: bool
    sid: str = ""


@dataclass(frozen=True, slots=True)
class Seal:
    """The longest journal seen of a session: how many lines, and the hash of the last."""

    lines: int
    last_hash: str


def _lasting(
    asked: Callable[Concatenate["Archive", _P], _R],
) -> Callable[Concatenate["Archive", _P], _R]:
    """``asked`` of an archive whose server may be restarted meanwhile."""

    @wraps(asked)
    def again(archive: "Archive", /, *args: _P.args, **more: _P.kwargs) -> _R:
        return lasting(archive.engine, lambda: asked(archive, *args, **more))

    return again


class Archive:
    """An open archive; make it with ``open`` and close it.

    Args:
        engine: its database, with tables of this version.
        place: whose folder of records is meant; empty for an archive of one folder's own.
    """

    def __init__(self, engine: Engine, place: str = "") -> None:
        self.engine = engine
        self.place = place

    @classmethod
    @contextmanager
    def open(cls, where: str, place: str = "") -> Iterator["Archive"]:
        """Open the archive at ``where``, a file or URL; tables are made or brought up to date.

        Raises:
            ArchiveError: it cannot be reached or written, or a newer version made it.
        """
        engine = make_engine(address(where))
        try:
            lasting(engine, lambda: schema.ensure(engine), at_first=True)
            yield cls(engine, place)
        finally:
            engine.dispose()

    @property
    def name(self) -> str:
        """How it is called in messages."""
        return shown(self.engine.url)

    # --- taking in ---

    @_lasting
    def known(self) -> dict[str, FileMark]:
        """Folder to mark, of every session of this place."""
        table = tables.sessions
        c = table.c
        asked = select(c.folder, c.size, c.mtime_ns, c.missing, c.sid)
        with reading(self.engine) as connection:
            found = connection.execute(asked.where(c.place == self.place))
            return {folder: FileMark(*mark) for folder, *mark in found}

    # What puts, and what adds up, is imported when it is asked for: most commands only look.

    @_lasting
    def put(self, taken: Sequence["TakenSession"]) -> None:
        """Take in sessions, each in place of what was there of it."""
        from voiceassist.archive import writer

        with writing(self.engine) as connection:
            writer.put(connection, self.place, taken)

    @_lasting
    def set_missing(self, folders: Sequence[str], *, missing: bool) -> None:
        """Note that folders are gone that nobody deleted with this program, or there again."""
        from voiceassist.archive import writer

        with writing(self.engine) as connection:
            writer.set_missing(connection, self.place, folders, missing)

    @_lasting
    def forget(self, removals: Sequence["Removal"]) -> None:
        """Take out deleted sessions, and keep that they were deleted."""
        from voiceassist.archive import writer

        with writing(self.engine) as connection:
            writer.forget(connection, self.place, removals)
            writer.tidy(connection)
        checkpoint(self.engine)

    @_lasting
    def note_bay(self, shown: str) -> None:
        """Keep where this folder of records is, for people; an archive of one's own needs none."""
        if self.place and self.bays().get(self.place) != shown:
            from voiceassist.archive import writer

            with writing(self.engine) as connection:
                writer.note_bay(connection, self.place, shown)

    @_lasting
    def forget_place(self, place: str) -> None:
        """Take out all that is known of a folder of records; its journals stay where they are."""
        from voiceassist.archive import writer

        with writing(self.engine) as connection:
            writer.forget_place(connection, place)
            writer.tidy(connection)
        checkpoint(self.engine)

    @_lasting
    def tune(self) -> None:
        """Have the database put its tables in order, after many sessions were put."""
        tune(self.engine)

    # --- asking ---

    @_lasting
    def find(self, wanted: Wanted) -> Sequence[Row]:
        """Rows of ``sessions``, the youngest first.

        Raises:
            ArchiveError: words were asked for that hold no word.
        """
        return self._rows(statement(wanted, self.engine.dialect))

    @_lasting
    def deletions(self, limit: int = 0) -> Sequence[Row]:
        """Rows of ``deletions``, of the youngest session first; ``limit`` 0 for all."""
        asked = select(tables.deletions).order_by(tables.deletions.c.number.desc())
        asked = asked.limit(limit) if limit else asked
        return self._rows(asked)

    @_lasting
    def deleted(self) -> frozenset[str]:
        """Folders of this place that are known as deleted."""
        table = tables.deletions
        with reading(self.engine) as connection:
            asked = select(table.c.folder).where(table.c.place == self.place)
            return frozenset(connection.scalars(asked))

    @_lasting
    def bays(self) -> dict[str, str]:
        """Place to host and path, of all folders of records that have been seen."""
        table = tables.bays
        with reading(self.engine) as connection:
            found = connection.execute(select(table.c.place, table.c.shown)).all()
            return {row.place: row.shown for row in found}

    @_lasting
    def places(self) -> dict[str, int]:
        """Place to the number of sessions that lie there."""
        table = tables.sessions
        with reading(self.engine) as connection:
            asked = select(table.c.place, func.count().label("sessions")).group_by(table.c.place)
            return {row.place: row.sessions for row in connection.execute(asked)}

    def with_order(self, repair_order: str) -> Sequence[Row]:
        """Rows of ``sessions`` of this repair order, the youngest first."""
        return self.find(Wanted(order=repair_order)) if order_key(repair_order) else ()

    def session(self, folder: str) -> Row | None:
        """The row of a session of this place."""
        found = self.sessions_of([folder])
        return found[0] if found else None

    def sessions_of(self, folders: Sequence[str]) -> Sequence[Row]:
        """Rows of these sessions of this place, some hundreds at most."""
        return self._of(tables.sessions, folders)

    def readings(self, number: int) -> Sequence[Row]:
        """Rows of ``readings`` of a session by its number, in order."""
        return self.readings_of([number])

    @_lasting
    def readings_of(self, numbers: Sequence[int]) -> Sequence[Row]:
        """Rows of ``readings`` of some hundred sessions, those of each in order."""
        c = tables.readings.c
        asked = select(tables.readings).where(c.session.in_(numbers)).order_by(c.session, c.place)
        return self._rows(asked)

    def seals_of(self, folders: Sequence[str]) -> dict[str, Seal]:
        """Folder to seal, of some hundred sessions of this place."""
        found = self._of(tables.seals, folders)
        return {row["folder"]: Seal(row["lines"], row["last_hash"]) for row in found}

    def seal(self, folder: str, own_id: str = "") -> Seal | None:
        """The longest journal seen of a session; None when none was.

        Args:
            folder: its name here.
            own_id: by which it may be known from where it lay before.
        """
        if here := self.seals_of([folder]):
            return here[folder]
        found = self._sealed_as(own_id) if own_id else ()
        return Seal(found[0]["lines"], found[0]["last_hash"]) if found else None

    @_lasting
    def broken_seals(self) -> frozenset[tuple[str, str]]:
        """Place and folder of each session whose journal does not go on from the longest seen.

        A seal moves on with its journal, so that the two differ when it was cut or written anew.
        """
        known, seals = tables.sessions.c, tables.seals.c
        same = (known.place == seals.place) & (known.folder == seals.folder)
        differs = (known.lines != seals.lines) | (known.last_hash != seals.last_hash)
        with reading(self.engine) as connection:
            asked = select(known.place, known.folder).where(same, differs)
            return frozenset((row.place, row.folder) for row in connection.execute(asked))

    @_lasting
    def _sealed_as(self, own_id: str) -> Sequence[Row]:
        table = tables.seals
        asked = select(table).where(table.c.sid == own_id).order_by(table.c.lines.desc())
        return self._rows(asked)

    @_lasting
    def trends(self, point: str, procedure: str = "", vehicle: str = "") -> Sequence["Trend"]:
        """See ``trend.trends``."""
        from voiceassist.archive.trend import trends

        with reading(self.engine) as connection:
            return list(trends(connection, point, procedure, vehicle))

    def totals(self, wanted: Wanted) -> "Totals":
        """What the sessions that fit come to, taken together; see ``totals.totals``."""
        from voiceassist.archive.totals import totals

        found = self.find(wanted)
        with reading(self.engine) as connection:
            return totals(connection, found)

    @_lasting
    def counts(self) -> tuple[int, int]:
        """How many sessions and readings there are."""
        with reading(self.engine) as connection:
            tallies = [
                connection.scalar(select(func.count()).select_from(table)) or 0
                for table in (tables.sessions, tables.readings)
            ]
        return tallies[0], tallies[1]

    @_lasting
    def _of(self, table: Table, folders: Sequence[str]) -> Sequence[Row]:
        mine = (table.c.place == self.place) & table.c.folder.in_(folders)
        return self._rows(select(table).where(mine))

    def _rows(self, asked: Select[Any]) -> Sequence[Row]:
        with reading(self.engine) as connection:
            return checked(connection.execute(asked).mappings().all())
