"""What a shop's jobs come to together: by week and outcome, minutes, questions, steps skipped."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from sqlalchemy import Connection, RowMapping, select

from voiceassist.archive import tables
from voiceassist.archive.spread import ValueSpread, spread
from voiceassist.record import times
from voiceassist.record.outcomes import NO_JOBS

#: Of a reading that was not taken since its step was skipped.
_SKIPPED = "not taken"
_MOST_SKIPPED = 10
_OPEN = "open"


@dataclass(frozen=True, slots=True)
class Week:
    """The jobs that were begun in a week.

    Parts:
        monday: its first day (ISO 8601 weeks begin on Monday).
        jobs: how many.
        outcomes: outcome, as the engine names it, to how many; "open" for those not ended.
    """

    monday: date
    jobs: int
    outcomes: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Totals:
    """What the jobs come to.

    Parts:
        jobs: how many there are.
        weeks: from the first to the last, those without a job too.
        outcomes: outcome to how many, the most frequent first.
        minutes: of the jobs that have ended, pauses left out; None without any.
        questions: that the assistant asked because it was not sure, a job; None without a job.
        skipped: procedure, step, and in how many jobs it was skipped, the most often first.
    """

    jobs: int = 0
    weeks: tuple[Week, ...] = ()
    outcomes: tuple[tuple[str, int], ...] = ()
    minutes: ValueSpread | None = None
    questions: ValueSpread | None = None
    skipped: tuple[tuple[str, str, int], ...] = ()


def totals(connection: Connection, found: Sequence[RowMapping]) -> Totals:
    """What the jobs in ``found``, rows of ``sessions``, come to: no rehearsal, no demonstration."""
    found = [row for row in found if row["outcome"] not in NO_JOBS]
    ended = [row for row in found if row["ended"]]
    outcomes = Counter(_outcome(row) for row in found)
    return Totals(
        len(found),
        _weeks(found),
        tuple(outcomes.most_common()),
        _spread([(Decimal(row["worked_s"]) / 60).quantize(Decimal("0.1")) for row in ended]),
        _spread([Decimal(row["questions"]) for row in found]),
        _skipped(connection, found),
    )


def _outcome(row: RowMapping) -> str:
    return str(row["outcome"]) if row["ended"] else _OPEN


def _spread(values: Sequence[Decimal]) -> ValueSpread | None:
    return spread(values) if values else None


def _weeks(found: Sequence[RowMapping]) -> tuple[Week, ...]:
    by_monday: dict[date, Counter[str]] = {}
    for row in found:
        try:
            day = times.parsed(row["began"]).date()
        except ValueError:
            continue  # a session whose beginning nobody knows is in no week
        by_monday.setdefault(day - timedelta(days=day.weekday()), Counter())[_outcome(row)] += 1
    if not by_monday:
        return ()
    first, last = min(by_monday), max(by_monday)
    mondays = [first + timedelta(weeks=n) for n in range((last - first).days // 7 + 1)]
    counts = [by_monday.get(monday, Counter()) for monday in mondays]
    return tuple(
        Week(monday, count.total(), tuple(count.most_common()))
        for monday, count in zip(mondays, counts, strict=True)
    )


def _skipped(
    connection: Connection, found: Sequence[RowMapping]
) -> tuple[tuple[str, str, int], ...]:
    procedures, table = {row["number"]: str(row["procedure"]) for row in found}, tables.readings
    asked = select(table.c.session, table.c.step).where(table.c.remark == _SKIPPED).distinct()
    skipped = (row for row in connection.execute(asked) if row.session in procedures)
    counted = Counter((procedures[row.session], row.step) for row in skipped)
    ordered = sorted(counted.items(), key=lambda item: (-item[1], item[0]))
    return tuple((procedure, step, count) for (procedure, step), count in ordered[:_MOST_SKIPPED])
