"""The state of one session, as a value."""

from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum

from voiceassist.language.meanings import Meaning, Reading
from voiceassist.language.phrasebook import Phrasebook
from voiceassist.measure.meter import Meter
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.model import Caution, Procedure, Step
from voiceassist.procedure.parts.cautions import by_gravity
from voiceassist.session.copying import replace
from voiceassist.session.events import Carried
from voiceassist.session.outputs import Output
from voiceassist.session.past_wait import Wait
from voiceassist.session.states import State

#: A plain answer that was given so often is known. Common practice, no source.
_PRACTISED = 2


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


#: What the last words did: a result was taken, or nothing moved since then.
VALUE, ASIDE = "value", "aside"


@dataclass(frozen=True, slots=True)
class Result:
    """What one step gave.

    Parts:
        step, stage: where it was taken.
        meaning: what was said; None for a step that was skipped or computed.
        quantity: for a reading, as read, with its unit; else None.
        wander: for a wandering value, from its lowest to its highest; else None.
        outcome: the route it takes: a verdict, a lamp state, an answer, "done" or "skipped".
        passed: whether the step counts as passed.
        shown: for eye and ear: "12.6 V", "bright".
        limit: the limit in words; empty when there was none.
        conditions: states of the vehicle that it was taken under.
        by_itself: worked out, or passed over for want of a value, with nothing asked.
        unconfirmed: it changed the path and was not asked about, being heard beyond doubt.
        superseded: corrected or gone back over since, or outdated.
        outdated: taken before something was put right, after which the job went on from there.
    """

    step: str
    stage: Stage
    meaning: Meaning | None
    outcome: str
    passed: bool
    shown: str
    quantity: Quantity | None = None
    wander: Quantity | None = None
    limit: str = ""
    conditions: tuple[tuple[str, str], ...] = ()
    by_itself: bool = False
    unconfirmed: bool = False
    superseded: bool = False
    outdated: bool = False


