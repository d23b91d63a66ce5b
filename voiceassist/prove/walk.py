"""One walk through a procedure with the real session engine."""

from dataclasses import dataclass, replace

from voiceassist.errors import CircuitError
from voiceassist.measure.limit import Verdict
from voiceassist.prove.file_answer import Stuck
from voiceassist.prove.hazard import Hazard
from voiceassist.prove.repairing import Repairer
from voiceassist.prove.technician import Change, Technician
from voiceassist.prove.vehicle import States
from voiceassist.session.engine import Engine
from voiceassist.session.events import Begin
from voiceassist.session.outputs import VerdictGiven
from voiceassist.session.session import Session, SessionSetup, Stage, Turn
from voiceassist.session.states import State

#: Events that a walk may take for each step of the procedure before it is taken to go in circles.
_EVENTS_A_STEP, _LEAST_EVENTS = 12, 60

#: Where the diagnosis is over.
_OVER = frozenset({State.CLOSED, State.OFFER, State.AFTER})
_CLOSED = frozenset({State.CLOSED})


@dataclass(frozen=True, slots=True)
class Taken:
    """One result on the way: its step, its outcome ("pass", "low", "affirm") and what was read."""

    step: str
    outcome: str
    shown: str


@dataclass(frozen=True, slots=True)
class Compared:
    """A reading that was compared with a limit: its step, its verdict, and what was compared.

    Parts:
        step, verdict: as the session names them.
        reading, low, high: with their units; an end that is open is empty.
        guard_low, guard_high: readings between them pass, those between guard and end are too
            close to call.
    """

    step: str
    verdict: str
    reading: str
    low: str
    high: str
    guard_low: str = ""
    guard_high: str = ""


@dataclass(frozen=True, slots=True)
class Afterwards:
    """What came after a finding.

    Parts:
        ending: what the job was closed with.
        did: repair steps that were gone through.
        failed: step at which the proof of the repair failed; empty when it did not.
        failed_in: the states of the vehicle there that are not as at first.
        later: what was found when it was looked further, or the job went on.
        conditions: the vehicle as it was left.
        touched: conditions that were changed in the job.
        trouble: why it did not come to its end; empty when it did.
        at: the step it stopped at.
        hazards: what was not safe from the first step on.
        has_shown: a fault that comes and goes showed while the repair was proved.
        then: the diagnosis that went on; None where it did not.
    """

    ending: str
    did: tuple[str, ...]
    failed: str
    later: str
    conditions: States
    touched: tuple[str, ...]
    trouble: str
    at: str
    failed_in: States = ()
    hazards: tuple[Hazard, ...] = ()
    has_shown: bool = True
    then: "Walk | None" = None


@dataclass(frozen=True, slots=True)
class Walk:
    """Where a procedure led on one vehicle.

    Parts:
        taken: its results, in order.
        finding: the one reached; empty when none was.
        skipped: a step was left out, since its reading was too close to call.
        close: each reading that was too close to call, by its step.
        judged: each reading that was compared with a limit, by its step.
        changes: the changes to the vehicle that were asked for.
        forgot: the change to be forgotten was asked for.
        noticed: the session asked about the reading or about the very condition, refused the
            reading, or the instrument told that it could not be.
        trouble: why it did not come to a finding; empty when it did.
        at: the step it stopped at.
        read_in: each step whose instrument was held to the circuit, and the states it was in.
        idle: steps that read a drop while no current flowed.
        has_shown: the fault showed, if it is one that comes and goes.
        compared: each reading that was compared with a limit, with it.
        blown: a fuse that blew on the way; empty for none.
        lit: each step that a test lamp was looked at for, and the share of its voltage that it got.
        after: what came after the finding; None where nobody went on.
    """

    taken: tuple[Taken, ...] = ()
    finding: str = ""
    skipped: bool = False
    close: tuple[str, ...] = ()
    judged: tuple[str, ...] = ()
    changes: tuple[Change, ...] = ()
    forgot: bool = False
    noticed: bool = False
    trouble: str = ""
    at: str = ""
    read_in: tuple[tuple[str, States], ...] = ()
    idle: tuple[str, ...] = ()
    has_shown: bool = True
    compared: tuple[Compared, ...] = ()
    blown: str = ""
    lit: tuple[tuple[str, float], ...] = ()
    after: Afterwards | None = None

    @property
    def path(self) -> tuple[str, ...]:
        """The names of its steps."""
        return tuple(one.step for one in self.taken)


