"""A job that is parked: until the fault shows, or for want of parts. It is gone on with later."""

from voiceassist.procedure.parts.asking import wording_in
from voiceassist.session.actions.closing_up import changes_to_rest, left_so, putting_back
from voiceassist.session.actions.waiting import not_so_any_more, where_it_stood
from voiceassist.session.copying import replace
from voiceassist.session.events import Event, Returned, meaning_of
from voiceassist.session.outputs import Ask, Parked, Resumed, Say
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.spans import show_age
from voiceassist.session.states import State

#: What a job is parked for; anything else that is told is kept as ``OTHER``.
SHOWS, PARTS, WRONG, OTHER = "shows", "parts", "wrong", "other"


def park(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Park the job; what is not as it was at first is put back before.

    A job that is told to be the wrong one is parked only after a yes.
    """
    about = getattr(meaning_of(event), "about", "")
    reason = about if about in {SHOWS, PARTS, WRONG} else OTHER
    stood = session.undisturbed
    first = "parked.wrong_put_back" if reason == WRONG else "parked.put_back"
    prompt = putting_back(setup, stood, first, "after.or_leave")
    if not prompt and reason == WRONG:
        prompt = (Ask(step=session.step, text=setup.book("parked.ask_wrong")),)
    if not prompt:
        return parked(setup, stood, reason)
    waiting = replace(stood, state=State.TO_PARK, parked=reason, prompt=prompt, resume=stood)
    return Turn(waiting, prompt)


def parked(setup: SessionSetup, session: Session, reason: str) -> Turn:
    """The job rests until somebody goes on with it."""
    why = setup.book.plain(f"parked.{reason}")
    text = setup.book("parked.now", why=why)
    said = Parked(step=session.step, text=text, reason=reason, why=why)
    rests = replace(session, state=State.PARKED, parked=reason, prompt=(), resume=session)
    return Turn(rests, (said,))


def put_back(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The vehicle is as it was at first: park the job."""
    made = tuple(replace(c, text="", met=True) for c in changes_to_rest(setup, session.at_step))
    stood = session.at_step.keeping(session)
    rested = stood.with_conditions(tuple((c.name, c.state) for c in made))
    return Turn(rested, made).then(parked(setup, rested, session.parked))


def leave_it_so(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The job is parked with the vehicle as it is; the record tells what was left."""
    left = left_so(setup, session.at_step)
    holds = setup.book.join("list.and", (wording_in(setup.procedure, *p).holds for p in left))
    told = (Say(step=session.step, text=setup.book("after.left", states=holds)),) if left else ()
    stood = session.at_step.keeping(session)
    return Turn(session, told).then(parked(setup, stood, session.parked))


def take_up(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The parked job goes on: its readings count, and nothing is known of the vehicle any more."""
    assert isinstance(event, Returned)
    why = setup.book.plain(f"parked.{session.parked}")
    age = show_age(setup, round(event.away_s))
    said = Resumed(step=session.step, text=setup.book("parked.resumed", why=why, age=age))
    back = replace(session.at_step, now_s=session.now_s, explained=frozenset())
    told = (said, where_it_stood(setup, replace(back, conditions=())))
    return Turn(back, told).then(not_so_any_more(setup, back, event))
