"""What is said to the cautions and changes ahead of a step."""

from collections.abc import Iterable

from voiceassist.language.meanings import Answer, Correction
from voiceassist.measure.limit import Verdict
from voiceassist.procedure.model import Kind, Signal
from voiceassist.session.actions.enter import (
    asked,
    open_changes,
    open_needs,
    prepare,
    unmade,
    when_ready,
)
from voiceassist.session.copying import replace
from voiceassist.session.events import Event, Heard
from voiceassist.session.outputs import Ask, CautionAcknowledged, Say, VerdictGiven
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.shown import show
from voiceassist.session.states import State

#: Dangers to life and limb.
_GRAVE = frozenset({Signal.DANGER, Signal.WARNING})


def acknowledge(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The technician has understood the caution."""
    return understood(setup, session, [caution.name for caution in setup.step(session).cautions])


def understood(setup: SessionSetup, session: Session, cautions: Iterable[str]) -> Turn:
    """Of the step's cautions, those of these names are understood."""
    names = tuple(cautions)
    session = replace(session, acknowledged=session.acknowledged | set(names))
    given = CautionAcknowledged(step=session.step, text="", names=names)
    return Turn(session, (given,)).then(prepare(setup, session.practise("affirm")))


def acknowledge_by_done(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """As that by which a change is told it may come from before; a grave danger wants its own."""
    if any(caution.signal in _GRAVE for caution in setup.step(session).cautions):
        return Turn(session, (Ask(step=session.step, text=setup.book("caution.acknowledge")),))
    return acknowledge(setup, session, event)


def caution_refused(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The technician does not accept the caution: the step does not begin."""
    gated = any(caution.only_authorised for caution in setup.step(session).cautions)
    key = "caution.not_authorised" if gated else "caution.refused"
    return Turn(session, (Say(step=session.step, text=setup.book(key)),))


def conditions_met(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The changes are made."""
    met = tuple(replace(c, text="", met=True) for c in open_changes(setup, session))
    changed = session.with_conditions(tuple((c.name, c.state) for c in met))
    changed = replace(changed.practise("done"), corrected_conditions=None)
    return Turn(changed, met).then(when_ready(setup, changed))


def changes_affirmed(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Yes, they are made; or yes, the caution that was just told is understood."""
    return affirmed(setup, session) or conditions_met(setup, session, event)


def affirmed(setup: SessionSetup, session: Session) -> Turn | None:
    """What follows from a yes that only affirms once more what the yes to the offer did."""
    if not session.heeded:
        return None
    ask = Ask(step=session.step, text=setup.book("again.done"))
    return Turn(replace(session, heeded=False), (ask,))


def changes_made(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The changes are told as made before the reading that was asked for with them.

    Where there are none it was read, and not said yet what; what is held while it is read is told
    again.
    """
    if not unmade(setup, session):
        return Turn(session, (Say(step=session.step, text=_what_it_shows(setup, session)),))
    return conditions_met(setup, session, event)


def affirmed_instead(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Yes, where a value is awaited: it is asked for; to who only goes to measure nothing is said.

    He says so in many other words. Who begins with yes while changes are open may wait for more.
    """
    assert isinstance(event, Heard)
    yes = {setup.book.say(Answer("affirm")), setup.book.plain("answer.yes")}
    words = event.words.lower().strip(" .!")
    if words in yes:
        return Turn(session, (Say(step=session.step, text=_what_it_shows(setup, session)),))
    waits = words.partition(" ")[0] in yes and unmade(setup, session)
    awaited = Say(step=session.step, text=setup.book("again.done"))
    return Turn(session, (awaited,) if waits else ())


def _what_it_shows(setup: SessionSetup, session: Session) -> str:
    step = setup.step(session)
    key = "nothing.no_lamp" if step.kind is Kind.LAMP else "nothing.no_value"
    held = asked(session) if step.held else ""
    return f"{setup.book(key)} {held}".rstrip()


def too_early(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """A value came before its caution or its condition was settled: it does not count."""
    assert isinstance(event, Heard)
    first = event.meanings[0]
    meaning = first.meaning if isinstance(first, Correction) else first
    verdict = VerdictGiven(
        step=session.step,
        text=what_comes_first(setup, session),
        reading=show(meaning, setup.step(session), setup.book),
        limit="",
        verdict=Verdict.NOT_VALID.value,
    )
    return Turn(session, (verdict,))


def what_comes_first(setup: SessionSetup, session: Session) -> str:
    """What has to be settled before a value counts."""
    if session.state is State.CAUTION:
        return setup.book("condition.first_caution")
    to_make = setup.book.join("list.and", (n.instruction for n in open_needs(setup, session)))
    return setup.book("condition.first", changes=to_make)
