"""What is asked of the adviser, and going to a step before its turn.

What is likely and what would tell most is not known to the engine: whoever runs it fills that in.
"""

from voiceassist.language.phrasebook import capitalised
from voiceassist.session.actions import asked
from voiceassist.session.actions.finding import arrive
from voiceassist.session.actions.told import TOLD, wish
from voiceassist.session.choosing import can_leave, choosable, chose, known_way
from voiceassist.session.copying import replace
from voiceassist.session.events import Event, Heard, meaning_of
from voiceassist.session.outputs import Advice, Say
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.shown import spoken_name
from voiceassist.session.suspects import Suspect, suspects

#: What can be asked.
SURE, MOST, AGAINST = "sure", "most", "against"


def _asked(setup: SessionSetup, session: Session, what: str, about: str = "") -> Turn:
    text = setup.book("reply.no_advice")
    return Turn(session, (Advice(step=session.step, text=text, asked=what, about=about),))


def cause(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """What is known of the cause so far; until it is found, how likely each one is.

    Of a part that is named, whether it can still be that.
    """
    words = event.words if isinstance(event, Heard) else ""
    named = suspects(setup.procedure, session.at_step, words)
    if texts := [text for one in named if (text := _of(setup, one))]:
        return Turn(session, tuple(Say(step=session.step, text=text) for text in texts))
    told = asked.cause_so_far(setup, session)
    if session.finding or setup.procedure.circuit is None or not setup.procedure.faults:
        return told
    return told.then(_asked(setup, session, SURE))


def _of(setup: SessionSetup, suspect: Suspect) -> str:
    """How it stands with a part that was named; empty where the cause is told, or nothing known."""
    if suspect.ahead:
        told = spoken_name(suspect.ahead)
        return setup.book("suspect.open", part=suspect.called, step=capitalised(told))
    if suspect.by is None:
        return ""
    key = "suspect.out" if suspect.ruled_out else "suspect.aside"
    step = spoken_name(suspect.by.step)
    step = step if suspect.ruled_out else capitalised(step)
    return setup.book(key, part=suspect.called, step=step, shown=suspect.by.shown)


def how_sure(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """How likely each cause is."""
    return _asked(setup, session, SURE)


def what_tells_most(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Which test would tell most."""
    return _asked(setup, session, MOST)


def against(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """What speaks against a cause, which is asked for by its name."""
    about = getattr(meaning_of(event), "about", "")
    if not about:
        return Turn(session, (Say(step=session.step, text=setup.book("advised.which_cause")),))
    return _asked(setup, session, AGAINST, about)


def go_to(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Take a step before its turn, where all that the order guards holds."""
    name = getattr(meaning_of(event), "about", "")
    if not name:
        return _which(setup, session)
    if name.startswith(TOLD):
        return wish(setup, session, name.removeprefix(TOLD))
    if name not in {*setup.procedure.steps, *setup.procedure.repairs}:
        unknown = setup.book("advised.unknown", step=spoken_name(name))
        told = Turn(session, (Say(step=session.step, text=unknown),))
        return told.then(_which(setup, session)) if choosable(setup, session) else told
    if name not in choosable(setup, session):
        key = _why_not(setup, session, name)
        called = spoken_name(name)
        return Turn(session, (Say(step=session.step, text=setup.book(key, step=called)),))
    going = replace(chose(setup, session, name), previous=session)
    text = setup.book("advised.going", left=_called(setup, going.left))
    said = Say(step=session.step, text=text)
    return Turn(going, (said,)).then(arrive(setup, going, name))


def _which(setup: SessionSetup, session: Session) -> Turn:
    free = choosable(setup, session)
    if not free:
        return Turn(session, (Say(step=session.step, text=setup.book("advised.none")),))
    text = setup.book("advised.which_step", steps=_called(setup, free, "list.or"))
    return Turn(session, (Say(step=session.step, text=text),))


def _called(setup: SessionSetup, steps: tuple[str, ...], join: str = "list.and") -> str:
    return setup.book.join(join, [spoken_name(step) for step in steps])


def _why_not(setup: SessionSetup, session: Session, name: str) -> str:
    """Key of the sentence that says why a step cannot be gone to."""
    if name == session.step:
        return "advised.here"
    if known_way(session, name) or session.latest(name) is not None:
        return "advised.taken"
    return "advised.in_order" if can_leave(setup, session) else "advised.not_now"
