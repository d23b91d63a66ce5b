"""What a session gives out. Everything with ``text`` is spoken, in order."""

from dataclasses import dataclass, fields
from decimal import Decimal
from typing import ClassVar

from voiceassist.language.expectation import Expectation


@dataclass(frozen=True, slots=True, kw_only=True)
class Output:
    """Something given out.

    Parts:
        step: the step it belongs to; empty when to none.
        text: for eye and ear, numbers as figures; empty when nothing is spoken.
    """

    event: ClassVar[str] = ""
    step: str = ""
    text: str = ""

    def to_json(self) -> dict[str, object]:
        """Its parts, ready for a JSON line; decimals become strings."""
        parts = {f.name: getattr(self, f.name) for f in fields(self)}
        return {"event": self.event} | {name: _plain(part) for name, part in parts.items()}


def _plain(part: object) -> object:
    if isinstance(part, Decimal):
        return f"{part:f}"
    return list(part) if isinstance(part, tuple) else part


@dataclass(frozen=True, slots=True, kw_only=True)
class Say(Output):
    """Words for the technician."""

    event: ClassVar[str] = "say"


@dataclass(frozen=True, slots=True, kw_only=True)
class Resumed(Output):
    """The session goes on after it was cut."""

    event: ClassVar[str] = "resumed"


@dataclass(frozen=True, slots=True, kw_only=True)
class CautionSpoken(Output):
    """A caution, before the action it guards; ``hazard`` is that part of its text."""

    event: ClassVar[str] = "caution"
    name: str
    signal: str
    hazard: str = ""
    acknowledge: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CautionAcknowledged(Output):
    """The technician has heard a caution and said so."""

    event: ClassVar[str] = "acknowledged"
    names: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask(Output):
    """A question, or the wait for a step's answer.

    Parts:
        picture: a file beside the procedure.
        limit: what the answer should be, in words and figures; empty for questions beside the
            step, and where there is none.
    """

    event: ClassVar[str] = "ask"
    picture: str = ""
    limit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingTaken(Output):
    """A reading, lamp state or answer that counts.

    Parts:
        value, unit: for numbers only.
        name: of a lamp state or answer.
        shown: for the eye, "12.60 V" or "yes".
        corrects: it takes the place of an earlier one.
        origin: the session of the same job that it was taken in; empty for this one.
    """

    event: ClassVar[str] = "reading"
    value: Decimal | None = None
    unit: str = ""
    name: str = ""
    shown: str = ""
    corrects: bool = False
    origin: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class VerdictGiven(Output):
    """The verdict on a reading.

    Parts:
        low, high: ends of the limit, as figures; empty for an open one.
        guard_low, guard_high: readings between them pass; between guard and end it is too close
            to call with this meter.
    """

    event: ClassVar[str] = "verdict"
    reading: str
    limit: str
    verdict: str
    low: str = ""
    high: str = ""
    guard_low: str = ""
    guard_high: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rejudged(Output):
    """An earlier reading judged again, since a value that its limit is taken from was corrected."""

    event: ClassVar[str] = "rejudged"
    reading: str
    limit: str
    verdict: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ConditionChange(Output):
    """A change to make (``met`` False, spoken) or made (``met`` True, silent)."""

    event: ClassVar[str] = "condition"
    name: str
    state: str
    met: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class StepDone(Output):
    """The technician has done the ``task`` of the step; silent, for the record."""

    event: ClassVar[str] = "done"
    task: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Withdrawn(Output):
    """The last result of ``step`` no longer counts; silent, for the record."""

    event: ClassVar[str] = "withdrawn"


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingWithdrawn(Output):
    """The finding reached last does not hold any more; silent, for the record."""

    event: ClassVar[str] = "finding-withdrawn"
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StepSkipped(Output):
    """A step was left out, and why."""

    event: ClassVar[str] = "skipped"
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteTaken(Output):
    """A note. ``words`` are those caught, unverified when they were spoken.

    ``of_work`` when they tell what was done in the repair.
    """

    event: ClassVar[str] = "note"
    words: str
    verified: bool
    of_work: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class FactTaken(Output):
    """A fact of the job, read back. ``warning`` says what is doubtful about it."""

    event: ClassVar[str] = "fact"
    name: str
    value: str
    warning: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingReached(Output):
    """The cause, and the readings that prove it; ``no_fault`` when nothing is wrong."""

    event: ClassVar[str] = "finding"
    name: str
    cause: str
    because: tuple[str, ...]
    correction: str
    no_fault: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Summary(Output):
    """Complaint, cause and correction in whole sentences, with the readings; for the record."""

    event: ClassVar[str] = "summary"
    complaint: str
    cause: str
    correction: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice(Output):
    """What the adviser was asked, and its answer.

    Parts:
        asked: "sure", "most" or "against".
        about: the finding that it is about; empty for none.
        causes, shares: the likeliest findings, and how likely each is, from 0 to 1.
        best: the step that would tell most; empty when it was not asked or there is none.
    """

    event: ClassVar[str] = "advice"
    asked: str
    about: str = ""
    causes: tuple[str, ...] = ()
    shares: tuple[str, ...] = ()
    best: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class VoiceAdjusted(Output):
    """The voice is to be "slower", "faster", "louder" or "softer" from now on."""

    event: ClassVar[str] = "voice"
    change: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DetailChanged(Output):
    """It is spoken "brief", "normal" or "teaching" from now on."""

    event: ClassVar[str] = "detail"
    detail: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DangerTold(Output):
    """The technician told of smoke, fire or a shock; the text is what to do at once."""

    event: ClassVar[str] = "danger"


@dataclass(frozen=True, slots=True, kw_only=True)
class Parked(Output):
    """The job is left until it is gone on with: ``reason`` by name, and ``why`` in words."""

    event: ClassVar[str] = "parked"
    reason: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Ended(Output):
    """The session is over; ``outcome`` is one of those in ``outcomes.py``."""

    event: ClassVar[str] = "end"
    outcome: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Listen(Output):
    """Always last while the session is open: what can be said next.

    Parts:
        expectation: for listener and parser.
        wait_s: a timer runs for this step, in seconds; 0 when none does.
        prompt_s: seconds without an answer after which a ``NoReply`` is wanted; 0 for never.
    """

    event: ClassVar[str] = "listen"
    expectation: Expectation
    wait_s: int = 0
    prompt_s: int = 0


def kept_kinds() -> frozenset[str]:
    """The kinds of line that the journal keeps outputs as: every type but ``Listen``."""
    return frozenset(kind.event for kind in Output.__subclasses__()) - {Listen.event}
