"""How the vehicle is to be left, and what is not so yet."""

from voiceassist.procedure.model import Need
from voiceassist.session.outputs import ConditionChange
from voiceassist.session.plan import in_order
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.states import State


def not_at_rest(setup: SessionSetup, session: Session) -> tuple[Need, ...]:
    """What is to be put back before the job is closed, in a safe order: the last change first.

    What was changed in this job and is not known any more is put back too, so is what was asked
    for and may have been begun, and what was put back on the way with no word that it was.
    """
    procedure = setup.procedure
    begun = _begun(session.undisturbed) | _put_back_unsaid(setup, session)
    known = tuple(pair for pair in session.conditions if pair[0] not in begun)
    moved = [name for name in procedure.at_rest if name in session.touched | begun]
    order = [name for name, _ in session.conditions]
    moved.sort(key=lambda name: order.index(name) if name in order else len(order), reverse=True)
    wanted = [_need(setup, name) for name in moved]
    return in_order(wanted, known, procedure.before_changing)


def _begun(session: Session) -> set[str]:
    """Conditions whose change is asked for at the step under way, and not told as made."""
    if session.state in {State.AFTER, State.RETRY}:
        return set()
    asked = [o for o in session.prompt if isinstance(o, ConditionChange) and not o.met]
    return {change.name for change in asked if session.condition(change.name) != change.state}


def _put_back_unsaid(setup: SessionSetup, session: Session) -> set[str]:
    """Conditions that a reading was taken in another state of, and that nobody told as put back."""
    rest = setup.procedure.at_rest
    taken = [pair for result in session.ledger for pair in result.conditions]
    moved = {name for name, state in taken if rest.get(name, state) != state}
    return moved & session.unsaid


def _need(setup: SessionSetup, name: str) -> Need:
    state = setup.procedure.at_rest[name]
    return Need(name, state, setup.procedure.conditions[name][state])
