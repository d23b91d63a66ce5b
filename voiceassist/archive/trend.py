"""The readings of one test point across all jobs."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from itertools import groupby

from sqlalchemy import ColumnElement, Connection, RowMapping, Select, or_, select, tuple_

from voiceassist.archive import tables
from voiceassist.archive.content import checked, wrong
from voiceassist.archive.find import with_vehicle
from voiceassist.archive.spread import ValueSpread, spread
from voiceassist.errors import MeasureError
from voiceassist.measure.expression import LimitExpression
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import Unit, unit
from voiceassist.record.outcomes import NO_JOBS
from voiceassist.record.webvtt import one_line

_S, _R, _P = tables.sessions, tables.readings, tables.points


@dataclass(frozen=True, slots=True)
class Sample:
    """One reading that counts: where and when it was taken, its verdict.

    Parts:
        limit: what it was compared with, as it was shown; empty for nothing.
        vehicle: it was taken on; empty when that is not known.
    """

    session: str
    at: str
    quantity: Quantity
    verdict: str
    limit: str = ""
    vehicle: str = ""

    @property
    def ends(self) -> tuple[Decimal | None, Decimal | None]:
        """The ends of the limit in the unit of the reading; None for an open one, or none."""
        return _ends(self.limit, self.quantity.unit)


@dataclass(frozen=True, slots=True)
class Trend:
    """The readings of one step of one procedure, in order of time.

    Parts:
        procedure, step: what was measured.
        samples: at least one, all in the unit of the youngest.
    """

    procedure: str
    step: str
    samples: tuple[Sample, ...]

    @property
    def unit(self) -> str:
        """Symbol of the unit of all samples."""
        return self.samples[-1].quantity.unit.symbol

    @property
    def spread(self) -> ValueSpread:
        """How the values lie, in ``unit``."""
        return spread([sample.quantity.value for sample in self.samples])

    @property
    def jobs(self) -> int:
        """How many sessions they come from."""
        return len({sample.session for sample in self.samples})


def trends(
    connection: Connection, point: str, procedure: str = "", vehicle: str = ""
) -> Iterator[Trend]:
    """The trend of each step that is called ``point``, or measured at a test point of that name.

    Steps of different procedures, and different quantities, are never thrown together.

    Raises:
        ArchiveError: ``vehicle`` holds no word.
    """
    asked = _statement(connection, point, procedure, vehicle)
    found = checked(connection.execute(asked).mappings().all())
    for (name, step, _), group in groupby(found, key=lambda row: tuple(row.values())[:3]):
        yield Trend(name, step, tuple(_samples(list(group))))


def _statement(
    connection: Connection, point: str, procedure: str, vehicle: str
) -> Select[tuple[object, ...]]:
    asked = select(
        _S.c.procedure, _R.c.step, _R.c.quantity, _S.c.folder, _R.c.at, _R.c.value, _R.c.unit,
        _R.c.verdict, _R.c.accept, _S.c.vehicle,
    ).select_from(_R.join(_S, _S.c.number == _R.c.session))  # fmt: skip
    asked = asked.where(_R.c.remark == "", _R.c.value.is_not(None), _at(connection, point))
    asked = asked.where(_S.c.outcome.not_in(sorted(NO_JOBS)))
    if procedure:
        asked = asked.where(_S.c.procedure == one_line(procedure))
    if vehicle:
        asked = asked.where(with_vehicle(vehicle, connection.dialect))
    return asked.order_by(_S.c.procedure, _R.c.step, _R.c.quantity, _S.c.number, _R.c.place)


def _at(connection: Connection, point: str) -> ColumnElement[bool]:
    """At this step, or at a step measured at this test point by the procedure as it was then."""
    as_kept = one_line(point)
    plain = " ".join(as_kept.split()).casefold()
    steps = [plain.replace(" ", "-"), as_kept]
    pairs = connection.execute(
        select(_P.c.procedure_sha256, _P.c.step).where(_P.c.point.in_([plain, as_kept]))
    )
    at = [(sha, step) for sha, step in pairs]
    if not at:
        return _R.c.step.in_(steps)
    measured = _R.c.step.in_({step for _, step in at}) & tuple_(
        _S.c.procedure_sha256, _R.c.step
    ).in_(at)
    return or_(_R.c.step.in_(steps), measured)


def _samples(found: Sequence[RowMapping]) -> Iterator[Sample]:
    last = _unit(found[-1])
    for row in found:
        quantity = Quantity(row["value"], _unit(row)).to(last)
        limit, vehicle = row["accept"], row["vehicle"]
        yield Sample(row["folder"], row["at"], quantity, row["verdict"], limit, vehicle)


@lru_cache(256)
def _ends(limit: str, of: Unit) -> tuple[Decimal | None, Decimal | None]:
    """What was shown is written as a procedure's limit is, unless it is none in figures."""
    try:
        found = LimitExpression.parse(limit).fill({}) if limit else None
        pair = (found.low, found.high) if found else (None, None)
        low, high = (end.to(of).value if end else None for end in pair)
    except MeasureError:
        return None, None
    return low, high


def _unit(row: RowMapping) -> Unit:
    try:
        return unit(row["unit"])
    except MeasureError:
        raise wrong(row, "unit") from None
