"""The session engine: an event in, outputs out. No clock, no files, no sound."""

from voiceassist.errors import SessionError
from voiceassist.language.expectation import Expectation
from voiceassist.language.meanings import Command, CommandName, Correction, Reading
from voiceassist.session.actions.meant import asks_again
from voiceassist.session.actions.not_heard import noise_once
from voiceassist.session.actions.waiting import LONG_S, time_up
from voiceassist.session.copying import replace
from voiceassist.session.cutting import after_cuts, cut_off
from voiceassist.session.doubting import doubted
from voiceassist.session.events import Begin, Cue, Event, EventKind, Heard, kind_of
from voiceassist.session.expect import expectation
from voiceassist.session.held import ended, resting, with_release
from voiceassist.session.lately import with_lately
from voiceassist.session.naming import causes, here, names, states, steps
from voiceassist.session.outputs import DangerTold, Listen, Output
from voiceassist.session.own_answer import with_own_answer
from voiceassist.session.session import VALUE, Session, SessionSetup, Turn
from voiceassist.session.states import State
from voiceassist.session.table import ANSWERS, ASKED_MEANWHILE, TABLE, entry
from voiceassist.session.waits import watched

#: After these nothing that was understood has been said yet.
_SILENT = frozenset(
    {EventKind.NOTHING, EventKind.LET_PASS, EventKind.UNSURE}
    | {EventKind.NO_REPLY, EventKind.INTERRUPTED}
)

#: Nobody is awaited.
_UNPROMPTED = frozenset({State.STAND_BY, State.PARKED, State.WAIT, State.CLOSED})


#: Questions that go when the step is answered; *done* may be said to the question whether to stop.
_LETS_GO = {State.SKIP: ANSWERS, State.FINISH: ANSWERS - {EventKind.DONE}}
_YES_OR_NO = frozenset({EventKind.AFFIRM, EventKind.NEGATIVE})
_WHAT_NOW = frozenset({CommandName.REPEAT, CommandName.NEXT})
#: What one says who is back from a pause.
_BACK = Command(CommandName.GO_AHEAD)
#: Who is asked whether that was meant, and gives a value, may correct the last one by it.
_READ_WRONG = (Command(CommandName.MISTAKE),)
#: After these the next offer is another in a row.
_OFFERING = frozenset({EventKind.LIKELY, EventKind.NEGATIVE})


def _as_meant(session: Session, event: Event, on: Cue) -> tuple[Session, Event, Cue]:
    """What was offered, when that is affirmed; anything else that is no answer to it lets it go.

    A question why a step is skipped, or whether to stop, goes when the step is answered after all.
    """
    if session.resume is None or session.state not in {State.MEANT, *_LETS_GO}:
        return session, event, on
    if session.state in _LETS_GO:
        return (session.resume if on in _LETS_GO[session.state] else session), event, on
    at = session.resume.keeping(session)
    if on in _YES_OR_NO and asks_again(session):
        return replace(at, offers=session.offers), event, on
    done = on is EventKind.DONE and _is_own_find(session)
    if (on is EventKind.AFFIRM or done) and isinstance(event, Heard):
        meant = replace(event, meanings=session.pending)
        return at, meant, kind_of(meant)
    if on is EventKind.READING and at.state is State.MEASURE and session.pending == _READ_WRONG:
        assert isinstance(event, Heard)
        value = event.meanings[0]
        assert isinstance(value, Reading)
        right = replace(event, meanings=(Correction(value),))
        return replace(at, lately=VALUE), right, kind_of(right)
    return (session if on in TABLE[State.MEANT] else at), event, on


def _is_own_find(session: Session) -> bool:
    """Whether it is asked for the proof of what was found, which is done once it is mended."""
    return any(isinstance(m, Command) and m.name == CommandName.FOUND for m in session.pending)


def _as_back(session: Session, event: Event, on: Cue) -> tuple[Session, Event, Cue]:
    """A value that is told together with being back, or before it, at the step.

    Not after a long pause. A word that tells it, and another thing elsewhere, tells it here; and
    who asks what comes now is back, but for what is to be done in danger.
    """
    if session.state is not State.STAND_BY or not isinstance(event, Heard):
        return session, event, on
    if on is CommandName.NEXT and not _told_of_danger(session):
        event, on = replace(event, meanings=(_BACK,)), CommandName.GO_AHEAD
    if on is CommandName.GO_AHEAD and session.pending:
        event, on = replace(event, meanings=(_BACK, *session.pending)), EventKind.SEVERAL
    if on is not EventKind.SEVERAL:
        return session, event, on
    back = tuple(m for m in event.meanings if m == _BACK)
    others = tuple(m for m in event.meanings if m != _BACK)
    values = tuple(m for m in others if not isinstance(m, Command))
    meant = replace(event, meanings=back or others[:1])
    if back and values and session.now_s - session.since_s < LONG_S:
        session = replace(session.at_step, now_s=session.now_s)
        meant = replace(event, meanings=values)
    return session, meant, kind_of(meant)


