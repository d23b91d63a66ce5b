"""Waiting steps, pauses, and coming back after one."""

from voiceassist.language.meanings import Answer
from voiceassist.procedure.model import PASS
from voiceassist.procedure.parts.asking import wording_in
from voiceassist.session.actions.enter import STATE_OF, enter, stand_again, unmade
from voiceassist.session.actions.finding import go_on
from voiceassist.session.copying import replace
from voiceassist.session.cutting import cut_off
from voiceassist.session.events import Event, Returned, TimeUp
from voiceassist.session.outputs import Ask, Output, Resumed, Say, StepDone
from voiceassist.session.session import Detail, Result, Session, SessionSetup, Turn
from voiceassist.session.shown import spoken_name
from voiceassist.session.spans import show_time
from voiceassist.session.states import State
from voiceassist.session.unknown import unknown
from voiceassist.session.waits import waited
from voiceassist.session.worded import step_text

#: What is left behind when the session was cut off there.
_LEFT = frozenset({State.STAND_BY, State.SKIP, State.PICK, State.WHOSE, State.NOTE, State.FINISH})

#: After a pause this long, in seconds, the vehicle may have been touched. Common practice.
LONG_S = 600


def time_up(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The time is over, or was not waited for: the step is done."""
    step = setup.step(session)
    unwaited = isinstance(event, TimeUp) and event.unwaited
    session = replace(session, wait_over=False)
    shown = show_time(setup, step.wait_s)
    if unwaited:
        shown = setup.book("wait.not", time=shown)
    again = bool(session.returning)
    result = Result(step.name, session.stage, Answer("done"), "done", True, shown, by_itself=again)
    before = session.previous if again else session
    taken = replace(waited(setup, session, step), ledger=(*session.ledger, result), previous=before)
    outputs: tuple[Output, ...] = (
        Say(step=step.name, text=setup.book("wait.unwaited" if unwaited else "wait.over")),
        StepDone(step=step.name, task=f"{step.text}, {shown}"),
    )
    return Turn(taken, outputs).then(go_on(setup, taken, result, step.routes[PASS]))


def time_up_meanwhile(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The time is over while a question or a pause interrupts the waiting: go on after it."""
    if session.resume is None or session.at_step.state is not State.WAIT:
        return Turn(session)
    return Turn(replace(session, resume=replace(session.resume, wait_over=True)))


def remind(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Nobody answered for a while: say in short what is awaited; a caution cut off, in full."""
    if cut_off(setup, session):
        return Turn(session, session.prompt)
    text = setup.book("nothing.reply", prompt=_awaited(setup, session))
    return Turn(session, (Say(step=session.step, text=text),))


def _awaited(setup: SessionSetup, session: Session) -> str:
    if session.state in STATE_OF.values():
        brief = step_text(replace(setup, detail=Detail.NORMAL), session, setup.step(session))
        return " ".join([*(change.text for change in unmade(setup, session)), brief])
    asked = [output.text for output in session.prompt if isinstance(output, Ask)]
    return " ".join(asked[-1:])


def value_too_soon(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """A value before the wait is over does not count: say so, and how long there is to wait."""
    told = not_yet(setup, session, event)
    early = Say(step=session.step, text=setup.book("wait.early"))
    return Turn(session, (early, *told.outputs))


def not_yet(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Tell how long there is still to wait."""
    left = max(1, round(left_s(setup, session)))
    text = setup.book("wait.left", time=show_time(setup, left))
    return Turn(session, (Say(step=session.step, text=text),))


def left_s(setup: SessionSetup, session: Session) -> float:
    """Seconds that a WAIT step still has to go, as of the last thing heard."""
    return setup.step(session).wait_s - (session.now_s - session.since_s)


def stand_by(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Stop listening for anything but *go ahead*."""
    said = Say(step=session.step, text=setup.book("inform.stand_by"))
    paused = replace(
        session, state=State.STAND_BY, resume=session, pending=(), since_s=session.now_s
    )
    return Turn(paused, (said,))


def wake(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Listen again; after a long pause the vehicle's state is asked about."""
    back = replace(session.at_step, now_s=session.now_s)
    if session.now_s - session.since_s >= LONG_S:
        return _ask_still(setup, back)
    return Turn(back, back.prompt)


def come_back(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The session was cut off and goes on."""
    assert isinstance(event, Returned)
    said = Resumed(step=session.step, text=setup.book("start.resumed"))
    paused_s = session.now_s - session.since_s if session.state is State.STAND_BY else 0.0
    back = session.undisturbed if session.state in _LEFT else session
    back = replace(back, now_s=session.now_s, since_s=back.since_s - event.away_s)
    if event.away_s + paused_s >= LONG_S:  # a battery may have been charged meanwhile
        back = replace(back, carried=())
    if back.state is State.WAIT and left_s(setup, back) <= 0:
        return Turn(back, (said,)).then(time_up(setup, back, event))
    if event.away_s + paused_s >= LONG_S:
        return Turn(back, (said,)).then(_ask_still(setup, back))
    again = replace(back, explained=frozenset())  # where to measure may be forgotten by now
    stands = stand_again(setup, again).session
    return Turn(stands, (said, where_it_stood(setup, stands), *stands.prompt))


def where_it_stood(setup: SessionSetup, session: Session) -> Say:
    """The job, the step, the last value, and what of the vehicle is not as it was at first."""
    title, step = setup.procedure.title, spoken_name(session.place)
    parts = [setup.book("start.stood", title=title, step=step)]
    last = next((r for r in reversed(session.ledger) if counts(r)), None)
    if last is not None:
        parts.append(setup.book("start.last", step=spoken_name(last.step), shown=last.shown))
    rest = setup.procedure.at_rest
    moved = [pair for pair in session.conditions if rest.get(*pair) != pair[1]]
    if moved:
        holds = (wording_in(setup.procedure, *pair).holds for pair in moved)
        parts.append(setup.book("start.moved", states=setup.book.join("list.and", holds)))
    return Say(step=session.step, text=" ".join(parts))


def counts(result: Result) -> bool:
    """True for a value or answer that was given and counts."""
    return not result.superseded and result.meaning is not None and result.outcome != "done"


def _ask_still(setup: SessionSetup, session: Session) -> Turn:
    """Ask whether what is known of the vehicle still holds; nothing to ask, nothing asked."""
    known = [wording_in(setup.procedure, *pair).holds for pair in session.conditions]
    if not known or session.state in {State.STILL, State.CLOSED}:
        return Turn(session, session.prompt)
    ask = Ask(
        step=session.step, text=setup.book("still.ask", states=setup.book.join("list.and", known))
    )
    return Turn(replace(session, state=State.STILL, resume=session, prompt=(ask,)), (ask,))


def still_so(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Nothing was touched."""
    return Turn(session.at_step, session.at_step.prompt)


def not_so_any_more(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Nothing is known of the vehicle any more: the step begins again, cautions and all."""
    at_step = session.undisturbed
    forgotten = unknown(session, dict(at_step.conditions))
    fresh = replace(at_step, conditions=(), carried=(), acknowledged=frozenset())
    if fresh.state in {State.OFFER, State.RETRY, State.AFTER, State.PUT_BACK}:
        return Turn(fresh, (*forgotten, *fresh.prompt))
    return Turn(fresh, forgotten).then(enter(setup, fresh, fresh.step))
