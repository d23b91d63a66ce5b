"""What can be learnt from how a session went: for a trainee and the instructor. Pure."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import median

from voiceassist.page.items import heard_note
from voiceassist.page.proofs import Proof, label
from voiceassist.page.visits import Visit
from voiceassist.record.lines import (
    Ask,
    FindingWithdrawn,
    Heard,
    Line,
    Reading,
    Rejudged,
    Say,
    Skipped,
    Verdict,
    Withdrawn,
    of_kind,
)

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
_VALUES = frozenset({"reading", "spread", "series", "over_range", "lamp", "identifier"})
_TURNS = frozenset({"go-back", "revise", "disregard"})


@dataclass(frozen=True, slots=True)
class Mark:
    """One thing worth talking about: when (RFC 3339), at which step, and what it was."""

    at: str
    step: str
    text: str


@dataclass(frozen=True, slots=True)
class Pace:
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

    turns: tuple[Mark, ...]
    refused: tuple[Mark, ...]
    helped: tuple[Mark, ...]
    questions: tuple[Mark, ...]
    skipped: tuple[Mark, ...]
    paces: tuple[Pace, ...]
    median_s: float


def lesson(lines: Sequence[Line], rows: Sequence[Proof], stays: Sequence[Visit]) -> Lesson:
    """What can be learnt from the session in ``lines``."""
    paces, median_s = _paces(stays)
    return Lesson(
        turns=tuple(_turns(lines)),
        refused=tuple(_refused(rows)),
        helped=tuple(_helped(lines)),
        questions=tuple(_questions(lines)),
        skipped=tuple(_skipped(lines)),
        paces=paces,
        median_s=median_s,
    )


def _mark(line: Line, text: str) -> Mark:
    return Mark(line.at, label(line.step), text)


#: The last value of a step as shown, and its verdict.
_Value = tuple[str, str]


def _turns(lines: Sequence[Line]) -> Iterator[Mark]:
    last: dict[str, _Value] = {}
    for line in lines:
        before = last.get(line.step, ("", ""))
        if told := _turn(line, before):
            yield _mark(line, told)
        last[line.step] = _value_after(line, before)


def _turn(line: Line, before: _Value) -> str:
    """What was taken back by this line; empty when nothing was."""
    was, verdict = before
    told = ""
    match line:
        case Heard() if line.command in _TURNS:
            told = f"said “{line.words}”"
        case Reading(corrects=True):
            told = f"put right: {was or 'an earlier value'} became {line.shown or line.text}"
        case Rejudged(verdict=now):
            changed = f"{now} as before" if now == verdict else f"{verdict} became {now}"
            told = f"judged again: {changed}"
        case Withdrawn():
            told = f"taken back: {was or 'the last result'}"
        case FindingWithdrawn():
            told = f"finding withdrawn: {line.name.replace('-', ' ')}"
        case _:
            pass
    return told


def _value_after(line: Line, before: _Value) -> _Value:
    """What the step's value and verdict are after this line; refused ones change neither."""
    match line:
        case Reading():
            return line.shown or line.text, ""
        case Rejudged():
            return before[0], line.verdict
        case Verdict() if not before[1]:
            return before[0], line.verdict
        case _:
            return before


def _refused(rows: Sequence[Proof]) -> Iterator[Mark]:
    """Values that were said but did not count: their verdict stands alone."""
    for row in rows:
        one = row.measured
        if one.verdict and one.remark == "did not count":
            told = f": {row.told}" if row.told else ""
            yield Mark(one.at, row.label, f"{one.shown or 'no value'}, {one.verdict}{told}")


def _helped(lines: Sequence[Line]) -> Iterator[Mark]:
    for line in of_kind(lines, Heard):
        if asked := HELP.get(line.command):
            yield _mark(line, f"asked {asked} (“{line.words}”)")


def _questions(lines: Sequence[Line]) -> Iterator[Mark]:
    """Words that were answered with a question instead of being taken."""
    for line, answers in _turns_of_talk(lines):
        asked = next((a.text for a in answers if isinstance(a, Ask | Say)), "")
        if asked and (_unsure(line) or _only_asked(line, answers)):
            words = line.words or "(no words)"
            yield _mark(line, f"heard “{words}” ({heard_note(line)}); said: {asked}")


def _turns_of_talk(lines: Sequence[Line]) -> Iterator[tuple[Heard, Sequence[Line]]]:
    """Each thing heard with the lines up to the next."""
    heard = [(i, line) for i, line in enumerate(lines) if isinstance(line, Heard)]
    ends = [*(i for i, _ in heard[1:]), len(lines)]
    for (here, line), there in zip(heard, ends, strict=False):
        yield line, lines[here + 1 : there]


def _unsure(line: Heard) -> bool:
    return ("meanings" in line and len(line.meanings) != 1) or line.doubtful


def _only_asked(line: Heard, answers: Sequence[Line]) -> bool:
    """A value was said, and nothing came of it yet but a question."""
    is_value = bool(line.meanings) and str(line.meanings[0].get("kind")) in _VALUES
    return is_value and bool(answers) and all(isinstance(a, Ask) for a in answers)


def _skipped(lines: Sequence[Line]) -> Iterator[Mark]:
    for line in of_kind(lines, Skipped):
        yield _mark(line, line.reason.replace("-", " ") or "no reason given")


def _paces(stays: Sequence[Visit]) -> tuple[tuple[Pace, ...], float]:
    """Time for each step beside the median of all; what is before the first is no step."""
    spent: dict[str, list[float]] = {}
    for stay in stays:
        if stay.step:
            spent.setdefault(stay.step, []).append(stay.seconds)
    totals = {step: sum(times) for step, times in spent.items()}
    middle = median(totals.values()) if totals else 0.0
    longest = max(totals.values(), default=0.0)
    paces = (
        Pace(
            label(step),
            total,
            len(spent[step]),
            total / longest if longest else 0.0,
            total / middle if middle else 0.0,
        )
        for step, total in totals.items()
    )
    return tuple(paces), middle
