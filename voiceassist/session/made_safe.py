"""What is turned off before somebody puts right in his own way what was found."""

from voiceassist.language.phrasebook import capitalised
from voiceassist.session.at_rest import not_at_rest
from voiceassist.session.outputs import Say
from voiceassist.session.session import Session, SessionSetup

_OFF = "off"


def made_safe(setup: SessionSetup, session: Session) -> tuple[Say, ...]:
    """What is still on is to be off; where he is sent to a wire, the minus clamp as well."""
    correction = setup.procedure.findings[session.finding].correction
    live = {*setup.book.plain("finding.live_words").split(", ")} & {*correction.split()}
    off = [need.instruction for need in not_at_rest(setup, session) if need.state == _OFF]
    first = [setup.book("finding.first", changes=setup.book.join("list.and", off))] if off else []
    dead = [setup.book("finding.dead")] if live else []
    text = " ".join(map(capitalised, (*first, *dead)))
    return (Say(step=session.step, text=text),) if text else ()