def walk(setup: SessionSetup, technician: Technician) -> Walk:
    """Follow the procedure of ``setup`` with ``technician`` until it names a finding."""
    return _Walker(setup, technician).walk()


def walk_on(setup: SessionSetup, repairer: Repairer) -> Walk:
    """Follow it through the repair and its proof until the job is closed."""
    walker = _Walker(setup, repairer)
    return walker.walk_on(walker.walk(), repairer)


class _Walker:
    def __init__(self, setup: SessionSetup, technician: Technician) -> None:
        self._engine = Engine(setup)
        self._technician = technician
        self._most = _LEAST_EVENTS + _EVENTS_A_STEP * len(setup.procedure.steps)
        self._session = Session()
        self._verdicts: list[VerdictGiven] = []

    def walk(self) -> Walk:
        self._keep(self._engine.handle(self._session, Begin()))
        return self._made(self._follow(_OVER))

    def walk_on(self, found: Walk, repairer: Repairer) -> Walk:
        """``found`` with what came after it."""
        trouble = found.trouble or self._follow(_CLOSED)
        done = [r for r in self._session.ledger if r.stage is Stage.REPAIR]
        went_on = bool(self._session.put_right)
        after = Afterwards(
            ending=self._session.ending,
            did=tuple(result.step for result in done),
            failed=repairer.failed,
            failed_in=repairer.failed_in,
            later=repairer.later or (self._session.finding if went_on else ""),
            conditions=tuple(repairer.vehicle.conditions.items()),
            touched=tuple(sorted(self._session.touched)),
            trouble=trouble,
            at=self._session.step,
            hazards=repairer.hazards,
            has_shown=repairer.vehicle.has_shown,
            then=self._made(trouble) if went_on else None,
        )
        return replace(found, after=after)

    def _follow(self, until: frozenset[State]) -> str:
        """Why it does not come to its end; empty when it does."""
        try:
            return self._answer_all(until)
        except Stuck as stuck:
            self._technician.noticed |= stuck.noticed
            return str(stuck)
        except CircuitError as error:
            return f"the circuit cannot tell: {error}"

    def _answer_all(self, until: frozenset[State]) -> str:
        for _ in range(self._most):
            if self._session.state in until:
                return ""
            event = self._technician.answer(self._session)
            self._keep(self._engine.handle(self._session, event))
        return "it goes in circles"

    def _keep(self, turn: Turn) -> None:
        self._session = turn.session
        self._verdicts += [o for o in turn.outputs if isinstance(o, VerdictGiven)]

    def _made(self, trouble: str) -> Walk:
        ledger = [r for r in self._session.ledger if not r.superseded]
        technician = self._technician
        refused = any(v.verdict == Verdict.NOT_VALID.value for v in self._verdicts)
        return Walk(
            taken=tuple(Taken(r.step, r.outcome, r.shown) for r in ledger),
            finding="" if trouble else self._session.finding,
            skipped=any(r.outcome == "skipped" for r in ledger),
            close=tuple(v.step for v in self._verdicts if v.verdict == Verdict.TOO_CLOSE.value),
            judged=tuple(v.step for v in self._verdicts),
            changes=tuple(technician.changes),
            forgot=technician.forgot,
            noticed=technician.noticed or refused,
            trouble=trouble,
            at=self._session.step,
            read_in=tuple(technician.vehicle.met),
            compared=tuple(map(_compared, self._verdicts)),
            blown=technician.vehicle.blew,
            lit=tuple(technician.lit),
            idle=tuple(sorted(technician.idle)),
            has_shown=technician.vehicle.has_shown,
        )


def _compared(told: VerdictGiven) -> Compared:
    guards = told.guard_low, told.guard_high
    return Compared(told.step, told.verdict, told.reading, told.low, told.high, *guards)
