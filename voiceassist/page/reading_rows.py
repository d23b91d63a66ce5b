"""The readings of a session as rows of a table, those that prove cause and repair apart. Pure."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from voiceassist.page.bar import Bar, bar_of
from voiceassist.record.lines import VerdictLine
from voiceassist.record.read_session import ReadSession
from voiceassist.record.summary import Measured
from voiceassist.record.webvtt import one_line

#: What a reading without a verdict has of one.
_NO_VERDICT = VerdictLine({})


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """A row: what was measured, what came of it, and a bar when it can be drawn.

    Parts:
        measured: the reading, its limit and its verdict.
        label: the step in words.
        what: what was measured there, and in which session if not in this; empty when neither is
            known.
        bar: its place against the limit; None without a limit in numbers.
        remark: what was said about it, such as why it does not count.
    """

    measured: Measured
    label: str
    what: str = ""
    bar: Bar | None = None
    remark: str = ""


def label(step: str) -> str:
    """The name of a step in words: "Feed lamp"."""
    return capital(step.replace("-", " "))


def capital(text: str) -> str:
    """``text`` with its first letter large."""
    return text[:1].upper() + text[1:]


def proofs(
    read: ReadSession, measured: Sequence[Measured], names: Mapping[str, str]
) -> tuple[ReadingRow, ...]:
    """Every reading as a row, in order."""
    return tuple(_proof(one, read.verdicts, names) for one in measured)


def _proof(
    one: Measured, by_seq: Mapping[int, VerdictLine], names: Mapping[str, str]
) -> ReadingRow:
    verdict = by_seq.get(one.seq) or _NO_VERDICT
    after = by_seq.get(one.seq + 1)
    if verdict is _NO_VERDICT and after is not None and after.step == one.step:
        verdict = after
    # The ends of a limit that changed with a correction are told in words only.
    bar = None if one.rejudged else bar_of(verdict, one.shown)
    origin = f"read in {one.origin}" if one.origin else ""
    what = "; ".join(filter(None, (one_line(names.get(one.step, "")), origin)))
    return ReadingRow(one, label(one.step), what, bar, verdict.text)


def proving(read: ReadSession, rows: Sequence[ReadingRow]) -> tuple[ReadingRow, ...]:
    """The rows that the last finding quotes as its proof."""
    found = read.last_finding
    if found is None:
        return ()
    quoted = set(found.because)
    return tuple(
        row
        for row in rows
        if row.measured.counts and row.measured.seq <= found.seq and _quoted(row) in quoted
    )


def proving_repair(read: ReadSession, rows: Sequence[ReadingRow]) -> tuple[ReadingRow, ...]:
    """The rows taken after the last finding, which show what the repair came to."""
    found = read.last_finding
    if found is None:
        return ()
    since = found.seq
    return tuple(row for row in rows if row.measured.counts and row.measured.seq > since)


def without_readings(sentences: str, rows: Sequence[ReadingRow]) -> str:
    """``sentences`` up to the first one that quotes the readings, which stand in a table."""
    places = [sentences.find(_in_sentence(row)) for row in rows]
    first = min((place for place in places if place >= 0), default=-1)
    end = sentences.rfind(". ", 0, first) if first >= 0 else -1
    return sentences[: end + 1] if end >= 0 else sentences


def _quoted(row: ReadingRow) -> str:
    """As a finding quotes it: "feed lamp: bright"."""
    return f"{row.measured.step.replace('-', ' ')}: {row.measured.shown}"


def _in_sentence(row: ReadingRow) -> str:
    return f"{row.measured.step.replace('-', ' ')} {row.measured.shown}"
