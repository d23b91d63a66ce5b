"""What can come into a session."""

from dataclasses import dataclass
from enum import StrEnum

from voiceassist.language.meanings import (
    Answer,
    Command,
    CommandName,
    Correction,
    Identifier,
    Lamp,
    Meaning,
    Note,
    OverRange,
    Reading,
    Series,
    Spread,
)


@dataclass(frozen=True, slots=True)
class Carried:
    """A reading that was taken at the same test in an earlier part of the job, and passed.

    Parts:
        step: of this procedure.
        reading: as it was taken, with its unit.
        job: the procedure that it was taken with.
        session: the session that it was taken in.
    """

    step: str
    reading: Reading
    job: str
    session: str


@dataclass(frozen=True, slots=True)
class Begin:
    """The job is opened.

    Parts:
        facts: what is known of it: repair order, vehicle, odometer, complaint, technician.
        familiar: the same technician was told the notice that opens a job earlier this day.
        taught: the same technician was told before to say numbers that sound alike in digits.
        carried: what was read in an earlier part of the job and need not be read again.
    """

    facts: tuple[tuple[str, str], ...] = ()
    familiar: bool = False
    taught: bool = False
    carried: tuple[Carried, ...] = ()


@dataclass(frozen=True, slots=True)
class Heard:
    """The technician said something.

    Parts:
        words: as heard.
        meanings: what they can mean, the likeliest first; empty when they mean nothing here.
        certain: typed, or otherwise beyond mishearing.
        reason: why there is no meaning.
        doubtful: too unsure to be taken without asking, even where it would pass.
        guess: what it was likely meant for, though no grammar understands it; to be offered.
        guessed: its meaning is such a guess, likely and harmless enough to be acted on.
        noisy: the noise around it makes mishearing likelier.
        at_s: when, in seconds of the session.
        vetted: no number that sounds like the one in it can be meant and leads elsewhere.
        sure: whatever leads elsewhere is hardly possible: it stands, read back with its verdict,
            though it changes the path.
        let_pass: nothing in it was understood, and others are clearly spoken to: not answered.
        soon: said before what was asked for could have been done, or its value can have settled.
    """

    words: str
    meanings: tuple[Meaning, ...] = ()
    certain: bool = False
    reason: str = ""
    doubtful: bool = False
    guess: Meaning | None = None
    guessed: bool = False
    noisy: bool = False
    at_s: float = 0.0
    vetted: bool = False
    sure: bool = False
    let_pass: bool = False
    soon: bool = False


@dataclass(frozen=True, slots=True)
class TimeUp:
    """The time that a WAIT step asked for is over.

    Parts:
        at_s: when, in seconds of the session.
        unwaited: it did not pass: the next line was there already, from a file or a pipe.
    """

    at_s: float = 0.0
    unwaited: bool = False


@dataclass(frozen=True, slots=True)
class Returned:
    """The session goes on after it was cut off.

    Parts:
        away_s: how long it was away, in seconds.
        at_s: when, in seconds of the session.
    """

    away_s: float = 0.0
    at_s: float = 0.0


@dataclass(frozen=True, slots=True)
class NoReply:
    """Nobody answered for as long as the step gives; ``at_s`` in seconds of the session."""

    at_s: float = 0.0


@dataclass(frozen=True, slots=True)
class NoMore:
    """The input ended, so that nobody can say any more; ``at_s`` in seconds of the session."""

    at_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Interrupted:
    """The technician cut in, and the rest of what was being said was not heard.

    Parts:
        unheard: cautions that were cut off before their hazard was spoken.
        at_s: when, in seconds of the session.
    """

    unheard: tuple[str, ...] = ()
    at_s: float = 0.0


Event = Begin | Heard | TimeUp | Returned | NoReply | NoMore | Interrupted


