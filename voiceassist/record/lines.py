"""The lines of a journal, each kind with its fields: the one place that names them.

A line is read once into its type and never changes. It is a mapping too, of everything that
stands in it, so that nothing is lost on the way: kinds of line and fields that a newer version
has written are kept, can be named (``unknown``) and are passed on. Pure: no file is read here.
A kind that is called as something of another room has "Line" behind its name.

Long, and one file on purpose: a list is looked through in one place, and nothing in it is hard.
"""

from collections.abc import ItemsView, Iterable, Iterator, KeysView, Mapping, ValuesView
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar, Self, TypeVar

from voiceassist.record.fields import (
    Field,
    anything,
    flag,
    number,
    part,
    parts,
    text,
    texts,
    verbatim,
    whole,
)

_L = TypeVar("_L", bound="Line")
_KINDS: dict[str, type["Line"]] = {}
#: How the shipped procedures of earlier versions called findings at which nothing is wrong.
_NO_FAULT = frozenset({"no-fault", "good"})


if TYPE_CHECKING:
    _Base = Mapping[str, object]
else:
    _Base = object  # to ask an abstract class for the type of every line takes too long


class Line(_Base):
    """A line of any kind, with the fields that all kinds may have.

    Parts:
        seq, at, prev, hash: its number, its time (RFC 3339), and the chain's hashes.
        step: the step it belongs to; empty when to none.
        text: for eye and ear; empty when nothing is spoken.
        at_s, start_s, end_s: seconds of the session.
        sound, sound_sha256, sound_start_s: the file that holds how it sounded.
    """

    kind: ClassVar[str] = ""
    seq, at, prev, hash = whole(), text(), text(), text()
    at_s, start_s, end_s = number(), number(), number()
    sound, sound_sha256, sound_start_s = verbatim(), verbatim(), number()
    step, text = text(), text()

    def __init__(self, fields: Mapping[str, object]) -> None:
        self._all = fields

    def __init_subclass__(cls, kind: str = "") -> None:
        cls.kind = kind
        _KINDS[kind] = cls

    @classmethod
    def made(cls, **fields: object) -> Self:
        """A line of this kind to be written.

        Raises:
            TypeError: there is no field of that name in this kind, or it is of another type.
        """
        known = cls.fields()
        for name, value in fields.items():
            if name not in known or not (value is None or known[name].fits(value)):
                raise TypeError(f"{cls.__name__} has no field {name!r} that can be {value!r}")
        return cls({"event": cls.kind, **fields})

    def also(self, fields: Mapping[str, object]) -> Self:
        """The same line with ``fields`` in it."""
        return type(self)({**self._all, **fields})

    @classmethod
    def fields(cls) -> Mapping[str, "Field[object]"]:
        """Its fields by name."""
        return _fields_of(cls)

    @property
    def event(self) -> str:
        """The name of its kind, which this version may not know."""
        return str(self._all.get("event") or "")

    @property
    def unknown(self) -> tuple[str, ...]:
        """Names of fields that this version does not know in this kind of line."""
        known = _names_of(type(self))
        return () if known.issuperset(self._all) else tuple(self._all.keys() - known)

    def get(self, name: str, otherwise: object = None) -> object:
        """What stands under ``name``."""
        return self._all.get(name, otherwise)

    def keys(self) -> KeysView[str]:
        """The names of all that stands in it."""
        return self._all.keys()

    def values(self) -> ValuesView[object]:
        """All that stands in it."""
        return self._all.values()

    def items(self) -> ItemsView[str, object]:
        """Both."""
        return self._all.items()

    def __getitem__(self, name: str) -> object:
        return self._all[name]

    def __contains__(self, name: object) -> bool:
        return name in self._all

    def __iter__(self) -> Iterator[str]:
        return iter(self._all)

    def __len__(self) -> int:
        return len(self._all)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Mapping) and dict(self._all) == dict(other)

    def __hash__(self) -> int:
        return hash(self.kind)

    def __repr__(self) -> str:
        return f"{type(self).__name__}({dict(self._all)!r})"


Mapping.register(Line)


@cache
def _fields_of(kind: type[Line]) -> Mapping[str, "Field[object]"]:
    named = {name: value for each in kind.__mro__[::-1] for name, value in vars(each).items()}
    return {value.name: value for value in named.values() if isinstance(value, Field)}


@cache
def _names_of(kind: type[Line]) -> frozenset[str]:
    return frozenset(kind.fields()) | {"event"}


