"""What hearing again came to, told: in lines, as JSON, and as a table."""

import csv
import io
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from voiceassist.app.again.phrases import Phrase, SessionAgain, TakenPhrase
from voiceassist.app.records.export import cell
from voiceassist.record.webvtt import one_line

COLUMNS = (
    *("session", "began", "procedure", "line", "step", "listener then", "listener now"),
    *("words then", "words now", "taken then", "taken now", "meaning then", "meaning now"),
    *("verdict then", "verdict now", "leads then", "leads now", "otherwise", "not heard because"),
)


def about(found: SessionAgain) -> dict[str, Any]:
    """A session as the JSON object of ``records hear-again``."""
    return {
        "session": found.session,
        "began": found.began,
        "procedure": found.procedure,
        "listener_then": found.listener_then,
        "version_then": found.version_then,
        "listener_now": found.listener_now,
        "why_not": found.why_not,
        "notes": list(found.notes),
        "typed": found.typed,
        "phrases": [_phrase(phrase) for phrase in found.phrases],
        "unheard": [{"line": u.seq, "step": u.step, "why": u.why} for u in found.unheard],
    }


def _phrase(phrase: Phrase) -> dict[str, Any]:
    return {
        "line": phrase.seq,
        "step": phrase.step,
        "sound_s": phrase.sound_s,
        "then": _taken(phrase.then) | {"judged": phrase.judged_then},
        "now": _taken(phrase.now),
        "otherwise": phrase.otherwise,
        "verdict_differs": phrase.verdict_differs,
        "leads_elsewhere": phrase.leads_elsewhere,
    }


def _taken(taken: TakenPhrase) -> dict[str, Any]:
    return {
        "words": taken.words,
        "taken": taken.how,
        "meaning": taken.meaning,
        "verdict": taken.verdict,
        "leads": taken.leads,
    }


def rows(found: SessionAgain) -> str:
    """A row for each phrase, heard again or not, as RFC 4180 has it; ``header`` goes first."""
    head = (found.session, found.began, found.procedure)
    who = (found.listener_then, found.listener_now)
    table = [
        (*head, p.seq, p.step, *who, *_pairs(p), "yes" if p.otherwise else "no", "")
        for p in found.phrases
    ]
    nothing = ("",) * 11
    table += [(*head, u.seq, u.step, *who, *nothing, u.why) for u in found.unheard]
    if found.why_not:
        table.append((*head, "", "", *who, *nothing, found.why_not))
    return _csv(table)


def header() -> str:
    """The first row."""
    return _csv([COLUMNS])


def _pairs(phrase: Phrase) -> Iterator[str]:
    for name in ("words", "how", "meaning", "verdict", "leads"):
        yield getattr(phrase.then, name)
        yield getattr(phrase.now, name)


def _csv(table: Sequence[Sequence[object]]) -> str:
    content = io.StringIO(newline="")
    csv.writer(content, dialect="excel").writerows(
        [cell(one_line(str(one))) for one in row] for row in table
    )
    return content.getvalue()


# --- for people ---


def lines(found: SessionAgain) -> Iterator[str]:
    """A session: who heard it, what would be taken otherwise, and what could not be heard."""
    if found.why_not:
        yield f"{found.session}: not heard again: {found.why_not}"
    else:
        then = found.listener_then or "nobody"
        told = f"heard by {then} then and by {found.listener_now} now"
        yield f"{found.session}: {told}; {_sum(found.phrases)}"
    for phrase in found.phrases:
        if phrase.otherwise or phrase.verdict_differs:
            yield from _otherwise(phrase)
    for why, count in Counter(one.why for one in found.unheard).items():
        yield f"  not heard again, {_counted(count, 'phrase')}: {why}"
    if found.typed and not found.why_not:
        yield f"  {_counted(found.typed, 'line')} typed, and had no sound"
    yield from (f"  note: {note}" for note in found.notes)


def _otherwise(phrase: Phrase) -> Iterator[str]:
    place = f", {phrase.step}" if phrase.step else ""
    yield f"  line {phrase.seq}{place}: {_shown(phrase.then)} then, {_shown(phrase.now)} now"
    if phrase.verdict_differs:
        then, now = phrase.then.verdict or "none", phrase.now.verdict or "none"
        yield f"    verdict: {then} then, {now} now"
    if phrase.leads_elsewhere:
        yield f"    leads to: {phrase.then.leads} then, {phrase.now.leads} now"


def _shown(taken: TakenPhrase) -> str:
    words = f"{taken.words!r} " if taken.words else ""
    return f"{words}{taken.how}" + (f" ({taken.meaning})" if taken.meaning else "")


def _sum(phrases: Sequence[Phrase]) -> str:
    otherwise = sum(phrase.otherwise for phrase in phrases)
    verdicts = sum(phrase.verdict_differs for phrase in phrases)
    told = f"{_counted(len(phrases), 'phrase')} heard again, {otherwise} taken otherwise"
    return f"{told}, {_counted(verdicts, 'verdict')} would be another"


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


@dataclass
class Sums:
    """What all sessions come to together."""

    sessions: int = 0
    phrases: int = 0
    otherwise: int = 0
    verdicts: int = 0
    sound_s: float = 0.0
    hearing_s: float = 0.0
    why_not: Counter[str] = field(default_factory=Counter)

    def add(self, found: SessionAgain) -> None:
        """One session more."""
        self.sessions += 1
        self.phrases += len(found.phrases)
        self.otherwise += sum(phrase.otherwise for phrase in found.phrases)
        self.verdicts += sum(phrase.verdict_differs for phrase in found.phrases)
        self.sound_s += sum(phrase.sound_s for phrase in found.phrases)
        self.hearing_s += sum(phrase.hearing_s for phrase in found.phrases)
        self.why_not += Counter(one.why for one in found.unheard)

    def lines(self) -> Iterator[str]:
        """For people."""
        heard = f"{_counted(self.phrases, 'phrase')} ({self.sound_s:.0f} s of sound) heard again"
        yield f"{_counted(self.sessions, 'session')}, {heard}."
        if self.phrases:
            verdicts = f"{_counted(self.verdicts, 'verdict')} would be another"
            speed = self.phrases / max(self.hearing_s, 1e-9)
            yield f"{self.otherwise} taken otherwise, {verdicts}; {speed:.1f} phrases a second."
        left = sum(self.why_not.values())
        if left:
            yield f"{_counted(left, 'phrase')} could not be heard again."
