"""The archive as the rest of the program sees it."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, NamedTuple

from sqlalchemy import select

from voiceassist.archive import schema, tables
from voiceassist.archive.asking import ReadArchive, lastingly
from voiceassist.archive.engine import (
    address,
    checkpoint,
    lasting,
    make_engine,
    reading,
    tune,
    writing,
)

if TYPE_CHECKING:
    from voiceassist.archive.rows import TakenSession
    from voiceassist.record.removal import Removal


class FileMark(NamedTuple):
    """By what a journal that has not changed is known: size and time of change of its file.

    With the id of its session, so that a copy of it is known for one.
    """

    size: int
    mtime_ns: int
    missing: bool
    sid: str = ""


class Archive(ReadArchive):
    """An open archive, which takes sessions in too; make it with ``open`` and close it."""

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

    @lastingly
    def known(self) -> dict[str, FileMark]:
        """Folder to mark, of every session of this place."""
        table = tables.sessions
        c = table.c
        asked = select(c.folder, c.size, c.mtime_ns, c.missing, c.sid)
        with reading(self.engine) as connection:
            found = connection.execute(asked.where(c.place == self.place))
            return {folder: FileMark(*mark) for folder, *mark in found}

    # What puts, and what adds up, is imported when it is asked for: most commands only look.

    @lastingly
    def put(self, taken: Sequence["TakenSession"]) -> None:
        """Take in sessions, each in place of what was there of it."""
        from voiceassist.archive import writer

        with writing(self.engine) as connection:
            writer.put(connection, self.place, taken)

    @lastingly
    def set_missing(self, folders: Sequence[str], *, missing: bool) -> None:
        """Note that folders are gone that nobody deleted with this program, or there again."""
        from voiceassist.archive import writer

        with writing(self.engine) as connection:
            writer.set_missing(connection, self.place, folders, missing)

    @lastingly
    def forget(self, removals: Sequence["Removal"]) -> None:
        """Take out deleted sessions, and keep that they were deleted."""
        from voiceassist.archive import writer

        with writing(self.engine) as connection:
            writer.forget(connection, self.place, removals)
            writer.tidy(connection)
        checkpoint(self.engine)

    @lastingly
    def note_bay(self, shown: str) -> None:
        """Keep where this folder of records is, for people; an archive of one's own needs none."""
        if self.place and self.bays().get(self.place) != shown:
            from voiceassist.archive import writer

            with writing(self.engine) as connection:
                writer.note_bay(connection, self.place, shown)

    @lastingly
    def forget_place(self, place: str) -> None:
        """Take out all that is known of a folder of records; its journals stay where they are."""
        from voiceassist.archive import writer

        with writing(self.engine) as connection:
            writer.forget_place(connection, place)
            writer.tidy(connection)
        checkpoint(self.engine)

    @lastingly
    def tune(self) -> None:
        """Have the database put its tables in order, after many sessions were put."""
        tune(self.engine)