@dataclass(frozen=True, slots=True)
class Session:
    """Where a session stands. Nothing in it is ever changed; actions return another.

    Parts:
        state: row of the table.
        step: current step; empty before the first.
        stage, queue: what the steps are for, and those still to come in this stage.
        finding: reached finding; empty before.
        put_right: findings that were put right and after which the diagnosis went on, each with
            the length of the ledger then.
        suspected: the finding is not told yet, since what it condemns is not proved.
        conditions: states of the vehicle known to hold.
        acknowledged: cautions acknowledged in this stage.
        standing, standing_at: cautions of an earlier stage that its first step tells again, and
            that step; empty before it is come to.
        heeded: the yes to an offer acknowledged them, so another yes says no more than that.
        ledger: every result, in order, superseded ones too.
        astray: where a proof that failed leads.
        ending: what the job will be closed with, once all is told; empty before.
        parked: what the job is parked for; empty when it is not.
        waits: waits that are over.
        returning: a wait comes again before this step; empty when none does.
        chosen: the step under way was taken before its turn; empty when it was not.
        left: steps that were left for later by that, in the file's order.
        ahead: steps that were taken before their turn and passed, each with where it led.
        told: answers to questions still to come, as the complaint was told, each with its step.
        own: what was found by the technician himself and is being proved, in his words.
        own_proof: the steps that prove it, where no finding was reached.
        work_told: what the technician told of the work, each with its finding, in his words, and
            whether by them something was left undone.
        wished: the test that the complaint names, of those that are alike; empty for none.
        carried: readings of an earlier part of the job that may still hold.
        touched: conditions that were changed in this job.
        unsaid: those of them that count as changed since a reading came, and not by a word.
        let_go: conditions that must rest, and when they were let go, in seconds.
        pending: meanings waiting to be confirmed or chosen from.
        vouched: conditions said to be right though the waiting reading looks otherwise.
        correcting: the waiting meaning is to replace an earlier result.
        points: readings of a sweep so far.
        swapped: the leads were to be swapped at this step.
        tries: readings at this step that were too close to tell.
        corrected_conditions: states of the vehicle that a result under correction was taken
            under; else None.
        wait_over: the time of a WAIT step is over, but it was left for a question or pause; or
            the task before the question of an ASK step is done.
        resume: as it was before a question or pause that interrupts a step; else None.
        before_correction: as it was before a correction that is not settled yet; else None.
        previous: as it was just before the last result; None at the first step.
        prompt: what "say again" says.
        facts: what is known of the job.
        explained: what was explained already and need not be each time: the place of
            test points, how to go about a step.
        warned: cautions told in full, each with the states it is told again for.
        practised: how often a plain answer was given where it was asked for, by its name.
        unsure: what was heard last, too doubtful to act on; empty when nothing was.
        offers: how often in a row it was offered what was likely meant.
        misses: how often in a row nothing sure was understood.
        noise_told: it was said that the noise makes the assistant ask more.
        unheard_cautions: cautions that were cut off before their hazard was heard.
        lately: what the last words did: VALUE when a result was taken, ASIDE when only questions
            came since then, else empty.
        detail: how much is spoken, since the technician asked for it; None for the setup's.
        reminded: it was said what is awaited, since nobody answered.
        now_s, since_s: of the last thing heard, and of when the step began to wait, in seconds.
    """

    state: State = State.NEW
    step: str = ""
    stage: Stage = Stage.DIAGNOSE
    queue: tuple[str, ...] = ()
    finding: str = ""
    put_right: tuple[tuple[str, int], ...] = ()
    suspected: bool = False
    conditions: tuple[tuple[str, str], ...] = ()
    acknowledged: frozenset[str] = frozenset()
    standing: tuple[Caution, ...] = ()
    standing_at: str = ""
    heeded: bool = False
    ledger: tuple[Result, ...] = ()
    astray: str = ""
    ending: str = ""
    parked: str = ""
    waits: tuple[Wait, ...] = ()
    returning: str = ""
    chosen: str = ""
    left: tuple[str, ...] = ()
    ahead: tuple[tuple[str, str], ...] = ()
    told: tuple[tuple[str, Meaning], ...] = ()
    own: str = ""
    own_proof: tuple[str, ...] = ()
    work_told: tuple[tuple[str, str, bool], ...] = ()
    wished: str = ""
    carried: tuple[Carried, ...] = ()
    touched: frozenset[str] = frozenset()
    unsaid: frozenset[str] = frozenset()
    let_go: tuple[tuple[str, float], ...] = ()
    pending: tuple[Meaning, ...] = ()
    vouched: tuple[str, ...] = ()
    correcting: bool = False
    points: tuple[Reading, ...] = ()
    tries: int = 0
    swapped: bool = False
    corrected_conditions: tuple[tuple[str, str], ...] | None = None
    wait_over: bool = False
    resume: "Session | None" = None
    before_correction: "Session | None" = None
    previous: "Session | None" = None
    prompt: tuple[Output, ...] = ()
    facts: tuple[tuple[str, str], ...] = ()
    explained: frozenset[str] = frozenset()
    warned: tuple[tuple[str, tuple[str, ...]], ...] = ()
    practised: tuple[tuple[str, int], ...] = ()
    unsure: tuple[Meaning, ...] = ()
    offers: int = 0
    misses: int = 0
    noise_told: bool = False
    unheard_cautions: frozenset[str] = frozenset()
    lately: str = field(default="", compare=False)
    reminded: bool = False
    detail: Detail | None = None
    now_s: float = 0.0
    since_s: float = 0.0

    @property
    def at_step(self) -> "Session":
        """This session, or the one that an interruption will return to."""
        return self.resume if self.resume is not None else self

    def condition(self, name: str) -> str:
        """The state ``name`` is known to be in; empty when it is not known."""
        return dict(self.conditions).get(name, "")

    def holding(self, step: Step) -> tuple[tuple[str, str], ...]:
        """States of the vehicle while ``step`` is read: those known, and those it needs."""
        needed = {need.condition: need.state for need in step.needs}
        return tuple((dict(self.conditions) | needed).items())

    def with_conditions(
        self, changes: tuple[tuple[str, str], ...], *, said: bool = True
    ) -> "Session":
        """The session after ``changes`` to the vehicle; ``said`` when they were told as made.

        The last change stands last.
        """
        names = {name for name, _ in changes}
        as_before = (pair for pair in self.conditions if pair[0] not in names)
        return replace(
            self,
            conditions=(*as_before, *dict(changes).items()),
            touched=self.touched | names,
            unsaid=self.unsaid - names if said else self.unsaid | names,
            waits=tuple(wait.after(changes) for wait in self.waits),
        )

    def practise(self, answer: str) -> "Session":
        """The session after ``answer`` was given once more."""
        often = dict(self.practised)
        often[answer] = often.get(answer, 0) + 1
        return replace(self, practised=tuple(often.items()))

    def has_practised(self, answer: str, *, once: bool = False) -> bool:
        """True when ``answer`` is known so well that it need not be asked for in words.

        With ``once``, when it was given at all.
        """
        return dict(self.practised).get(answer, 0) >= (1 if once else _PRACTISED)

    def without_condition(self, name: str) -> "Session":
        """The session with the state of ``name`` not known any more."""
        return replace(self, conditions=tuple(c for c in self.conditions if c[0] != name))

    @property
    def place(self) -> str:
        """The step under way; of a wait that comes again, the one that it comes for."""
        return self.returning or self.step

    @property
    def settled(self) -> "Session":
        """This session with nothing waiting, asked about or under correction."""
        return replace(
            self,
            pending=(),
            vouched=(),
            correcting=False,
            points=(),
            tries=0,
            swapped=False,
            corrected_conditions=None,
            wait_over=False,
            heeded=False,
            resume=None,
            before_correction=None,
        )

    def keeping(self, now: "Session") -> "Session":
        """This session with what cannot be undone since: the vehicle, what was told and said."""
        return replace(
            self,
            conditions=now.conditions,
            carried=now.carried,
            acknowledged=now.acknowledged,
            touched=now.touched,
            unsaid=now.unsaid,
            let_go=now.let_go,
            waits=now.waits,
            facts=now.facts,
            work_told=now.work_told,
            explained=now.explained,
            warned=now.warned,
            practised=now.practised,
            now_s=now.now_s,
            noise_told=now.noise_told,
            detail=now.detail,
        )

    def with_fact(self, name: str, value: str) -> "Session":
        """The session with a fact of the job added, or put in place of an earlier one."""
        return self._throughout(
            lambda each: replace(each, facts=tuple((dict(each.facts) | {name: value}).items()))
        )

    def with_noise_told(self) -> "Session":
        """The session after the noise was told of."""
        return self._throughout(lambda each: replace(each, noise_told=True))

    def with_detail(self, detail: Detail) -> "Session":
        """The session spoken at ``detail``."""
        return self._throughout(lambda each: replace(each, detail=detail))

    def _throughout(self, change: "Callable[[Session], Session]") -> "Session":
        """After ``change``, which an interruption that ends must not forget."""
        return replace(
            change(self),
            resume=self.resume and self.resume._throughout(change),
            before_correction=self.before_correction and self.before_correction._throughout(change),
        )

    @property
    def undisturbed(self) -> "Session":
        """Where this session goes on when what is waiting is dropped."""
        return self.before_correction if self.before_correction is not None else self.at_step

    def latest(self, step: str) -> Result | None:
        """The last result of ``step`` that still counts."""
        counting = (r for r in reversed(self.ledger) if r.step == step and not r.superseded)
        return next(counting, None)


@dataclass(frozen=True, slots=True)
class SessionSetup:
    """What stays the same for a whole session.

    Parts:
        procedure: the procedure followed.
        book: sentences of the language spoken.
        detail: how much is spoken.
        meter: the technician's; None counts readings as exact.
        risk: how likely a verdict may be wrong because of the meter, at most.
        prompt_after_s: seconds without an answer after which it is said what is awaited, where
            the step does not tell; 0 for never.
    """

    procedure: Procedure
    book: Phrasebook
    detail: Detail = Detail.NORMAL
    meter: Meter | None = None
    risk: Decimal = Decimal("0.05")
    prompt_after_s: int = 30

    def step(self, session: Session) -> Step:
        """The step the session is at, with the cautions that still stand from an earlier stage."""
        step = self.procedure.step(session.step)
        if not session.standing or session.standing_at != step.name:
            return step
        own = {caution.name for caution in step.cautions}
        standing = (caution for caution in session.standing if caution.name not in own)
        return replace(step, cautions=by_gravity((*standing, *step.cautions)))


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
