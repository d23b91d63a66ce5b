"""One session of the records: found by what people call it, and read as frozen values."""

import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from voiceassist.app.pages.session_folder import KeptSession, named_outright
from voiceassist.app.records.opened import Records
from voiceassist.archive.asking import Row
from voiceassist.errors import RecordError
from voiceassist.record.folder import SessionFolder, sessions
from voiceassist.record.outcomes import PARKED, in_words
from voiceassist.record.summary import Measured, SessionSummary
from voiceassist.record.webvtt import UNSHOWN, marked

_SHOWN = 3


def resolved(records: Records, name: str) -> SessionFolder:
    """The session called ``name``: its id, a beginning of it, a repair order, or "last".

    Raises:
        RecordError: there is none, there are several, or it lies in another bay.
    """
    outright = named_outright(records.folder, name)
    if outright is not None:
        return outright
    folders = {folder.id: folder for folder in sessions(records.folder)}
    records.sync()
    rows = records.archive.with_order(name)
    elsewhere = [row for row in rows if not records.here(row)]
    fitting = {id_ for id_ in folders if name and id_.startswith(name)}
    fitting |= {row["folder"] for row in rows if row["folder"] in folders and records.here(row)}
    if len(fitting) == 1:
        return folders[fitting.pop()]
    raise _unresolved(records, name, sorted(fitting), elsewhere)


def _unresolved(
    records: Records, name: str, fitting: Sequence[str], elsewhere: Sequence[Row]
) -> RecordError:
    place = str(records.folder)
    if fitting:
        names = ", ".join(fitting[-_SHOWN:])
        return RecordError(
            f"{len(fitting)} sessions are called {name!r}",
            place=place,
            remedy=f"give one whole name; the latest are {names}",
        )
    if elsewhere:
        place_there = elsewhere[0]["place"]
        return RecordError(
            f"session {elsewhere[0]['folder']} lies in another folder of records",
            place=place,
            remedy=f"look there: {records.archive.bays().get(place_there, place_there)}",
        )
    return RecordError(
        f"no session is called {name!r}", place=place, remedy="see: voiceassist records list"
    )


def about(kept: KeptSession) -> dict[str, Any]:
    """A session as the JSON object of ``records show``."""
    summary = kept.summary
    return {
        "session": kept.folder.id,
        "began": summary.began,
        "last_at": summary.last_at,
        "ended": summary.ended,
        "procedure": summary.procedure,
        "title": summary.title,
        "facts": dict(summary.facts),
        "complaint": summary.complaint,
        "outcome": summary.outcome,
        "outcome_text": outcome_text(summary),
        "cause": summary.cause,
        "good": summary.good,
        "because": list(summary.because),
        "correction": summary.correction,
        "readings": [reading(kept, measured) for measured in summary.readings],
        "moments": [
            {"seq": m.seq, "at": m.at, "kind": m.kind, "step": m.step, "text": m.text}
            for m in summary.moments
        ],
        "addenda": [
            {"seq": a.seq, "at": a.at, "by": a.author, "text": a.words} for a in summary.addenda
        ],
        "lines": len(kept.entries),
        "last_hash": kept.entries[-1].hash if kept.entries else "",
        "fault": kept.fault_text,
        "problems": list(kept.problems),
        "notes": list(kept.notes),
        "held_by": list(kept.held_by),
        "folder": str(kept.folder.path),
    }


def reading(kept: KeptSession, measured: Measured) -> dict[str, Any]:
    """A reading as a JSON object; the value is a decimal string, digits as spoken."""
    quantity = measured.quantity
    return {
        "seq": measured.seq,
        "at": measured.at,
        "step": measured.step,
        "points": list(kept.points.get(measured.step, ())),
        "reading": measured.shown,
        "quantity": quantity.unit.quantity if quantity else "",
        "value": f"{quantity.value:f}" if quantity else None,
        "unit": quantity.unit.symbol if quantity else "",
        "limit": measured.limit,
        "verdict": measured.verdict,
        "rejudged": measured.rejudged,
        "counts": measured.counts,
        "remark": measured.remark,
        "origin": measured.origin,
    }


def plainly(lines: Iterable[str]) -> Iterator[str]:
    """Lines for a terminal: what a record holds can neither break them nor steer the terminal."""
    for line in lines:
        if line.isprintable():  # most often, and quickly told
            yield line
            continue
        yield "".join(" " if unicodedata.category(c) in UNSHOWN else c for c in marked(line))


def outcome_text(summary: SessionSummary) -> str:
    """The outcome in words; says so when the session has not ended."""
    known = summary.ended or summary.outcome.startswith(PARKED)
    return in_words(summary.outcome) if known else "the session has not ended"