class EventKind(StrEnum):
    """The kinds of event that the table of states tells apart, beside the commands."""

    BEGIN = "begin"
    TIME_UP = "time-up"
    RETURNED = "returned"
    NO_REPLY = "no-reply"
    NO_MORE = "no-more"
    INTERRUPTED = "interrupted"
    NOTHING = "nothing"
    LET_PASS = "let-pass"
    UNSURE = "unsure"
    LIKELY = "likely"
    SEVERAL = "several"
    READING = "reading"
    OVER_RANGE = "over-range"
    LAMP = "lamp"
    AFFIRM = "affirm"
    AFFIRM_READING = "affirm-reading"
    NEGATIVE = "negative"
    DONE = "done"
    CHOICE = "choice"
    CORRECTION = "correction"
    NOTE_TEXT = "note-text"
    IDENTIFIER = "identifier"
    SKIP_BECAUSE = "skip-because"
    READ_ONE = "read-one"
    HOW_OF = "how-of"
    CORRECT_NAMED = "correct-named"


#: What the table of states tells apart.
Cue = EventKind | CommandName

_BY_CLASS = (
    (Reading, EventKind.READING),
    (Spread, EventKind.READING),
    (Series, EventKind.READING),
    (OverRange, EventKind.OVER_RANGE),
    (Lamp, EventKind.LAMP),
    (Correction, EventKind.CORRECTION),
    (Note, EventKind.NOTE_TEXT),
    (Identifier, EventKind.IDENTIFIER),
)
_UNSPOKEN: dict[type, EventKind] = {
    Begin: EventKind.BEGIN,
    TimeUp: EventKind.TIME_UP,
    Returned: EventKind.RETURNED,
    NoReply: EventKind.NO_REPLY,
    NoMore: EventKind.NO_MORE,
    Interrupted: EventKind.INTERRUPTED,
}
#: Commands that do something else when it is told what they are about.
_ABOUT = {
    "skip": EventKind.SKIP_BECAUSE,
    "read-back": EventKind.READ_ONE,
    "how": EventKind.HOW_OF,
    "note": EventKind.NOTE_TEXT,
}
_OWN_ANSWERS = frozenset(
    {EventKind.AFFIRM, EventKind.AFFIRM_READING, EventKind.NEGATIVE, EventKind.DONE}
)


def kind_of(event: Event) -> Cue:
    """Which kind of event this is."""
    if not isinstance(event, Heard):
        return _UNSPOKEN[type(event)]
    if not event.meanings:
        unknown = EventKind.LET_PASS if event.let_pass else EventKind.NOTHING
        return unknown if event.guess is None else EventKind.LIKELY
    if len(event.meanings) > 1:
        return EventKind.SEVERAL
    return _kind_of_meaning(event.meanings[0])


def _kind_of_meaning(meaning: Meaning) -> Cue:
    if isinstance(meaning, Answer):
        return EventKind(meaning.name) if meaning.name in _OWN_ANSWERS else EventKind.CHOICE
    if isinstance(meaning, Command):
        return (
            _ABOUT.get(meaning.name, CommandName(meaning.name))
            if meaning.about
            else CommandName(meaning.name)
        )
    if isinstance(meaning, Correction) and meaning.of:
        return EventKind.CORRECT_NAMED
    return next(on for cls, on in _BY_CLASS if isinstance(meaning, cls))


def meaning_of(event: Event) -> Meaning:
    """The likeliest meaning of what was heard, out of its correction if it is one."""
    assert isinstance(event, Heard)
    first = event.meanings[0]
    return first.meaning if isinstance(first, Correction) else first


def about_of(event: Event) -> str:
    """What a command is about; empty for none."""
    meaning = meaning_of(event)
    return meaning.about if isinstance(meaning, Command) else ""


def is_doubtful(event: Event) -> bool:
    """True when it must not be taken without asking."""
    return isinstance(event, Heard) and event.doubtful


def is_certain(event: Event) -> bool:
    """True when its words are beyond mishearing."""
    return isinstance(event, Heard) and event.certain


def is_sure(event: Event) -> bool:
    """True when whatever would lead elsewhere is hardly possible."""
    return isinstance(event, Heard) and event.sure


def is_vetted(event: Event) -> bool:
    """True when no number that sounds like the one in it can be meant and leads elsewhere."""
    return isinstance(event, Heard) and event.vetted
