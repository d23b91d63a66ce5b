"""``voiceassist records show``."""

from collections.abc import Iterator
from typing import Any

import typer

from voiceassist.cli.options import Json, Records
from voiceassist.cli.records.common import Archive, Session, as_json, day_and_minute


def show(
    session: Session = "last", records: Records = "", archive: Archive = "", json: Json = False
) -> None:
    """What a session came to: job, readings with limits and verdicts, cause, and every doubt.

    Exit 1 when its journal was altered, or something else is not as it was written.
    """
    from voiceassist.app.records.checked import load
    from voiceassist.app.records.find_session import about, plainly
    from voiceassist.app.records.opened import opened

    with opened(records, archive) as there:
        found = about(load(there, session))
    if json:
        as_json(found)
    else:
        typer.echo("\n".join(plainly(_lines(found))))
    raise typer.Exit(1 if found["fault"] or found["problems"] else 0)


def _lines(found: dict[str, Any]) -> Iterator[str]:
    title = found["title"] or found["procedure"] or "Session"
    yield from (title, "=" * len(title))
    if found["fault"]:
        yield f"ALTERED: {found['fault']}. What follows is from before that."
    yield from (f"NOT AS WRITTEN: {problem}" for problem in found["problems"])
    yield f"{found['session']}, begun {day_and_minute(found['began'])}"
    yield f"outcome: {found['outcome_text']}"
    yield from (f"{name}: {value}" for name, value in found["facts"].items())
    yield from ("", "Complaint", f"  {found['complaint'] or 'none'}")
    good = f"no fault found: {found['good']}" if found["good"] else "none found"
    yield from ("", "Cause", f"  {found['cause'] or good}")
    yield from (f"  because {reason}" for reason in found["because"])
    yield from ("", "Correction", f"  {found['correction'] or 'none'}")
    yield from ("", "Readings")
    yield from _table([_reading(one) for one in found["readings"]])
    yield from ("", "Questions, corrections and notes")
    yield from [_moment(one) for one in found["moments"]] or ["  none"]
    if found["addenda"]:
        yield from ("", "Added later")
    yield from (f"  {day_and_minute(a['at'])}, {a['by']}: {a['text']}" for a in found["addenda"])
    yield from ("", f"{found['lines']} lines in {found['folder']}", f"SHA-256 {found['last_hash']}")
    yield f"held against {', '.join(found['held_by']) or 'nothing else'}"
    yield from (f"note: {note}" for note in found["notes"])


def _reading(one: dict[str, Any]) -> list[str]:
    limit = f"limit {one['limit']}" if one["limit"] else ""
    again = " (judged again)" if one["rejudged"] else ""
    remark = f"DOES NOT COUNT: {one['remark']}" if one["remark"] else ""
    return [one["at"][11:19], one["step"], one["reading"], limit, one["verdict"] + again, remark]


def _table(rows: list[list[str]]) -> Iterator[str]:
    """Cells below each other."""
    if not rows:
        yield "  none"
        return
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    for row in rows:
        cells = [cell.ljust(width) for cell, width in zip(row, widths, strict=True) if width]
        yield ("  " + "  ".join(cells)).rstrip()


def _moment(one: dict[str, Any]) -> str:
    step = f" at {one['step']}" if one["step"] else ""
    return f"  {one['at'][11:19]}  {one['kind']}{step}: {one['text']}"
