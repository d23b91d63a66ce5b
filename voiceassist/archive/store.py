"""The archive as the rest of the program sees it."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass

from sqlalchemy import Engine, RowMapping, Table, func, select

from voiceassist.archive import schema, tables, writer
from voiceassist.archive.engine import (
    address,
    checkpoint,
    make_engine,
    reading,
    shown,
    tune,
    writing,
)
from voiceassist.archive.find import Wanted, statement
from voiceassist.archive.rows import Taken, order_key
from voiceassist.archive.trend import Trend, trends
from voiceassist.record.removal import Removal

Row = RowMapping


@dataclass(frozen=True, slots=True)
class Mark:
    """By what a journal that has not changed is known: size and time of change of its file."""

    size: int
    mtime_ns: int
    missing: bool


@dataclass(frozen=True, slots=True)
class Seal:
    """The longest journal seen of a session: how many lines, and the hash of the last."""

    lines: int
    last_hash: str


class Archive:
    """An open archive; make it with ``open`` and close it.

    Args:
        engine: its database, with tables of this version.
        place: whose folder of records is meant; empty for an archive of one folder's own.
    """

    def __init__(self, engine: Engine, place: str = "") -> None:
        self._engine = engine
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
            schema.ensure(engine)
            yield cls(engine, place)
        finally:
            engine.dispose()

    @property
    def name(self) -> str:
        """How it is called in messages."""
        return shown(self._engine.url)

    # --- taking in ---

    def known(self) -> dict[str, Mark]:
        """Folder to mark, of every session of this place."""
        table = tables.sessions
        asked = select(table.c.folder, table.c.size, table.c.mtime_ns, table.c.missing)
        with reading(self._engine) as connection:
            found = connection.execute(asked.where(table.c.place == self.place))
            return {folder: Mark(size, mtime, gone) for folder, size, mtime, gone in found}

    def put(self, taken: Sequence[Taken]) -> None:
        """Take in sessions, each in place of what was there of it."""
        with writing(self._engine) as connection:
            writer.put(connection, self.place, taken)

    def set_missing(self, folders: Sequence[str], *, missing: bool) -> None:
        """Note that folders are gone that nobody deleted with this program, or there again."""
        with writing(self._engine) as connection:
            writer.set_missing(connection, self.place, folders, missing)

    def forget(self, removals: Sequence[Removal]) -> None:
        """Take out deleted sessions, and keep that they were deleted."""
        with writing(self._engine) as connection:
            writer.forget(connection, self.place, removals)
            writer.tidy(connection)
        checkpoint(self._engine)

    def tune(self) -> None:
        """Have the database put its tables in order, after many sessions were put."""
        tune(self._engine)

    # --- asking ---

    def find(self, wanted: Wanted) -> Sequence[Row]:
        """Rows of ``sessions``, the youngest first.

        Raises:
            ArchiveError: words were asked for that hold no word.
        """
        with reading(self._engine) as connection:
            asked = statement(wanted, self._engine.dialect)
            return connection.execute(asked).mappings().all()

    def deletions(self, limit: int = 0) -> Sequence[Row]:
        """Rows of ``deletions``, of the youngest session first; ``limit`` 0 for all."""
        asked = select(tables.deletions).order_by(tables.deletions.c.number.desc())
        with reading(self._engine) as connection:
            return connection.execute(asked.limit(limit) if limit else asked).mappings().all()

    def deleted(self) -> frozenset[str]:
        """Folders of this place that are known as deleted."""
        table = tables.deletions
        with reading(self._engine) as connection:
            asked = select(table.c.folder).where(table.c.place == self.place)
            return frozenset(connection.scalars(asked))

    def with_order(self, repair_order: str) -> Sequence[Row]:
        """Rows of ``sessions`` of this repair order, the youngest first."""
        return self.find(Wanted(order=repair_order)) if order_key(repair_order) else ()

    def session(self, folder: str) -> Row | None:
        """The row of a session of this place."""
        found = self._of(tables.sessions, folder)
        return found[0] if found else None

    def readings(self, number: int) -> Sequence[Row]:
        """Rows of ``readings`` of a session by its number, in order."""
        table = tables.readings
        with reading(self._engine) as connection:
            asked = select(table).where(table.c.session == number).order_by(table.c.place)
            return connection.execute(asked).mappings().all()

    def seal(self, folder: str) -> Seal | None:
        """The longest journal seen of a session; None when none was."""
        found = self._of(tables.seals, folder)
        return Seal(found[0]["lines"], found[0]["last_hash"]) if found else None

    def trends(self, point: str, procedure: str = "", vehicle: str = "") -> Sequence[Trend]:
        """See ``trend.trends``."""
        with reading(self._engine) as connection:
            return list(trends(connection, point, procedure, vehicle))

    def counts(self) -> tuple[int, int]:
        """How many sessions and readings there are."""
        with reading(self._engine) as connection:
            tallies = [
                connection.scalar(select(func.count()).select_from(table)) or 0
                for table in (tables.sessions, tables.readings)
            ]
        return tallies[0], tallies[1]

    def _of(self, table: Table, folder: str) -> Sequence[Row]:
        with reading(self._engine) as connection:
            mine = (table.c.place == self.place) & (table.c.folder == folder)
            return connection.execute(select(table).where(mine)).mappings().all()
