"""What is said to a repair that is offered, and to a proof that failed."""

from voiceassist.session.actions.closing_up import conclude
from voiceassist.session.actions.enter import asked
from voiceassist.session.actions.finding import back_in_diagnosis, go, prove, start_repairing
from voiceassist.session.actions.made_ready import understood
from voiceassist.session.copying import replace
from voiceassist.session.events import Event, Heard
from voiceassist.session.offered import holds, tells_repair
from voiceassist.session.outputs import Ask, CautionSpoken, FindingWithdrawn, Output, Say
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.unknown import as_he_left_it


def start_repair(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The technician wants to be guided through the repair, or has put it right by himself."""
    if setup.procedure.findings[session.finding].repair:
        return start_repairing(setup, session)
    left, forgotten = as_he_left_it(session)
    return Turn(left, forgotten).then(start_repairing(setup, left))


def accept_repair(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Yes to the offer: what was told with it is understood, and is not told again.

    Lighter cautions are told now, before what they guard.
    """
    first = start_repair(setup, session, event)
    if not holds(setup, session, first):
        return first
    if not tells_repair(setup, session):
        cautions = [o for o in first.outputs if isinstance(o, CautionSpoken)]
        lighter = tuple(o for o in cautions if not o.acknowledge)
        names = [o.name for o in cautions if o.acknowledge]
        heeded = replace(first.session, heeded=True)
        return Turn(heeded, lighter).then(understood(setup, heeded, names))
    ask = Ask(step=first.session.step, text=setup.book("again.done"))
    return Turn(first.session, (ask,))


def leave_repair(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The finding is enough for now; what would put it right is told before the end.

    Who says that it is not done yet is still at it.
    """
    finding = setup.procedure.findings[session.finding]
    told = tells_repair(setup, session) or not finding.repair
    if told and _still_at_it(setup, event):
        text = setup.book("finding.at_work", prompt=asked(session))
        return Turn(session, (Say(step=session.step, text=text),))
    if not finding.repair:  # told with the finding
        return conclude(setup, session, "found", *_says(session))
    said = Say(text=setup.book("finding.correction", correction=finding.correction))
    return Turn(session, (said,)).then(conclude(setup, session, "found", *_says(session), said))


def _still_at_it(setup: SessionSetup, event: Event) -> bool:
    words = (
        f" {' '.join(event.words.lower().replace(',', ' ').split())} "
        if isinstance(event, Heard)
        else ""
    )
    ways = setup.book.plain("finding.at_work_words").split(", ")
    return any(f" {way} " in words for way in ways)


def _says(session: Session) -> list[Output]:
    """What was told before the question that waits."""
    return [output for output in session.prompt if isinstance(output, Say)]


def prove_again(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Take the whole proof once more."""
    return prove(setup, session)


def is_over(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """A value where the proof has failed: whether it is a new one or the old one is not known."""
    text = setup.book("finding.over", prompt=asked(session))
    return Turn(session, (Say(step=session.step, text=text),))


def look_further(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """The repair did not help: on with the diagnosis, from the reading that is still not right."""
    withdrawn = (FindingWithdrawn(name=session.finding),) if session.finding else ()
    looking = replace(back_in_diagnosis(session.settled), acknowledged=frozenset())
    return Turn(looking, withdrawn).then(go(setup, looking, session.astray))
