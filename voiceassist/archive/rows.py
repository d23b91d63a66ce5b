"""What the archive takes in of a session, and the rows it becomes. Pure: values in, rows out."""

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from voiceassist.archive.decimals import sort_key
from voiceassist.archive.words import as_document
from voiceassist.record.chain import ChainReport, Harm
from voiceassist.record.entry import FIRST_PREV, Entry, lines_of
from voiceassist.record.facts import order_key
from voiceassist.record.read_session import ReadSession
from voiceassist.record.summary import Measured, SessionSummary, summary
from voiceassist.record.webvtt import one_line

Row = dict[str, object]


class Chain(StrEnum):
    """How the chain of a journal was found."""

    INTACT = "intact"
    TORN = "torn"
    ALTERED = "altered"


@dataclass(frozen=True, slots=True)
class TakenSession:
    """A session as it is handed to the archive.

    Parts:
        folder: its id.
        summary: what it came to.
        hashes: of the journal's good lines, in order.
        chain: how the chain was found.
        size, mtime_ns: of the journal's file when it was read.
        points: step to the test points it is measured at; empty when they are not known.
        own_id: the session's own id, wherever it lies; empty when its journal tells none.
    """

    folder: str
    summary: SessionSummary
    hashes: Sequence[str]
    chain: Chain = Chain.INTACT
    size: int = 0
    mtime_ns: int = 0
    points: Mapping[str, Sequence[str]] | None = None
    own_id: str = ""

    @classmethod
    def of(
        cls,
        folder: str,
        report: ChainReport,
        size: int,
        mtime_ns: int,
        read: ReadSession | None = None,
    ) -> "TakenSession":
        """The session in ``folder`` whose journal gave ``report``, ``read`` already or not."""
        kind = Chain.INTACT
        if report.fault is not None:
            kind = Chain.TORN if report.fault.harm is Harm.TORN else Chain.ALTERED
        return cls(
            folder,
            summary(read or lines_of(report.entries)),
            [entry.hash for entry in report.entries],
            kind,
            size,
            mtime_ns,
            own_id=own_id(report.entries),
        )

    def sid(self, place: str) -> str:
        """By what it is known in the archive; by where it lies when its journal tells no id."""
        return self.own_id or f"{place}:{self.folder}"

    @property
    def last_hash(self) -> str:
        """Of the last good line; 64 zeros when there is none."""
        return self.hashes[-1] if self.hashes else FIRST_PREV


def own_id(entries: Sequence[Entry]) -> str:
    """The id that a journal gives its session, and the hash of its first line where it has none.

    Empty for a journal without a good line.
    """
    if not entries:
        return ""
    named = entries[0].fields.get("session")
    return one_line(named) if isinstance(named, str) and named else entries[0].hash


def session_row(taken: TakenSession, place: str) -> Row:
    """The row of ``sessions``, but for its number."""
    summed = taken.summary
    order = summed.fact("repair order")
    texts = {
        "began": summed.began,
        "last_at": summed.last_at,
        "procedure": summed.procedure,
        "title": summed.title,
        "procedure_sha256": summed.procedure_sha256,
        "repair_order": order,
        "order_key": order_key(order),
        "vehicle": summed.fact("vehicle") or summed.fact("vin"),
        "technician": summed.fact("technician"),
        "complaint": summed.complaint,
        "outcome": summed.outcome,
        "finding": summed.finding,
        "cause": summed.cause,
    }
    return {
        **{name: one_line(text) for name, text in texts.items()},
        "place": place,
        "folder": taken.folder,
        "sid": taken.sid(place),
        "facts": json.dumps(dict(summed.facts)),
        "last_hash": taken.last_hash,
        "chain": taken.chain.value,
        "ended": summed.ended,
        "worked_s": round(summed.worked_s),
        "questions": summed.questions,
        "lines": len(taken.hashes),
        "size": taken.size,
        "mtime_ns": taken.mtime_ns,
        "missing": False,
    }


def reading_rows(taken: TakenSession, number: int) -> Iterator[Row]:
    """The rows of ``readings``."""
    for place, measured in enumerate(taken.summary.readings, 1):
        yield {"session": number, "place": place, **reading_row(measured)}


def reading_row(measured: Measured) -> Row:
    """A reading's own columns."""
    quantity = measured.quantity
    return {
        "seq": measured.seq,
        "at": measured.at,
        "step": one_line(measured.step),
        "shown": one_line(measured.shown),
        "quantity": quantity.unit.quantity if quantity else "",
        "value": quantity.value if quantity else None,
        "unit": quantity.unit.symbol if quantity else "",
        "base_key": sort_key(quantity.in_base) if quantity else None,
        "accept": one_line(measured.limit),
        "verdict": one_line(measured.verdict),
        "rejudged": measured.rejudged,
        "remark": one_line(measured.remark),
    }


def verdict_rows(taken: TakenSession, number: int) -> Iterator[Row]:
    """The rows of ``verdicts``: each verdict of the session once."""
    for verdict in sorted({one_line(m.verdict) for m in taken.summary.readings if m.verdict}):
        yield {"session": number, "verdict": verdict}


def word_row(taken: TakenSession, number: int) -> Row:
    """The row of ``words``: plain words with spaces between."""
    summed = taken.summary
    return {
        "session": number,
        "said": as_document(summed.said),
        "cause": as_document([summed.cause]),
        "complaint": as_document([summed.complaint]),
        "vehicle": as_document([summed.fact("vehicle"), summed.fact("vin")]),
    }


def point_rows(taken: TakenSession) -> Iterator[Row]:
    """The rows of ``points`` of the session's procedure."""
    sha = taken.summary.procedure_sha256
    for step, names in (taken.points or {}).items():
        for name in dict.fromkeys(names):
            yield {"procedure_sha256": sha, "step": one_line(step), "point": one_line(name)}
