"""The jobs of the archive, listed, found or added up."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from voiceassist.app.bench.archive_forms import (
    Answers,
    Asked,
    as_csv_file,
    as_json,
    limit_of,
    minute,
    plain,
    synced,
)
from voiceassist.app.records.asked import wanted
from voiceassist.app.records.jobs import jobs_as_csv
from voiceassist.app.records.opened import Records, found, listed
from voiceassist.app.records.totals import WORDS, about_totals
from voiceassist.archive.plot_totals import drawing_of_totals
from voiceassist.bench.asked import Cell, Table, Told

_STATES = {"open": "not ended", "missing": "its folder is gone", "deleted": "deleted"}


def _listed(there: Records, asked: Asked) -> Told:
    notes = synced(there)
    limit = limit_of(asked)
    return _of_jobs(listed(there, limit), limit, notes, "No session is kept yet.")


def _found(there: Records, asked: Asked) -> Told:
    if not any(value for name, value in asked.items() if name != "limit"):
        return Told()
    notes = synced(there)
    limit = limit_of(asked)
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
        gone = f"deleted {minute(told['removed_at'])} by {told['removed_by']}{why}"
        return (session, "", "", "", "", "", gone, "")
    outcome = _STATES.get(told["state"]) or told["outcome_text"]
    doubts = [] if told["chain"] == "intact" else [f"journal {told['chain']}"]
    doubts += [] if told["as_seen"] else ["not the journal seen before"]
    names = ("repair_order", "vehicle", "technician")
    return (
        (session, f"show?session={session}"),
        minute(told["began"]),
        *(str(told[name]) for name in names),
        str(told["title"] or told["procedure"]),
        "; ".join([outcome, *doubts]),
        str(told["cause"]),
    )


def _listed_json(there: Records, asked: Asked) -> str:
    there.sync()
    return as_json(listed(there, limit_of(asked)))


def _listed_csv(there: Records, asked: Asked) -> str:
    there.sync()
    return jobs_as_csv(there, wanted({}, limit_of(asked)))


def _found_json(there: Records, asked: Asked) -> str:
    there.sync()
    return as_json(found(there, wanted(asked, limit_of(asked))))


def _found_csv(there: Records, asked: Asked) -> str:
    there.sync()
    return jobs_as_csv(there, wanted(asked, limit_of(asked)))


def _totals(there: Records, asked: Asked) -> Told:
    notes = synced(there)
    counted = there.archive.totals(wanted(asked))
    if not counted.jobs:
        return Told(lines=("There is no job.",), notes=notes)
    told = about_totals(counted)
    tables = [
        Table(("Outcome", "Jobs"), plain(_named(told["outcomes"])), "Outcomes"),
        Table(("Monday", "Jobs"), plain((w["monday"], w["jobs"]) for w in told["weeks"]),
              "Jobs a week, from Monday"),
        Table(("Step", "Procedure", "Jobs"),
              plain((o["step"], o["procedure"], o["jobs"]) for o in told["skipped"]),
              "Steps skipped most"),
    ]  # fmt: skip
    spreads = [
        f"{name} a job: median {s['median']}, middle half {s['lower']} to {s['upper']},"
        f" most {s['most']}"
        for name in ("minutes", "questions")
        if (s := told[name])
    ]
    words = "Jobs by week, outcome and skipped step; the tables say the same."
    picture = drawing_of_totals(counted, WORDS), words
    jobs_told = "1 job" if counted.jobs == 1 else f"{counted.jobs} jobs"
    return Told(tuple(tables), (jobs_told, *spreads), (picture,), notes)


def _named(outcomes: Mapping[str, int]) -> Iterator[tuple[str, int]]:
    return ((WORDS.get(name, name), count) for name, count in outcomes.items())


def _totals_json(there: Records, asked: Asked) -> str:
    there.sync()
    return as_json(about_totals(there.archive.totals(wanted(asked))))


def _totals_csv(there: Records, asked: Asked) -> str:
    there.sync()
    told = about_totals(there.archive.totals(wanted(asked)))
    rows = [("outcome", name, count) for name, count in told["outcomes"].items()]
    rows += [("week", week["monday"], week["jobs"]) for week in told["weeks"]]
    rows += [("skipped", f"{o['step']} ({o['procedure']})", o["jobs"]) for o in told["skipped"]]
    return as_csv_file(("what", "of", "jobs"), rows)


LIST: Answers = (_listed, _listed_csv, _listed_json)
FIND: Answers = (_found, _found_csv, _found_json)
TOTALS: Answers = (_totals, _totals_csv, _totals_json)
