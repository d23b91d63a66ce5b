"""Many jobs at once, as a table or as JSON."""

import csv
import io
import json
from collections.abc import Mapping, Sequence
from typing import Any

from voiceassist.app.records.export import cell
from voiceassist.app.records.opened import Records, Wanted, found
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
