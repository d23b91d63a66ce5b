"""The archive's answers as tables, drawings and files, in the words of ``voiceassist records``.

Runs in a process of its own.
"""

import csv
import io
import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any

from voiceassist.app.records import jobs
from voiceassist.app.records.asked import wanted
from voiceassist.app.records.checked import load
from voiceassist.app.records.export import as_csv, cell
from voiceassist.app.records.find_session import about
from voiceassist.app.records.opened import Records, found, listed, opened
from voiceassist.app.records.trend import about as about_trend
from voiceassist.app.records.trend import trends
from voiceassist.archive.plot import drawing
from voiceassist.archive.plot_totals import drawing_of_totals
from voiceassist.bench.asked import Cell, Table, Told
from voiceassist.errors import SettingsError
from voiceassist.record.webvtt import one_line

#: As many as the command shows unless more are asked for.
_LIMIT = 20
Asked = Mapping[str, str]
_STATES = {"open": "not ended", "missing": "its folder is gone", "deleted": "deleted"}


def answer(what: str, asked: Asked, records: str, archive: str) -> Told:
    """What the verb ``what`` of ``records`` answers, for the page.

    Raises:
        VoiceAssistError: something asked for cannot be.
    """
    with opened(records, archive) as there:
        return _VERBS[what][0](there, asked)


def file(what: str, form: str, asked: Asked, records: str, archive: str) -> str:
    """The same as a file: "csv" or "json"."""
    with opened(records, archive) as there:
        _, csv_of, json_of = _VERBS[what]
        return (csv_of if form == "csv" else json_of)(there, asked)


# --- list and find ---


def _listed(there: Records, asked: Asked) -> Told:
    notes = _synced(there)
    limit = _limit(asked)
    return _of_jobs(listed(there, limit), limit, notes, "No session is kept yet.")


def _found(there: Records, asked: Asked) -> Told:
    if not any(value for name, value in asked.items() if name != "limit"):
        return Told()
    notes = _synced(there)
    limit = _limit(asked)
    return _of_jobs(found(there, wanted(asked, limit)), limit, notes, "No session fits.")


def _of_jobs(
    told: Sequence[Mapping[str, Any]], limit: int, notes: tuple[str, ...], nothing: str
) -> Told:
    head = ("Session", "Begun", "Repair order", "Vehicle", "Technician", "Job", "Outcome", "Cause")
    if not told:
        return Told(lines=(nothing,), notes=notes)
    more = f"Only the newest {limit} are shown; there may be more."
    lines = (more,) if limit and len(told) == limit else ()
    return Told((Table(head, tuple(map(_job, told))),), lines, notes=notes)


def _job(told: Mapping[str, Any]) -> tuple[Cell, ...]:
    session = str(told["session"])
    if told["state"] == "deleted":
        why = f": {told['reason']}" if told["reason"] else ""
        gone = f"deleted {_minute(told['removed_at'])} by {told['removed_by']}{why}"
        return (session, "", "", "", "", "", gone, "")
    outcome = _STATES.get(told["state"]) or told["outcome_text"]
    doubts = [] if told["chain"] == "intact" else [f"journal {told['chain']}"]
    doubts += [] if told["as_seen"] else ["not the journal seen before"]
    names = ("repair_order", "vehicle", "technician")
    return (
        (session, f"show?session={session}"),
        _minute(told["began"]),
        *(str(told[name]) for name in names),
        str(told["title"] or told["procedure"]),
        "; ".join([outcome, *doubts]),
        str(told["cause"]),
    )


def _listed_json(there: Records, asked: Asked) -> str:
    there.sync()
    return _json(listed(there, _limit(asked)))


def _listed_csv(there: Records, asked: Asked) -> str:
    there.sync()
    return jobs.jobs_as_csv(there, wanted({}, _limit(asked)))


def _found_json(there: Records, asked: Asked) -> str:
    there.sync()
    return _json(found(there, wanted(asked, _limit(asked))))


