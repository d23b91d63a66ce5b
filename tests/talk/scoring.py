"""What became of a phrase, beside what a good human helper would take it for."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from pathlib import Path

from talk.situations import Talker, standing_at
from voiceassist.language.meanings import (
    CommandName,
    Correction,
    Lamp,
    Meaning,
    OverRange,
    Reading,
    Spread,
)
from voiceassist.measure.units import Unit, base_unit, unit
from voiceassist.session.actions.enter import not_expected
from voiceassist.session.actions.meant import MOST_OFFERS
from voiceassist.session.events import EventKind, Heard, about_of, kind_of
from voiceassist.session.naming import ASKED, NEEDED, STUCK
from voiceassist.session.outputs import NoteTaken, ReadingTaken
from voiceassist.session.session import Session, Turn
from voiceassist.session.states import State
from voiceassist.session.table import entry

OTHER = "other"


class Score(StrEnum):
    """What became of it."""

    UNDERSTOOD = "understood"
    ASKED = "asked"
    MISSED = "not understood"
    BESIDE = "beside the point"
    WRONG = "wrongly acted on"


@dataclass(frozen=True, slots=True)
class Phrase:
    """A labelled phrase: where it is said, and what it may be taken for."""

    situation: str
    wants: tuple[str, ...]
    words: str


def read(folder: Path, files: str = "*.tsv") -> list[Phrase]:
    """All phrases of a folder, or of some files in it."""
    lines = [
        line.split("\t")
        for path in sorted(folder.glob(files))
        for line in path.read_text(encoding="utf-8").splitlines()
        if line
    ]
    return [Phrase(where, tuple(want.split("|")), words.strip()) for where, want, words in lines]


#: Kinds of event by the name of what they were taken for; the others are called so themselves.
_CALLED = {
    EventKind.READ_ONE: "read-back",
    CommandName.READ_LAST: "read-back",
    EventKind.HOW_OF: "how",
    EventKind.SKIP_BECAUSE: "skip",
    CommandName.MISTAKE: "revise",
    EventKind.CORRECT_NAMED: "revise",
    EventKind.NOTE_TEXT: "note",
    CommandName.DIFFERS: "note",
    CommandName.NOT_SURE: "unsure",
    EventKind.AFFIRM_READING: "affirm",
    CommandName.WHERE: "how-far",
}
#: What is as good as what is wanted: it comes to the same for who said it.
_AS_GOOD = {
    "done": {"affirm", "go-ahead", "skip"},
    "affirm": {"done", "go-ahead"},
    "go-ahead": {"affirm", "done", "next", "repeat"},
    "next": {"repeat", "how-far", "done"},
    "repeat": {"next"},
    "zero": {"reading:0", "correction:0"},
    "disregard": {"revise", "negative", "go-back"},
    "revise": {"correction", "disregard", "go-back", "negative"},
    "negative": {"stand-by"},
    "read-back": {"repeat-last"},
    "same": {"affirm"},
    "why": {NEEDED},  # why a state is asked for, and what would be read without
    "explain": {NEEDED},
}
#: Where some of these do the same thing.
_ONLY_AT = {
    ("done", "affirm"): {"change", "repair"},
    ("done", "skip"): {"wait"},
    ("same", "affirm"): {"confirm"},
    ("done", "go-ahead"): {"change", "repair"},
    ("affirm", "done"): {"caution", "change", "repair", "after"},  # "all as found?" and "say done"
    ("affirm", "go-ahead"): {"offer", "change", "repair"},
    ("next", "done"): {"repair", "change"},
    ("negative", "stand-by"): {"change", "repair", "caution"},
    ("disregard", "negative"): {"confirm"},
    ("zero", "correction"): {"confirm"},
    ("revise", "negative"): {"confirm"},
    ("disregard", "go-back"): {"after"},
    ("revise", "go-back"): {"after", "fuse-pull"},
}


def did(one: Talker, before: Turn, event: Heard, after: Turn) -> str:
    """What ``event`` was taken for; empty when for nothing, "?" when it is asked about."""
    session = before.session
    on = kind_of(event)
    asks = after.session.state in {State.WHICH, State.MEANT} and session.state is not State.WHICH
    if asks or (on is EventKind.LIKELY and session.offers < MOST_OFFERS):
        return "?"  # at a caution it is told by which word to say it
    if (
        on in {EventKind.NOTHING, EventKind.LET_PASS, EventKind.UNSURE}
        or entry(session.state, on).action is not_expected
    ):
        return ""
    if on is EventKind.SEVERAL:
        taken = _taken(after) or _counted(after)
        return _value(one, session, taken) if taken is not None else ""
    said = event.meanings[0]
    if on is EventKind.CORRECTION and isinstance(said, Correction):
        return _value(one, session, said.meaning).replace("reading", "correction")
    if on in {EventKind.READING, EventKind.OVER_RANGE, EventKind.LAMP}:
        wanders = isinstance(said, Spread)
        return _value(one, session, said if wanders else _counted(after) or said)
    about = {NEEDED: NEEDED, f"{ASKED}{STUCK}": "negative"}  # no, and how it is done
    return about.get(about_of(event)) or _CALLED.get(on, on.value)


def _taken(turn: Turn) -> Meaning | None:
    return turn.session.pending[0] if turn.session.pending else None


def _counted(turn: Turn) -> Reading | None:
    """The reading that was taken or is asked about, in the unit it was taken in."""
    asked = turn.session.pending[0] if turn.session.state is State.CONFIRM else None
    if isinstance(asked, Reading) and asked.unit is not None:
        return asked
    taken = (o for o in turn.outputs if isinstance(o, ReadingTaken) and o.value is not None)
    return next((Reading(o.value, unit(o.unit)) for o in taken if o.value is not None), None)


def _value(one: Talker, session: Session, meaning: Meaning) -> str:
    own = one.engine.setup.step(session).unit
    match meaning:
        case Reading():
            return f"reading:{_base(meaning.value, meaning.unit or own)}"
        case Spread():
            return "unstable"
        case OverRange():
            return "over-range"
        case Lamp(name):
            return f"lamp:{name}"
    return ""


def _base(value: Decimal, of: Unit | None) -> str:
    plain = (value.scaleb(of.exponent) if of else value).normalize()
    return f"{plain:f}" if plain else "0"


def wanted(one: Talker, session: Session, want: str) -> str:
    """A want as ``did`` writes it; figures without a unit are in volts, amps or ohms."""
    name, _, figures = want.partition(":")
    if name not in {"reading", "correction", "revise"} or not figures:
        return "correction" if want == "correction" else want
    number, _, symbol = figures.strip().partition(" ")
    symbol = {"ohm": "Ω", "ohms": "Ω"}.get(symbol, symbol)
    of_step = one.engine.setup.step(session).unit
    own = unit(symbol) if symbol else of_step and base_unit(of_step.quantity)
    return f"{name}:{_base(Decimal(number), own)}"


def fits(got: str, want: str, situation: str) -> bool:
    """Whether what was done is what is wanted, or as good."""
    name, _, value = want.partition(":")
    mine, _, figures = got.partition(":")
    if got == want or (value and value == figures and {name, mine} <= _VALUES):
        return True
    if name == "revise" and mine == "revise":
        return True
    good = _AS_GOOD.get(name, set())
    if got not in good and mine not in good:
        return False
    where = _ONLY_AT.get((name, mine))
    return where is None or situation in where


_VALUES = {"reading", "correction", "revise"}


def moved(before: Session, after: Turn) -> bool:
    """Whether the job or its record is another than before."""
    now = after.session.at_step
    was = before.at_step
    kept = any(isinstance(o, NoteTaken | ReadingTaken) for o in after.outputs)
    asked = after.session.state in {State.CONFIRM, State.FORGOTTEN}
    asking = asked and after.session.state is not before.state and was.state is State.MEASURE
    same = (now.step, now.ledger, now.conditions, now.stage) == (
        was.step,
        was.ledger,
        was.conditions,
        was.stage,
    )
    return kept or asking or not same or after.session.state is State.CLOSED


@dataclass(frozen=True, slots=True)
class Scored:
    """A phrase, what it was taken for, how good that is, and whether it is not even answered."""

    phrase: Phrase
    took: str
    score: Score
    let_pass: bool = False


#: What the session gets of words that are said to it.
Hear = Callable[[Talker, Turn, str], Heard]


def typed(one: Talker, turn: Turn, words: str) -> Heard:
    """Words as a typed line gives them."""
    return one.event(turn, words)


def score(phrase: Phrase, hear: Hear = typed) -> Scored:
    """Say the phrase where it is said."""
    one, before = standing_at(phrase.situation)
    event = hear(one, before, phrase.words)
    after = one.engine.handle(before.session, event)
    got = did(one, before, event, after)
    passed = kind_of(event) is EventKind.LET_PASS
    return Scored(phrase, got, _scored(one, phrase, before.session, after, got), passed)


def _scored(one: Talker, phrase: Phrase, session: Session, after: Turn, got: str) -> Score:
    if got == "?":
        return Score.ASKED
    wants = [wanted(one, session, want) for want in phrase.wants]
    if not got:
        return Score.UNDERSTOOD if OTHER in wants else Score.MISSED
    if "affirm" in wants and _is_told_again(session, got):
        return Score.UNDERSTOOD
    if any(fits(got, want, phrase.situation) for want in wants):
        return Score.UNDERSTOOD
    return Score.WRONG if moved(session, after) else Score.BESIDE


def _is_told_again(session: Session, got: str) -> bool:
    """Whether a doubtful value was told once more: it is asked for so, and affirms it."""
    doubted = session.pending[0] if session.state is State.CONFIRM and session.pending else None
    if not isinstance(doubted, Reading):
        return False
    return got in {f"{name}:{_base(doubted.value, doubted.unit)}" for name in _VALUES}


def let_pass(scored: Sequence[Scored]) -> str:
    """How many phrases for others, and how many for the assistant, are not answered."""
    others = [one.let_pass for one in scored if OTHER in one.phrase.wants]
    own = [one.let_pass for one in scored if OTHER not in one.phrase.wants]
    return (
        f"Not answered: {sum(others)} of {len(others)} for others, "
        f"{sum(own)} of {len(own)} for the assistant"
    )


def table(scored: Iterable[Scored], by: str) -> Iterator[str]:
    """Lines of a Markdown table by "situation" or "want"."""
    found: dict[str, Counter[Score]] = {}
    for one in scored:
        name = one.phrase.situation if by == "situation" else one.phrase.wants[0].partition(":")[0]
        found.setdefault(name, Counter())[one.score] += 1
    yield f"| {by} | phrases | {' | '.join(Score)} |"
    yield "|---|---|" + "---|" * len(Score)
    for name in sorted(found):
        yield _row(name, found[name])
    yield _row("all", sum(found.values(), Counter()))


def _row(name: str, counted: Counter[Score]) -> str:
    total = sum(counted.values())
    shares = " | ".join(f"{counted[one]} ({counted[one] / total:.0%})" for one in Score)
    return f"| {name} | {total} | {shares} |"
