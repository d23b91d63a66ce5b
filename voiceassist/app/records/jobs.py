"""Many jobs at once: as a table or JSON, and what they come to together."""

import csv
import io
import json
from collections.abc import Mapping, Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any

from voiceassist.app.new_file import write_plot
from voiceassist.app.records.export import cell
from voiceassist.app.records.opened import Records, Wanted, found
from voiceassist.archive.find import OPEN
from voiceassist.archive.plot_totals import drawing_of_totals
from voiceassist.archive.spread import ValueSpread
from voiceassist.archive.totals import Totals
from voiceassist.record.outcomes import OUTCOMES
from voiceassist.record.webvtt import one_line

#: Heading of a column -> key of the job's JSON object.
COLUMNS: Mapping[str, str] = {
    "session": "session",
    "begun": "began",
    "last entry": "last_at",
    "repair order": "repair_order",
    "vehicle": "vehicle",
    "technician": "technician",
    "procedure": "procedure",
    "state": "state",
    "outcome": "outcome",
    "outcome in words": "outcome_text",
    "complaint": "complaint",
    "cause": "cause",
    "minutes": "minutes",
    "questions": "questions",
    "place": "place",
}
WORDS = {**OUTCOMES, OPEN: "not ended"}
FORMS: Sequence[str] = ("csv", "json")


def jobs_as_json(records: Records, wanted: Wanted) -> str:
    """The jobs that fit, with their readings, as one JSON array."""
    rows = records.archive.find(wanted)
    jobs = []
    for row, about in zip(rows, found(records, wanted), strict=True):
        readings = records.archive.readings(row["number"])
        jobs.append(about | {"readings": [_reading(dict(one)) for one in readings]})
    text = json.dumps(jobs, ensure_ascii=False, indent=1)
    return text.encode("utf-8", "backslashreplace").decode("utf-8") + "\n"


def jobs_as_csv(records: Records, wanted: Wanted) -> str:
    """The jobs that fit, one a row, as RFC 4180 has it; no cell is a formula."""
    content = io.StringIO(newline="")
    table = csv.writer(content, dialect="excel")
    table.writerow(COLUMNS)
    for about in found(records, wanted):
        cells = (about.get(key) for key in COLUMNS.values())
        table.writerow(["" if one is None else cell(one_line(str(one))) for one in cells])
    return content.getvalue()


def _reading(row: dict[str, Any]) -> dict[str, Any]:
    value = row["value"]
    names = ("seq", "at", "step", "shown", "quantity", "unit", "verdict", "remark")
    figures = {"value": None if value is None else f"{value:f}", "limit": row["accept"]}
    return {name: row[name] for name in names} | figures


# --- totals ---


def totals(records: Records, wanted: Wanted) -> Totals:
    """What the jobs that fit come to."""
    return records.archive.totals(wanted)


def about_totals(totals: Totals) -> dict[str, Any]:
    """Totals as the JSON object of ``records totals``; numbers with a point are decimal strings."""
    return {
        "jobs": totals.jobs,
        "weeks": [
            {"monday": str(week.monday), "jobs": week.jobs, "outcomes": dict(week.outcomes)}
            for week in totals.weeks
        ],
        "outcomes": dict(totals.outcomes),
        "minutes": _spread(totals.minutes),
        "questions": _spread(totals.questions),
        "skipped": [
            {"procedure": procedure, "step": step, "jobs": count}
            for procedure, step, count in totals.skipped
        ],
    }


def _spread(found: ValueSpread | None) -> dict[str, Any] | None:
    if found is None:
        return None
    names = ("least", "lower", "median", "upper", "most")
    return {name: plainly(getattr(found, name)) for name in names}


def plainly(value: Decimal) -> str:
    """Figures with one place behind the point at most, and no power of ten."""
    return f"{value.quantize(Decimal('0.1')):f}".removesuffix(".0")


def draw_totals(totals: Totals, out: Path) -> None:
    """Write the drawing of ``told`` to a new SVG file.

    Raises:
        RecordError: the name does not end in .svg, the file is there, or the disk refuses it.
    """
    write_plot(out, drawing_of_totals(totals, WORDS))
