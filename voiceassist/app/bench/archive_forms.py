"""What the archive's answers share: how they are asked for, and how a file of them is written."""

import csv
import io
import json
from collections.abc import Callable, Iterable, Mapping, Sequence

from voiceassist.app.records.export import cell
from voiceassist.app.records.opened import Records
from voiceassist.bench.asked import Told
from voiceassist.errors import SettingsError
from voiceassist.record.webvtt import one_line

#: As many as the command shows unless more are asked for.
_LIMIT = 20
Asked = Mapping[str, str]
#: A verb's page, its CSV and its JSON.
Answers = tuple[
    Callable[[Records, Asked], Told],
    Callable[[Records, Asked], str],
    Callable[[Records, Asked], str],
]


def synced(there: Records) -> tuple[str, ...]:
    """Take in what is new; which journals could not be read."""
    synced = there.sync()
    return (*synced.unreadable, *synced.passed_over)


def limit_of(asked: Asked) -> int:
    """How many at most are asked for; 0: all."""
    text = asked.get("limit") or str(_LIMIT)
    if not (text.isascii() and text.isdigit() and len(text) < 10):
        raise SettingsError(f"found {text!r}", place="--limit", remedy="write a number, or 0: all")
    return int(text)


def minute(at: str) -> str:
    """Day and minute of a time."""
    return at[:16].replace("T", " ")


def plain(rows: Iterable[Sequence[object]]) -> tuple[tuple[str, ...], ...]:
    """Rows of a table without any link."""
    return tuple(tuple(str(each) for each in row) for row in rows)


def as_json(told: object) -> str:
    """As a file of JSON, whatever stands in it."""
    text = json.dumps(told, ensure_ascii=False, indent=1)
    return text.encode("utf-8", "backslashreplace").decode("utf-8") + "\n"


def as_csv_file(head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """As RFC 4180 has it; no cell is a formula."""
    content = io.StringIO(newline="")
    table = csv.writer(content, dialect="excel")
    table.writerow(head)
    for row in rows:
        table.writerow([cell(one_line(str(each))) for each in row])
    return content.getvalue()
