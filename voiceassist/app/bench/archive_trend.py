"""Readings at a test point over time."""

from collections.abc import Mapping, Sequence

from voiceassist.app.bench.archive_forms import Answers, Asked, as_csv_file, as_json, plain, synced
from voiceassist.app.records.opened import Records
from voiceassist.app.records.trend import about as about_trend
from voiceassist.app.records.trend import trends
from voiceassist.archive.plot import drawing
from voiceassist.bench.asked import Cell, Table, Told
from voiceassist.errors import SettingsError


def _trend(there: Records, asked: Asked) -> Told:
    point = asked.get("point", "")
    if not point:
        return Told()
    notes = synced(there)
    seen = trends(there, point, asked.get("procedure", ""), asked.get("vehicle", ""))
    if not seen:
        nothing = f"No reading was taken at {point!r}; name a test point, or a step as it is shown."
        return Told(lines=(nothing,), notes=notes)
    tables = []
    for one in map(about_trend, seen):
        verdicts = ", ".join(f"{verdict}: {count}" for verdict, count in one["verdicts"].items())
        unit = one["unit"]
        rows = [("readings", str(one["count"])), ("jobs", str(one["jobs"]))]
        rows += [("median", f"{one['median']} {unit}")]
        rows += [("middle half", f"{one['lower_quartile']} to {one['upper_quartile']} {unit}")]
        rows += [("least, most", f"{one['min']} {unit}, {one['max']} {unit}")]
        rows += [("verdicts", verdicts)]
        tables.append(Table(("", ""), plain(rows), f"{one['step']} ({one['procedure']})"))
        if apart := one["outliers"]:
            tables.append(Table(("Apart", "On", "Verdict", "Session"), _apart(apart, unit)))
    words = f"Readings at {point} over time, each with its limit; the tables say the same."
    return Told(tuple(tables), (), ((drawing(seen), words),), notes)


def _apart(outliers: Sequence[Mapping[str, str]], unit: str) -> tuple[tuple[Cell, ...], ...]:
    return tuple(
        (f"{one['value']} {unit}", one["at"][:10], one["verdict"],
         (one["session"], f"show?session={one['session']}"))
        for one in outliers
    )  # fmt: skip


def _trend_json(there: Records, asked: Asked) -> str:
    seen = trends(there, _point(asked), asked.get("procedure", ""), asked.get("vehicle", ""))
    return as_json([about_trend(one) for one in seen])


def _trend_csv(there: Records, asked: Asked) -> str:
    seen = trends(there, _point(asked), asked.get("procedure", ""), asked.get("vehicle", ""))
    head = ("procedure", "step", "session", "vehicle", "at", "value", "unit", "limit", "verdict")
    rows = (
        (one.procedure, one.step, s.session, s.vehicle, s.at, f"{s.quantity.value:f}", one.unit,
         s.limit, s.verdict)
        for one in seen
        for s in one.samples
    )  # fmt: skip
    return as_csv_file(head, rows)


def _point(asked: Asked) -> str:
    if not asked.get("point"):
        raise SettingsError("no test point is named", place="trend", remedy="name one, or a step")
    return asked["point"]


TREND: Answers = (_trend, _trend_csv, _trend_json)
