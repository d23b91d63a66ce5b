"""A session of the archive, told whole."""

from collections.abc import Mapping
from typing import Any

from voiceassist.app.bench.archive_forms import Answers, Asked, as_json, minute, plain
from voiceassist.app.records.checked import load
from voiceassist.app.records.export import as_csv
from voiceassist.app.records.find_session import about
from voiceassist.app.records.opened import Records
from voiceassist.bench.asked import Cell, Table, Told


def _shown(there: Records, asked: Asked) -> Told:
    told = about(load(there, asked.get("session") or "last"))
    altered = f"ALTERED: {told['fault']}. What follows is from before that."
    wrong = [altered] if told["fault"] else []
    wrong += [f"NOT AS WRITTEN: {problem}" for problem in told["problems"]]
    good = f"no fault found: {told['good']}" if told["good"] else "none found"
    rows = [("session", told["session"]), ("begun", minute(told["began"]))]
    rows += [("outcome", told["outcome_text"]), *told["facts"].items()]
    rows += [("complaint", told["complaint"] or "none"), ("cause", told["cause"] or good)]
    rows += [("because", each) for each in told["because"]]
    rows += [("correction", told["correction"] or "none")]
    tables = [Table(("What", "Told"), plain(rows), "Job"), Table(*_readings(told), "Readings")]
    tables.append(Table(*_moments(told), "Questions, corrections and notes"))
    if told["addenda"]:
        later = [(minute(a["at"]), a["by"], a["text"]) for a in told["addenda"]]
        tables.append(Table(("At", "By", "Words"), plain(later), "Added later"))
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
    return as_json(about(load(there, asked.get("session") or "last")))


def _shown_csv(there: Records, asked: Asked) -> str:
    return as_csv(load(there, asked.get("session") or "last"))


SHOW: Answers = (_shown, _shown_csv, _shown_json)
