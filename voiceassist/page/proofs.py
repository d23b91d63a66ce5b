"""The readings of a session as rows of a table, those that prove cause and repair apart. Pure."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from voiceassist.page.bar import Bar, bar_of
from voiceassist.record import job
from voiceassist.record.report import last_finding
from voiceassist.record.summary import Measured
from voiceassist.record.webvtt import one_line

Line = Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Proof:
    """A row: what was measured, what came of it, and a bar when it can be drawn.

    Parts:
        measured: the reading, its limit and its verdict.
        label: the step in words.
        what: what was measured there; empty when it is not known.
        bar: its place against the limit; None without a limit in numbers.
        told: what was said about it, such as why it does not count.
    """

    measured: Measured
    label: str
    what: str = ""
    bar: Bar | None = None
    told: str = ""


def label(step: str) -> str:
    """The name of a step in words: "Feed lamp"."""
    return capital(step.replace("-", " "))


def capital(text: str) -> str:
    """``text`` with its first letter large."""
    return text[:1].upper() + text[1:]


def proofs(
    lines: Sequence[Line], measured: Sequence[Measured], names: Mapping[str, str]
) -> tuple[Proof, ...]:
    """Every reading as a row, in order."""
    by_seq = {line.get("seq"): line for line in lines}
    return tuple(_proof(one, by_seq, names) for one in measured)


def _proof(one: Measured, by_seq: Mapping[object, Line], names: Mapping[str, str]) -> Proof:
    own, after = by_seq.get(one.seq, {}), by_seq.get(one.seq + 1, {})
    belongs = after.get("event") == "verdict" and after.get("step") == one.step
    verdict = own if own.get("event") == "verdict" else after if belongs else {}
    # The ends of a limit that changed with a correction are told in words only.
    bar = None if one.rejudged else bar_of(verdict, one.shown)
    what = one_line(names.get(one.step, ""))
    return Proof(one, label(one.step), what, bar, job.text(verdict, "text"))


def proving(lines: Sequence[Line], rows: Sequence[Proof]) -> tuple[Proof, ...]:
    """The rows that the last finding quotes as its proof."""
    found = last_finding(lines)
    if found < 0:
        return ()
    quoted = set(job.because(lines[found]))
    return tuple(
        row
        for row in rows
        if row.measured.counts and row.measured.seq <= _seq(lines[found]) and _quoted(row) in quoted
    )


def proving_repair(lines: Sequence[Line], rows: Sequence[Proof]) -> tuple[Proof, ...]:
    """The rows taken after the last finding, which show what the repair came to."""
    found = last_finding(lines)
    if found < 0:
        return ()
    since = _seq(lines[found])
    return tuple(row for row in rows if row.measured.counts and row.measured.seq > since)


def without_readings(sentences: str, rows: Sequence[Proof]) -> str:
    """``sentences`` up to the first one that quotes the readings, which stand in a table."""
    places = [sentences.find(_in_sentence(row)) for row in rows]
    first = min((place for place in places if place >= 0), default=-1)
    end = sentences.rfind(". ", 0, first) if first >= 0 else -1
    return sentences[: end + 1] if end >= 0 else sentences


def _quoted(row: Proof) -> str:
    """As a finding quotes it: "feed lamp: bright"."""
    return f"{row.measured.step.replace('-', ' ')}: {row.measured.shown}"


def _in_sentence(row: Proof) -> str:
    return f"{row.measured.step.replace('-', ' ')} {row.measured.shown}"


def _seq(line: Line) -> int:
    seq = line.get("seq")
    return seq if isinstance(seq, int) else 0
