"""Statements that find sessions, the youngest first."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import ColumnElement, Dialect, Select, cast, literal_column, select

from voiceassist.archive import tables
from voiceassist.archive.numbers import number_from
from voiceassist.archive.words import for_postgresql, for_sqlite, terms
from voiceassist.errors import ArchiveError
from voiceassist.record.facts import order_key
from voiceassist.record.outcomes import PARKED
from voiceassist.record.webvtt import one_line

_S = tables.sessions
#: Asked for as an outcome: the session has not ended.
OPEN = "open"


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which sessions; what is empty or None is not asked for.

    Parts:
        order: repair order, but for capitals and punctuation.
        vehicle, cause, said: words that must all occur; "in a row" in quotes, ``begin*``.
        procedure: its name.
        technician: words that all occur in the name.
        outcome: as the engine names it; "open" for a session that has not ended.
        verdict: one that a reading of the session got.
        since, until: it began then or later, and before then; with their offsets from UTC.
        limit: how many at most; 0 for all.
    """

    order: str = ""
    vehicle: str = ""
    procedure: str = ""
    verdict: str = ""
    cause: str = ""
    said: str = ""
    since: datetime | None = None
    until: datetime | None = None
    limit: int = 0
    technician: str = ""
    outcome: str = ""

    def __post_init__(self) -> None:
        if self.limit < 0:
            raise ValueError("limit is a number from 0 on")

    @property
    def texts(self) -> Mapping[str, str]:
        """Column of ``words`` to what is asked of it."""
        asked = {"said": self.said, "cause": self.cause, "vehicle": self.vehicle}
        return {name: text for name, text in asked.items() if text}


def statement(wanted: Wanted, dialect: Dialect) -> Select[tuple[object, ...]]:
    """The statement for ``wanted``.

    The rarest kind of thing asked for leads, words before verdicts before the session's own
    fields; the order of numbers is then that of an index, and reading can stop at the limit.

    Raises:
        ArchiveError: words were asked for that hold no word, or an order without a figure.
    """
    found: Select[tuple[object, ...]] = select(*_S.c)
    lead: ColumnElement[int] = _S.c.number
    if wanted.texts and dialect.name == "sqlite":
        words = tables.words_sqlite
        found = found.select_from(words.join(_S, _S.c.number == words.c.rowid))
        found, lead = found.where(_match_sqlite(wanted)), words.c.rowid
    elif wanted.texts and wanted.limit and not (wanted.verdict or _fields(wanted)):
        found = found.where(_S.c.number.in_(_youngest_postgresql(wanted)))
    elif wanted.texts:
        table = tables.words_postgresql
        found = found.select_from(table.join(_S, _S.c.number == table.c.session))
        found = found.where(*_match_postgresql(wanted))
    if wanted.verdict and wanted.texts:
        found = found.where(_has_verdict(wanted.verdict))
    elif wanted.verdict:
        of = tables.verdicts
        found = found.select_from(of.join(_S, _S.c.number == of.c.session))
        found, lead = found.where(of.c.verdict == wanted.verdict), of.c.session
    found = found.where(*_fields(wanted)).order_by(lead.desc())
    return found.limit(wanted.limit) if wanted.limit else found


def _has_verdict(verdict: str) -> ColumnElement[bool]:
    table = tables.verdicts
    asked = select(table.c.session)
    return asked.where(table.c.verdict == verdict, table.c.session == _S.c.number).exists()


def _fields(wanted: Wanted) -> list[ColumnElement[bool]]:
    asked = []
    if wanted.order:
        asked.append(_S.c.order_key == _key(wanted.order))
    if wanted.procedure:
        asked.append(_S.c.procedure == one_line(wanted.procedure))
    for word in wanted.technician.split():
        asked.append(_S.c.technician.icontains(word, autoescape=True))
    if wanted.outcome == OPEN:
        asked.append(_S.c.ended.is_(False))
    elif wanted.outcome == PARKED:
        asked.append(_S.c.outcome.startswith(f"{PARKED}-"))
    elif wanted.outcome:
        asked.append(_S.c.outcome == wanted.outcome)
    if wanted.since is not None:
        asked.append(_S.c.number >= number_from(wanted.since))
    if wanted.until is not None:
        asked.append(_S.c.number < number_from(wanted.until))
    return asked


def _key(order: str) -> str:
    key = order_key(order)
    if not key:
        raise ArchiveError(
            f"found no letter or figure in {order!r}",
            place="--order",
            remedy="give the repair order as it was said",
        )
    return key


def _match_sqlite(wanted: Wanted) -> ColumnElement[bool]:
    asked = [for_sqlite(name, terms(text, f"--{name}")) for name, text in wanted.texts.items()]
    return literal_column("words").op("MATCH", is_comparison=True)(" AND ".join(asked))


def _youngest_postgresql(wanted: Wanted) -> Select[tuple[int]]:
    """Numbers by words alone, so that no row of ``sessions`` is read in vain."""
    table = tables.words_postgresql
    asked = select(table.c.session).where(*_match_postgresql(wanted))
    return asked.order_by(table.c.session.desc()).limit(wanted.limit)


def _match_postgresql(wanted: Wanted) -> list[ColumnElement[bool]]:
    table = tables.words_postgresql
    return [
        table.c[name].op("@@", is_comparison=True)(
            cast(for_postgresql(terms(text, f"--{name}")), tables.Query)
        )
        for name, text in wanted.texts.items()
    ]


def with_vehicle(vehicle: str, dialect: Dialect) -> ColumnElement[bool]:
    """The condition that a session's vehicle has these words."""
    wanted = Wanted(vehicle=vehicle)
    if dialect.name == "sqlite":
        numbers = select(tables.words_sqlite.c.rowid).where(_match_sqlite(wanted))
    else:
        numbers = select(tables.words_postgresql.c.session).where(*_match_postgresql(wanted))
    return _S.c.number.in_(numbers)