def _found_csv(there: Records, asked: Asked) -> str:
    there.sync()
    return jobs.jobs_as_csv(there, wanted(asked, _limit(asked)))


# --- show ---


def _shown(there: Records, asked: Asked) -> Told:
    told = about(load(there, asked.get("session") or "last"))
    altered = f"ALTERED: {told['fault']}. What follows is from before that."
    wrong = [altered] if told["fault"] else []
    wrong += [f"NOT AS WRITTEN: {problem}" for problem in told["problems"]]
    good = f"no fault found: {told['good']}" if told["good"] else "none found"
    rows = [("session", told["session"]), ("begun", _minute(told["began"]))]
    rows += [("outcome", told["outcome_text"]), *told["facts"].items()]
    rows += [("complaint", told["complaint"] or "none"), ("cause", told["cause"] or good)]
    rows += [("because", each) for each in told["because"]]
    rows += [("correction", told["correction"] or "none")]
    tables = [Table(("What", "Told"), _plain(rows), "Job"), Table(*_readings(told), "Readings")]
    tables.append(Table(*_moments(told), "Questions, corrections and notes"))
    if told["addenda"]:
        later = [(_minute(a["at"]), a["by"], a["text"]) for a in told["addenda"]]
        tables.append(Table(("At", "By", "Words"), _plain(later), "Added later"))
    notes = [f"{told['lines']} lines; SHA-256 {told['last_hash']}"]
    notes += [f"Held against {', '.join(told['held_by']) or 'nothing else'}", *told["notes"]]
    return Told(tuple(tables), tuple(wrong), notes=tuple(notes), session=told["session"])


def _readings(told: Mapping[str, Any]) -> tuple[tuple[str, ...], tuple[tuple[Cell, ...], ...]]:
    rows = (
        (
            one["at"][11:19],
            (one["step"], f"trend?point={one['step']}"),
            one["reading"],
            one["limit"],
            one["verdict"] + (" (judged again)" if one["rejudged"] else ""),
            f"does not count: {one['remark']}" if one["remark"] else "",
        )
        for one in told["readings"]
    )
    return ("At", "Step", "Reading", "Limit", "Verdict", "Remark"), tuple(rows)


def _moments(told: Mapping[str, Any]) -> tuple[tuple[str, ...], tuple[tuple[Cell, ...], ...]]:
    rows = ((m["at"][11:19], m["kind"], m["step"], m["text"]) for m in told["moments"])
    return ("At", "Kind", "Step", "Words"), tuple(rows)


def _shown_json(there: Records, asked: Asked) -> str:
    return _json(about(load(there, asked.get("session") or "last")))


def _shown_csv(there: Records, asked: Asked) -> str:
    return as_csv(load(there, asked.get("session") or "last"))


# --- trend ---


def _trend(there: Records, asked: Asked) -> Told:
    point = asked.get("point", "")
    if not point:
        return Told()
    notes = _synced(there)
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
        tables.append(Table(("", ""), _plain(rows), f"{one['step']} ({one['procedure']})"))
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
    return _json([about_trend(one) for one in seen])


def _trend_csv(there: Records, asked: Asked) -> str:
    seen = trends(there, _point(asked), asked.get("procedure", ""), asked.get("vehicle", ""))
    head = ("procedure", "step", "session", "vehicle", "at", "value", "unit", "limit", "verdict")
    rows = (
        (one.procedure, one.step, s.session, s.vehicle, s.at, f"{s.quantity.value:f}", one.unit,
         s.limit, s.verdict)
        for one in seen
        for s in one.samples
    )  # fmt: skip
    return _csv(head, rows)


def _point(asked: Asked) -> str:
    if not asked.get("point"):
        raise SettingsError("no test point is named", place="trend", remedy="name one, or a step")
    return asked["point"]


# --- totals ---