# --- the job ---


class SessionLine(Line, kind="session"):
    """The first one: what the session went by, and what was known of the job."""

    procedure, title, source, version = text(), text(), text(), text()
    procedure_sha256, files_sha256 = text(), part()
    facts, session, sequence = part(), verbatim(), whole()
    meter, risk_percent = text(), text()
    language, detail, listener, model = text(), text(), text(), text()
    voice, rate_wpm, volume, keep_sound = text(), anything(), anything(), text()
    familiar, taught, demo = flag(), flag(), flag()
    rehearsal = part()
    part = part()
    carried = parts()


class FactLine(Line, kind="fact"):
    """A fact of the job, as it was said."""

    name, value, warning = text(), text(), text()


class FindingLine(Line, kind="finding"):
    """The cause, and the readings that prove it; ``no_fault`` tells that nothing is wrong."""

    name, cause, because, correction, no_fault = text(), text(), texts(), text(), anything()

    @property
    def blames_nothing(self) -> bool:
        """Nothing is wrong; earlier versions told that by the finding's name alone."""
        no_fault_said = self.no_fault
        return no_fault_said if isinstance(no_fault_said, bool) else self.name in _NO_FAULT


class FindingWithdrawnLine(Line, kind="finding-withdrawn"):
    """The finding reached last does not hold any more."""

    name = text()


class AccountLine(Line, kind="summary"):
    """Complaint, cause and correction in whole sentences."""

    complaint, cause, correction = text(), text(), text()


class End(Line, kind="end"):
    """The session is over."""

    outcome, record = text(), text()


# --- what was said ---


class Heard(Line, kind="heard"):
    """Words of the technician, what they were taken for, and how surely."""

    words, as_said = text(), verbatim("words")
    meanings, reason, as_reasoned = parts(), text(), verbatim("reason")
    certain, doubtful, guessed, let_pass, soon = flag(), flag(), flag(), flag(), flag()
    noisy, vetted, sure, early = flag(), flag(), flag(), flag()
    guess, decision, probability, candidates = part(), text(), number(), parts()
    listener, snr_db, taken_s, hearing_s = text(), number(), number(), number()

    @property
    def command(self) -> str:
        """The command they were taken for, without a doubt; empty for anything else."""
        meanings = self.get("meanings")
        if not isinstance(meanings, list | tuple) or len(meanings) != 1 or self.doubtful:
            return ""
        only = meanings[0]
        is_command = isinstance(only, Mapping) and only.get("kind") == "command"
        return str(only.get("name") or "") if is_command else ""


class SentenceLine(Line, kind="say"):
    """Words for the technician."""


class AskLine(Line, kind="ask"):
    """A question, or the wait for a step's answer."""

    picture, limit = text(), text()


class CautionLine(Line, kind="caution"):
    """A caution, before the action it guards."""

    name, signal, hazard, acknowledge = text(), text(), text(), flag()


class Acknowledged(Line, kind="acknowledged"):
    """The technician has heard cautions and said so."""

    names = texts()


class Condition(Line, kind="condition"):
    """A change of the vehicle to make, or made (``met``)."""

    name, state, met = text(), text(), flag()


class ParkedLine(Line, kind="parked"):
    """The job is left until it is gone on with."""

    reason, why = text(), text()


class DangerLine(Line, kind="danger"):
    """The technician told of smoke, fire or a shock."""


class AdviceGiven(Line, kind="advice"):
    """What the adviser was asked, and its answer."""

    asked, about, causes, shares, best = text(), text(), texts(), texts(), text()


class VoiceLine(Line, kind="voice"):
    """The voice is slower, faster, louder or softer from now on."""

    change = text()


class DetailLine(Line, kind="detail"):
    """So much is spoken from now on."""

    detail = text()


# --- what was measured and done ---


class ReadingLine(Line, kind="reading"):
    """A reading, lamp state or answer that counts."""

    value, unit, name, shown, corrects = anything(), text(), text(), text(), flag()
    origin = text()

    @property
    def figures(self) -> str:
        """As it was shown, else as figures with unit, else the state or answer."""
        if self.shown:
            return self.shown
        if self.value is not None:
            return f"{self.value} {self.unit}".strip()
        return (self.name or self.text).rstrip(".")


class VerdictLine(Line, kind="verdict"):
    """The verdict on a reading; one without its reading refuses it."""

    reading, limit, verdict = text(), text(), text()
    low, high, guard_low, guard_high = text(), text(), text(), text()


