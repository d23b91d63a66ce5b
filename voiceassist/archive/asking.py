"""What an archive is asked."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import wraps
from typing import TYPE_CHECKING, Any, Concatenate, ParamSpec, TypeVar

from sqlalchemy import Engine, RowMapping, Select, Table, func, select

from voiceassist.archive import tables
from voiceassist.archive.content import checked
from voiceassist.archive.engine import lasting, reading, shown
from voiceassist.archive.find import Wanted, statement
from voiceassist.record.facts import order_key

if TYPE_CHECKING:
    from voiceassist.archive.totals import Totals
    from voiceassist.archive.trend import Trend

_P = ParamSpec("_P")
_R = TypeVar("_R")
_A = TypeVar("_A", bound="ReadArchive")
Row = RowMapping


@dataclass(frozen=True, slots=True)
class Seal:
    """The longest journal seen of a session: how many lines, and the hash of the last."""

    lines: int
    last_hash: str


def lastingly(
    asked: Callable[Concatenate[_A, _P], _R],
) -> Callable[Concatenate[_A, _P], _R]:
    """``asked`` of an archive whose server may be restarted meanwhile."""

    @wraps(asked)
    def again(archive: _A, /, *args: _P.args, **more: _P.kwargs) -> _R:
        return lasting(archive.engine, lambda: asked(archive, *args, **more))

    return again


class ReadArchive:
    """Answers what is asked of an archive.

    Args:
        engine: its database, with tables of this version.
        place: whose folder of records is meant; empty for an archive of one folder's own.
    """

    def __init__(self, engine: Engine, place: str = "") -> None:
        self.engine = engine
        self.place = place

    @property
    def name(self) -> str:
        """How it is called in messages."""
        return shown(self.engine.url)

    @lastingly
    def find(self, wanted: Wanted) -> Sequence[Row]:
        """Rows of ``sessions``, the youngest first.

        Raises:
            ArchiveError: words were asked for that hold no word.
        """
        return self._rows(statement(wanted, self.engine.dialect))

    @lastingly
    def deletions(self, limit: int = 0) -> Sequence[Row]:
        """Rows of ``deletions``, of the youngest session first; ``limit`` 0 for all."""
        asked = select(tables.deletions).order_by(tables.deletions.c.number.desc())
        asked = asked.limit(limit) if limit else asked
        return self._rows(asked)

    @lastingly
    def deleted(self) -> frozenset[str]:
        """Folders of this place that are known as deleted."""
        table = tables.deletions
        with reading(self.engine) as connection:
            asked = select(table.c.folder).where(table.c.place == self.place)
            return frozenset(connection.scalars(asked))

    @lastingly
    def bays(self) -> dict[str, str]:
        """Place to host and path, of all folders of records that have been seen."""
        table = tables.bays
        with reading(self.engine) as connection:
            found = connection.execute(select(table.c.place, table.c.shown)).all()
            return {row.place: row.shown for row in found}

    @lastingly
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

    @lastingly
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

    @lastingly
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

    @lastingly
    def _sealed_as(self, own_id: str) -> Sequence[Row]:
        table = tables.seals
        asked = select(table).where(table.c.sid == own_id).order_by(table.c.lines.desc())
        return self._rows(asked)

    @lastingly
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

    @lastingly
    def counts(self) -> tuple[int, int]:
        """How many sessions and readings there are."""
        with reading(self.engine) as connection:
            tallies = [
                connection.scalar(select(func.count()).select_from(table)) or 0
                for table in (tables.sessions, tables.readings)
            ]
        return tallies[0], tallies[1]

    @lastingly
    def _of(self, table: Table, folders: Sequence[str]) -> Sequence[Row]:
        mine = (table.c.place == self.place) & table.c.folder.in_(folders)
        return self._rows(select(table).where(mine))

    def _rows(self, asked: Select[Any]) -> Sequence[Row]:
        with reading(self.engine) as connection:
            return checked(connection.execute(asked).mappings().all())
