"""Small records for tests: session folders with journals, written as a session writes them."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

from voiceassist import __version__
from voiceassist.record import folder, times
from voiceassist.record.entry import Entry, digest
from voiceassist.record.folder import SessionFolder
from voiceassist.record.journal import Journal
from voiceassist.record.removal import Removal
from voiceassist.record.report import report
from voiceassist.record.transcript import Transcript

Line = dict[str, object]
BEGAN = datetime(2026, 1, 2, 8, 0, tzinfo=UTC)

PROCEDURE = """\
procedure: lamp
title: A lamp does not light
for: Quillback 26 shuttle (invented)
points:
  feed pin: pin one, the brown wire
steps:
  feed:
    measure: voltage at the feed pin
    accept: 11.8 V to 12.9 V
    fail: fuse
    then: bulb
findings:
  fuse:
    cause: the fuse is open
    because: [feed]
    correction: change the fuse
  bulb:
    cause: the bulb is open
    because: [feed]
    correction: change the bulb
"""


def head(order: str = "1042", vehicle: str = "Quillback 26, number 7", **more: object) -> Line:
    """The first line of a session."""
    facts = {"repair order": order, "vehicle": vehicle, "technician": "A. Person"}
    return {
        "event": "session",
        "procedure": "lamp",
        "title": "A lamp does not light",
        "procedure_sha256": digest(PROCEDURE.encode()),
        "version": __version__,
        "facts": facts,
    } | more


def heard(words: str, **more: object) -> Line:
    """Words of the technician, taken for something."""
    return {"event": "heard", "words": words, "meanings": [{"kind": "answer", "name": "x"}]} | more


def reading(value: str, unit: str = "V", step: str = "feed", **more: object) -> Line:
    """A reading."""
    shown = f"{value} {unit}"
    return {"event": "reading", "step": step, "value": value, "unit": unit, "shown": shown} | more


def verdict(shown: str, found: str, step: str = "feed", limit: str = "11.8 V to 12.9 V") -> Line:
    """A verdict on the reading before it."""
    return {"event": "verdict", "step": step, "reading": shown, "limit": limit, "verdict": found}


FINDING: Line = {
    "event": "finding",
    "step": "feed",
    "name": "fuse",
    "cause": "the fuse is open",
    "because": ["feed: 0.10 V"],
    "correction": "change the fuse",
}
END: Line = {"event": "end", "outcome": "found", "text": "The job is closed."}


def job(value: str = "12.60", found: str = "pass", **facts: str) -> list[Line]:
    """A short job with one reading."""
    return [
        head(**facts),
        heard(f"{value} volts"),
        reading(value),
        verdict(f"{value} V", found),
        FINDING,
        END,
    ]


def kept(
    records: Path, lines: Sequence[Line], minute: int = 0, *, finished: bool = True
) -> SessionFolder:
    """A session begun at that minute, with transcript and report when it is ``finished``."""
    began = BEGAN + timedelta(minutes=minute)
    made = folder.create(records, "lamp", began)
    add(made, lines, began)
    made.write("procedure.yaml", PROCEDURE)
    if finished:
        finish(made)
    return made


def add(to: SessionFolder, lines: Sequence[Line], at: datetime = BEGAN) -> None:
    """More lines, a second apart."""
    own = {"session": to.id}  # as a session writes it, so that no two are taken for one
    stamped = [
        {
            "at": times.written(at + timedelta(seconds=i)),
            **(own if line.get("event") == "session" else {}),
            **line,
        }
        for i, line in enumerate(lines)
    ]
    opened = Journal.open if to.journal.exists() else Journal.create
    with opened(to.journal, lambda: at) as journal:
        journal.append(stamped)


def removal_of(made: SessionFolder) -> Removal:
    """What a removal of the session leaves word of."""
    entries = entries_of(made)
    at = times.written(BEGAN)
    return Removal(made.id, at, "someone", "", len(entries), entries[-1].hash)


def finish(made: SessionFolder) -> None:
    """Write what a session leaves beside its journal."""
    entries = entries_of(made)
    made.write("transcript.vtt", Transcript(entries).webvtt())
    made.write("transcript.txt", Transcript(entries).plain_text())
    made.write("report.txt", report(entries))


def entries_of(made: SessionFolder) -> tuple[Entry, ...]:
    """The journal's lines."""
    with Journal.open(made.journal, lambda: BEGAN) as journal:
        return journal.entries