class RejudgedLine(Line, kind="rejudged"):
    """An earlier reading judged again, since a value was corrected."""

    reading, limit, verdict = text(), text(), text()


class WithdrawnLine(Line, kind="withdrawn"):
    """The last result of the step no longer counts."""


class Skipped(Line, kind="skipped"):
    """A step was left out, and why."""

    reason = text()


class Done(Line, kind="done"):
    """The technician has done the task of the step."""

    task = text()


class NoteLine(Line, kind="note"):
    """A note; its words are a guess unless they are ``verified``; ``of_work`` of the repair."""

    words, verified, of_work = text(), flag(), flag()


class InstructorNote(Line, kind="instructor-note"):
    """A note of the instructor's, spoken at a pause; ``note`` is its id."""

    note, by, words = text(), text(), text()


class Picture(Line, kind="picture"):
    """A picture that was attached, in the job or afterwards (``by`` somebody)."""

    file, sha256, caption, taken_from, by = verbatim(), verbatim(), text(), text(), text()


class PictureRefused(Line, kind="picture-refused"):
    """A picture that could not be kept."""

    asked = text()


class Addendum(Line, kind="addendum"):
    """Words that were added after the job was closed."""

    words, by = text(), text()

    @property
    def author(self) -> str:
        """Who added them, by the account that the program ran in."""
        return self.by or "unknown"


# --- what was practised ---


class RehearsedLine(Line, kind="rehearsed"):
    """What was wished of a simulated vehicle, and what came of it."""

    wish, named, minutes, slips = text(), text(), number(), texts()


class MarkGiven(Line, kind="mark"):
    """What a rehearsal came to."""

    fault, named, found, points = text(), text(), flag(), whole()
    minutes, quickest, condemned, slips, tests = number(), part(), texts(), texts(), parts()
    off, misread = part(), texts()


# --- what befell the session and its record ---


class ResumedLine(Line, kind="resumed"):
    """The session goes on after it was cut."""


class ReturnedLine(Line, kind="returned"):
    """The session was cut off for so long."""

    away_s, detail = number(), text()


class InterruptedLine(Line, kind="interrupted"):
    """What was being said was cut, with cautions that were not heard."""

    unheard, sentence, fraction, went_on = texts(), text(), number(), flag()


class TimeUpLine(Line, kind="time-up"):
    """The time of a waiting step is over, or was not waited for."""

    unwaited = flag()


class NoReplyLine(Line, kind="no-reply"):
    """No answer came."""


class NoMoreLine(Line, kind="no-more"):
    """The input ended."""


class Repaired(Line, kind="repaired"):
    """The record broke off; what was not whole is kept beside it."""

    bytes, kept_in = whole(), text()


class Record(Line, kind="record"):
    """The disk refuses lines, or takes them again."""

    state, found = text(), text()


class SoundKept(Line, kind="sound-kept"):
    """Sound is kept from now on."""

    keep_sound = text()


class SoundLost(Line, kind="sound-lost"):
    """Sound that could not be written, or that a kill had kept from the disk."""

    names = texts()


class Device(Line, kind="device"):
    """A microphone or loudspeaker went away, or is back."""

    state = text()


class Noise(Line, kind="noise"):
    """It is too noisy to hear, or to cut in."""


class Overflow(Line, kind="overflow"):
    """Some sound was lost before it was heard."""


class Other(Line):
    """A line of a kind that this version does not know."""


#: Kind of line, as ``event`` names it, to its type.
KINDS: Mapping[str, type[Line]] = MappingProxyType(
    {name: kind for name, kind in _KINDS.items() if name}
)


def line_of(fields: Mapping[str, object]) -> Line:
    """The line that has these fields; a line is given back as it is."""
    if isinstance(fields, Line):
        return fields
    return KINDS.get(str(fields.get("event")), Other)(fields)


def typed(lines: Iterable[Mapping[str, object]]) -> tuple[Line, ...]:
    """Every line in its type."""
    return tuple(line_of(fields) for fields in lines)


def of_kind(lines: Iterable[Line], kind: type[_L]) -> Iterator[_L]:
    """Those of one kind, in order."""
    return (line for line in lines if isinstance(line, kind))


def place_of(lines: Iterable[Line], line: Line) -> int:
    """Where this very line stands among ``lines``, from 0 on; -1 when it does not."""
    return next((i for i, each in enumerate(lines) if each is line), -1)
