"""``voiceassist records list`` and ``find``."""

from typing import Annotated, Any

import typer

from voiceassist.cli.options import Json, Records
from voiceassist.cli.progress import ProgressBar
from voiceassist.cli.records import asking
from voiceassist.cli.records.common import LIMIT, Archive, as_json, day_and_minute, end, told

#: Signs of a fact or cause; --json has the whole.
_MOST = 160
Limit = Annotated[
    int,
    typer.Option(min=0, max=1_000_000_000, help="How many at most, the newest first; 0: all."),
]


def list_(
    limit: Limit = LIMIT, records: Records = "", archive: Archive = "", json: Json = False
) -> None:
    """The sessions, the newest first. Exit 1 when a journal cannot be read."""
    from voiceassist.app.records.opened import listed, opened

    with opened(records, archive) as there, ProgressBar("reading journals") as bar:
        synced = there.sync(progress=bar.at)
        found = listed(there, limit)
    _tell(found, limit, json=json, nothing="No session is kept yet.")
    end(synced)


def find(
    order: asking.Order = "",
    vehicle: asking.Vehicle = "",
    technician: asking.Technician = "",
    procedure: asking.Procedure = "",
    outcome: asking.Outcome = "",
    verdict: Annotated[
        str, typer.Option(help="pass, low, high, too-close or not-valid: given to some reading.")
    ] = "",
    cause: Annotated[str, typer.Option(help="Words from the cause found.")] = "",
    said: Annotated[
        str,
        typer.Option(help='Words the technician said: all of them, "in a row", or beginning*.'),
    ] = "",
    since: asking.Since = "",
    until: asking.Until = "",
    limit: Limit = LIMIT,
    records: Records = "",
    archive: Archive = "",
    json: Json = False,
) -> None:
    """The sessions that fit all that is asked for."""
    from voiceassist.app.records.asked import wanted
    from voiceassist.app.records.opened import found, opened

    asked = {"order": order, "vehicle": vehicle, "technician": technician}
    asked |= {"procedure": procedure, "outcome": outcome, "verdict": verdict}
    asked |= {"cause": cause, "said": said, "since": since, "until": until}
    fitting = wanted(asked, limit)
    with opened(records, archive) as there, ProgressBar("reading journals") as bar:
        synced = there.sync(progress=bar.at)
        sessions = found(there, fitting)
    _tell(sessions, limit, json=json, nothing="No session fits.")
    end(synced)


def _tell(found: list[dict[str, Any]], limit: int, *, json: bool, nothing: str) -> None:
    for about in found:
        as_json(about) if json else typer.echo(_lines(about))
    if not found and not json:
        typer.echo(nothing)
    if limit and len(found) == limit:
        told(f"Only the newest {limit} shown; there may be more: --limit 0")


def _lines(about: dict[str, Any]) -> str:
    """A session in two or three lines, none of them a book."""
    about = {name: _cut(value) for name, value in about.items()}
    if about["state"] == "deleted":
        why = f": {about['reason']}" if about["reason"] else ""
        day = day_and_minute(about["removed_at"])
        return f"{about['session']}\n  deleted {day} by {about['removed_by']}{why}\n"
    job = [about["repair_order"], about["vehicle"], about["technician"]]
    head = " | ".join(part for part in [day_and_minute(about["began"]), *job] if part)
    states = {"open": _open(about), "missing": "ITS FOLDER IS GONE", "ended": about["outcome_text"]}
    chain = "" if about["chain"] == "intact" else f" | journal {about['chain']}"
    seen = "" if about["as_seen"] else " | NOT THE JOURNAL SEEN BEFORE, see: records verify"
    place = f"\n  lies at {about['place']}" if about["place"] else ""
    cause = f"\n  cause: {about['cause']}" if about["cause"] else ""
    end = f"{about['title'] or about['procedure']} | {states[about['state']]}{chain}{seen}"
    return f"{about['session']}\n  {head}\n  {end}{cause}{place}\n"


def _open(about: dict[str, Any]) -> str:
    """That a session has not ended, or what it is parked for and since when."""
    if not str(about["outcome"]).startswith("parked"):
        return "not ended"
    return f"{about['outcome_text']}, since {day_and_minute(about['last_at'])}"


def _cut(value: object) -> object:
    is_long = isinstance(value, str) and len(value) > _MOST
    return f"{str(value)[: _MOST - 1]}…" if is_long else value
