"""What can be learnt from how a session went: for a trainee and the instructor. Pure."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import median

from voiceassist.page.items import heard_note
from voiceassist.page.reading_rows import ReadingRow, label
from voiceassist.page.visits import Visit
from voiceassist.record.changes import TakenBack
from voiceassist.record.lines import (
    FindingWithdrawnLine,
    Heard,
    Line,
    ReadingLine,
    RejudgedLine,
    Skipped,
    WithdrawnLine,
)
from voiceassist.record.read_session import ReadSession

#: Commands that ask for help -> what was asked for.
HELP = {
    "why": "why the step is done",
    "explain": "all there is to tell of the step",
    "how": "how to go about it",
    "limit": "the limit",
    "repeat": "to hear it again",
    "where": "where the session is",
    "how-far": "how far it still is",
    "read-back": "the readings so far",
    "help": "what can be said",
}


@dataclass(frozen=True, slots=True)
class TalkPoint:
    """One thing worth talking about: when (RFC 3339), at which step, and what it was."""

    at: str
    step: str
    text: str


@dataclass(frozen=True, slots=True)
class StepPace:
    """Time spent at a step.

    Parts:
        label: the step in words.
        seconds: in all its visits.
        visits: how many there were.
        share: of the longest step's time, from 0 to 1.
        ratio: how many times the session's median step; 0 where that is nothing.
    """

    label: str
    seconds: float
    visits: int
    share: float
    ratio: float


@dataclass(frozen=True, slots=True)
class Lesson:
    """What stands out.

    Parts:
        turns: steps gone back to, readings put right or taken back, verdicts that changed.
        refused: readings that did not count, and why.
        helped: help that was asked for.
        questions: what the assistant had to ask because it was not sure.
        skipped: steps left out, and why.
        paces: time for each step, in the order of its first visit.
        median_s: the median of these, in seconds.
    """

    turns: tuple[TalkPoint, ...]
    refused: tuple[TalkPoint, ...]
    helped: tuple[TalkPoint, ...]
    questions: tuple[TalkPoint, ...]
    skipped: tuple[TalkPoint, ...]
    paces: tuple[StepPace, ...]
    median_s: float


def lesson(read: ReadSession, rows: Sequence[ReadingRow], stays: Sequence[Visit]) -> Lesson:
    """What can be learnt from a session."""
    paces, median_s = _paces(stays)
    return Lesson(
        turns=tuple(_mark(change.line, _turn(change)) for change in read.changes),
        refused=tuple(_refused(rows)),
        helped=tuple(_helped(read)),
        questions=tuple(_questions(read)),
        skipped=tuple(_skipped(read)),
        paces=paces,
        median_s=median_s,
    )


def _mark(line: Line, text: str) -> TalkPoint:
    return TalkPoint(line.at, label(line.step), text)


def _turn(change: TakenBack) -> str:
    """What was taken back."""
    line, was = change.line, change.value
    text = line.text
    match line:
        case Heard():
            text = f"said “{line.words}”"
        case ReadingLine():
            text = f"put right: {was or 'an earlier value'} became {line.shown or line.text}"
        case RejudgedLine(verdict=now):
            before = change.verdict
            changed = f"{now} as before" if now == before else f"{before} became {now}"
            text = f"judged again: {changed}"
        case WithdrawnLine():
            text = f"taken back: {was or 'the last result'}"
        case FindingWithdrawnLine():
            text = f"finding withdrawn: {line.name.replace('-', ' ')}"
        case _:
            pass
    return text


def _refused(rows: Sequence[ReadingRow]) -> Iterator[TalkPoint]:
    """Values that were said but did not count: their verdict stands alone."""
    for row in rows:
        one = row.measured
        if one.verdict and one.remark == "did not count":
            remark = f": {row.remark}" if row.remark else ""
            yield TalkPoint(one.at, row.label, f"{one.shown or 'no value'}, {one.verdict}{remark}")


def _helped(read: ReadSession) -> Iterator[TalkPoint]:
    for line in read.every(Heard):
        if asked := HELP.get(line.command):
            yield _mark(line, f"asked {asked} (“{line.words}”)")


def _questions(read: ReadSession) -> Iterator[TalkPoint]:
    """Words that were answered with a question instead of being taken."""
    for one in read.exchanges:
        if asked := one.question:
            words = one.heard.words or "(no words)"
            text = f"heard “{words}” ({heard_note(one.heard)}); said: {asked}"
            yield _mark(one.heard, text)


def _skipped(read: ReadSession) -> Iterator[TalkPoint]:
    for line in read.every(Skipped):
        yield _mark(line, line.reason.replace("-", " ") or "no reason given")


def _paces(stays: Sequence[Visit]) -> tuple[tuple[StepPace, ...], float]:
    """Time for each step beside the median of all; what is before the first is no step."""
    spent: dict[str, list[float]] = {}
    for stay in stays:
        if stay.step:
            spent.setdefault(stay.step, []).append(stay.seconds)
    totals = {step: sum(times) for step, times in spent.items()}
    middle = median(totals.values()) if totals else 0.0
    longest = max(totals.values(), default=0.0)
    paces = (
        StepPace(
            label(step),
            total,
            len(spent[step]),
            total / longest if longest else 0.0,
            total / middle if middle else 0.0,
        )
        for step, total in totals.items()
    )
    return tuple(paces), middle