def _totals(there: Records, asked: Asked) -> Told:
    notes = _synced(there)
    counted = jobs.totals(there, wanted(asked))
    if not counted.jobs:
        return Told(lines=("There is no job.",), notes=notes)
    told = jobs.about_totals(counted)
    tables = [
        Table(("Outcome", "Jobs"), _plain(_named(told["outcomes"])), "Outcomes"),
        Table(("Monday", "Jobs"), _plain((w["monday"], w["jobs"]) for w in told["weeks"]),
              "Jobs a week, from Monday"),
        Table(("Step", "Procedure", "Jobs"),
              _plain((o["step"], o["procedure"], o["jobs"]) for o in told["skipped"]),
              "Steps skipped most"),
    ]  # fmt: skip
    spreads = [
        f"{name} a job: median {s['median']}, middle half {s['lower']} to {s['upper']},"
        f" most {s['most']}"
        for name in ("minutes", "questions")
        if (s := told[name])
    ]
    words = "Jobs by week, outcome and skipped step; the tables say the same."
    picture = drawing_of_totals(counted, jobs.WORDS), words
    jobs_told = "1 job" if counted.jobs == 1 else f"{counted.jobs} jobs"
    return Told(tuple(tables), (jobs_told, *spreads), (picture,), notes)


def _named(outcomes: Mapping[str, int]) -> Iterator[tuple[str, int]]:
    return ((jobs.WORDS.get(name, name), count) for name, count in outcomes.items())


def _totals_json(there: Records, asked: Asked) -> str:
    there.sync()
    return _json(jobs.about_totals(jobs.totals(there, wanted(asked))))


def _totals_csv(there: Records, asked: Asked) -> str:
    there.sync()
    told = jobs.about_totals(jobs.totals(there, wanted(asked)))
    rows = [("outcome", name, count) for name, count in told["outcomes"].items()]
    rows += [("week", week["monday"], week["jobs"]) for week in told["weeks"]]
    rows += [("skipped", f"{o['step']} ({o['procedure']})", o["jobs"]) for o in told["skipped"]]
    return _csv(("what", "of", "jobs"), rows)


# --- what they share ---


def _synced(there: Records) -> tuple[str, ...]:
    """Take in what is new; which journals could not be read."""
    synced = there.sync()
    return (*synced.unreadable, *synced.passed_over)


def _limit(asked: Asked) -> int:
    text = asked.get("limit") or str(_LIMIT)
    if not (text.isascii() and text.isdigit() and len(text) < 10):
        raise SettingsError(f"found {text!r}", place="--limit", remedy="write a number, or 0: all")
    return int(text)


def _minute(at: str) -> str:
    return at[:16].replace("T", " ")


def _plain(rows: Iterable[Sequence[object]]) -> tuple[tuple[str, ...], ...]:
    return tuple(tuple(str(each) for each in row) for row in rows)


def _json(told: object) -> str:
    text = json.dumps(told, ensure_ascii=False, indent=1)
    return text.encode("utf-8", "backslashreplace").decode("utf-8") + "\n"


def _csv(head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """As RFC 4180 has it; no cell is a formula."""
    content = io.StringIO(newline="")
    table = csv.writer(content, dialect="excel")
    table.writerow(head)
    for row in rows:
        table.writerow([cell(one_line(str(each))) for each in row])
    return content.getvalue()


_Answers = tuple[
    Callable[[Records, Asked], Told],
    Callable[[Records, Asked], str],
    Callable[[Records, Asked], str],
]
#: Each verb with its page, its CSV and its JSON.
_VERBS: Mapping[str, _Answers] = {
    "list": (_listed, _listed_csv, _listed_json),
    "find": (_found, _found_csv, _found_json),
    "show": (_shown, _shown_csv, _shown_json),
    "trend": (_trend, _trend_csv, _trend_json),
    "totals": (_totals, _totals_csv, _totals_json),
}