def _meanwhile(setup: SessionSetup, session: Session, event: Event, on: Cue) -> Turn:
    """What is asked or noted while it stands by, answered as where it was left; it still stands by.

    Behind a cry of danger the step is not told again, but what is to be done.
    """
    act = _told_of_danger(session)
    if act and on in _WHAT_NOW:
        return Turn(session, act)
    at = replace(session.at_step, now_s=session.now_s)
    told = entry(at.state, on).action(setup, at, event)
    return Turn(replace(session, resume=told.session), told.outputs)


def _told_of_danger(session: Session) -> tuple[Output, ...]:
    return tuple(output for output in session.prompt if isinstance(output, DangerTold))


class Engine:
    """Runs sessions of one procedure. It holds no state of its own; ``Session`` does.

    Args:
        setup: procedure, sentences, detail and meter.
    """

    def __init__(self, setup: SessionSetup) -> None:
        self.setup = setup
        procedure = setup.procedure
        self._named = Expectation(
            names=names(procedure),
            states=states(procedure),
            causes=causes(procedure),
            steps=steps(procedure),
        )
        self._freely = states(procedure, freely=True)

    def at(self, session: Session) -> SessionSetup:
        """The setup, at the detail that the technician asked for."""
        if session.detail in (None, self.setup.detail):
            return self.setup
        return replace(self.setup, detail=session.detail)

    def handle(self, session: Session, event: Event) -> Turn:
        """Answer ``event``.

        Returns:
            The session after it and the outputs, ``Listen`` last while it is open. The
            session given is not changed.

        Raises:
            SessionError: the event cannot be in this state, whatever was said.
        """
        if session.state is State.CLOSED:
            raise SessionError("this session is closed", remedy="begin another")
        event = with_own_answer(self.at(session), session, event)
        event, on = doubted(self.at(session), session, event)
        if (on is EventKind.BEGIN) is not (session.state is State.NEW):
            raise SessionError(f"{on} cannot come to a session that is {session.state}")
        if not isinstance(event, Begin):
            session = replace(session, now_s=max(session.now_s, event.at_s))
        if on not in _SILENT:
            offers = session.offers if on in _OFFERING else 0
            session = replace(session, misses=0, unsure=(), reminded=False, offers=offers)
        session, event, on = _as_back(*_as_meant(session, event, on))
        turn = after_cuts(session, event, on, self._answered(session, event, on))
        turn = watched(with_lately(session, event, on, turn))
        return turn if turn.session.state is State.CLOSED else turn.add(self.listen(turn.session))

    def _answered(self, session: Session, event: Event, on: Cue) -> Turn:
        """What follows from ``event``; what was held while one read is let go first."""
        setup = self.at(session)
        held = () if on is EventKind.BEGIN else ended(setup, session, on)
        turn = self._act(resting(session, held), event, on)
        return with_release(setup, session, on, held, turn) if held else turn

    def _act(self, session: Session, event: Event, on: Cue) -> Turn:
        """What follows from ``event``; nothing that a caution guards before that was heard."""
        setup = self.at(session)
        cautions = cut_off(setup, session)
        cautions_said = cautions if on is EventKind.TIME_UP else ()
        if session.state is State.STAND_BY and on in ASKED_MEANWHILE:
            turn = _meanwhile(setup, session, event, on)
        else:
            turn = entry(session.state, on, cut_off=bool(cautions)).action(setup, session, event)
        if isinstance(event, Heard) and event.noisy:
            turn = noise_once(setup, turn)
        if turn.session.state is State.WAIT and turn.session.wait_over:
            news = tuple(o for o in turn.outputs if o not in turn.session.prompt)
            turn = Turn(turn.session, news).then(time_up(setup, turn.session, event))
        return Turn(turn.session, (*cautions_said, *turn.outputs))

    def listen(self, session: Session) -> Listen:
        """What is awaited now."""
        at_step = session.at_step
        waits = at_step.state is State.WAIT
        return Listen(
            step=session.step,
            expectation=replace(
                expectation(self.setup, session),
                names=self._named.names,
                here=here(self.setup, session.at_step, self._named.names),
                states=self._freely if session.state is State.CONFIRM else self._named.states,
                causes=self._named.causes,
                steps=self._named.steps,
            ),
            wait_s=self.setup.step(at_step).wait_s if waits else 0,
            prompt_s=self._prompt_s(session),
        )

    def _prompt_s(self, session: Session) -> int:
        """After how many seconds to say what is awaited: once, and never while nothing is."""
        if session.reminded or session.state in _UNPROMPTED:
            return 0
        own = self.setup.step(session).prompt_after_s
        return self.setup.prompt_after_s if own is None else own
