"""The state of one session, as a value."""

from dataclasses import dataclass, field, replace
from enum import StrEnum

from voiceassist.language.meanings import Meaning
from voiceassist.language.phrasebook import Phrasebook
from voiceassist.measure.accuracy import Accuracy
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.model import Procedure, Step
from voiceassist.session.outputs import Output
from voiceassist.session.states import State


class Stage(StrEnum):
    """What the steps are for now."""

    DIAGNOSE = "diagnose"
    BEFORE_FITTING = "before fitting"
    REPAIR = "repair"
    PROVE = "prove"


class Detail(StrEnum):
    """How much is spoken."""

    BRIEF = "brief"
    NORMAL = "normal"
    TEACHING = "teaching"


@dataclass(frozen=True, slots=True)
class Result:
    """What one step gave.

    Parts:
        step, stage: where it was taken.
        meaning: what was said; None for a skipped step.
        quantity: for a reading, with its unit; else None.
        outcome: the route it takes: a verdict, a lamp state, an answer, "done" or "skipped".
        passed: whether the step counts as passed.
        shown: for eye and ear: "12.6 V", "bright".
        limit: the limit in words; empty when there was none.
        superseded: corrected or gone back over since.
    """

    step: str
    stage: Stage
    meaning: Meaning | None
    outcome: str
    passed: bool
    shown: str
    quantity: Quantity | None = None
    limit: str = ""
    superseded: bool = False


@dataclass(frozen=True, slots=True)
class Session:
    """Where a session stands. Nothing in it is ever changed; actions return another.

    Parts:
        state: row of the table.
        step: current step; empty before the first.
        stage, queue: what the steps are for, and those still to come in this stage.
        finding: reached finding; empty before.
        conditions: states of the vehicle known to hold.
        acknowledged: cautions acknowledged in this stage.
        ledger: every result, in order, superseded ones too.
        pending: meanings waiting to be confirmed or chosen from.
        correcting: the waiting meaning is to replace an earlier result.
        resume: as it was before CONFIRM, WHICH, SKIP, NOTE, FINISH or STAND_BY; else None.
        abandon: as it was before a correction that waits to be confirmed; else None.
        before: as it was just before the last result; None at the first step.
        prompt: what "say again" says.
        facts: what is known of the job.
    """

    state: State = State.NEW
    step: str = ""
    stage: Stage = Stage.DIAGNOSE
    queue: tuple[str, ...] = ()
    finding: str = ""
    conditions: tuple[tuple[str, str], ...] = ()
    acknowledged: frozenset[str] = frozenset()
    ledger: tuple[Result, ...] = ()
    pending: tuple[Meaning, ...] = ()
    correcting: bool = False
    resume: "Session | None" = None
    abandon: "Session | None" = None
    before: "Session | None" = None
    prompt: tuple[Output, ...] = ()
    facts: tuple[tuple[str, str], ...] = ()

    @property
    def at_step(self) -> "Session":
        """This session, or the one that an interruption will return to."""
        return self.resume if self.resume is not None else self

    def condition(self, name: str) -> str:
        """The state ``name`` is known to be in; empty when it is not known."""
        return dict(self.conditions).get(name, "")

    def with_conditions(self, changes: tuple[tuple[str, str], ...]) -> "Session":
        """The session after ``changes`` to the vehicle."""
        return replace(self, conditions=tuple((dict(self.conditions) | dict(changes)).items()))

    def with_fact(self, name: str, value: str) -> "Session":
        """The session with a fact of the job added, or put in place of an earlier one.

        An interruption that ends must not forget it, so what it returns to gets it too.
        """
        return replace(
            self,
            facts=tuple((dict(self.facts) | {name: value}).items()),
            resume=self.resume.with_fact(name, value) if self.resume else None,
            abandon=self.abandon.with_fact(name, value) if self.abandon else None,
        )

    @property
    def undisturbed(self) -> "Session":
        """Where this session goes on when what is waiting is dropped."""
        return self.abandon if self.abandon is not None else self.at_step

    def latest(self, step: str) -> Result | None:
        """The last result of ``step`` that still counts."""
        counting = (r for r in reversed(self.ledger) if r.step == step and not r.superseded)
        return next(counting, None)

    def values(self) -> dict[str, Quantity]:
        """Readings that count, by step."""
        counting = [r for r in self.ledger if not r.superseded and r.quantity is not None]
        return {r.step: r.quantity for r in counting if r.quantity is not None}


@dataclass(frozen=True, slots=True)
class Desk:
    """What stays the same for a whole session.

    Parts:
        procedure: the procedure followed.
        book: sentences of the language spoken.
        detail: how much is spoken.
        accuracy: the meter's; None counts readings as exact.
    """

    procedure: Procedure
    book: Phrasebook
    detail: Detail = Detail.NORMAL
    accuracy: Accuracy | None = None

    def step(self, session: Session) -> Step:
        """The step the session is at."""
        return self.procedure.step(session.step)


@dataclass(frozen=True, slots=True)
class Turn:
    """The answer to one event: the session after it, and what is given out."""

    session: Session
    outputs: tuple[Output, ...] = field(default=())

    def add(self, *outputs: Output) -> "Turn":
        """The same turn with more given out."""
        return Turn(self.session, (*self.outputs, *outputs))

    def then(self, following: "Turn") -> "Turn":
        """This turn's outputs, then all of ``following``."""
        return Turn(following.session, (*self.outputs, *following.outputs))
