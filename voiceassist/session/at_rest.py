"""How the vehicle is to be left, and what is not so yet."""

from voiceassist.procedure.model import Need
from voiceassist.session.outputs import ConditionChange
from voiceassist.session.plan import in_order
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.states import State


def not_at_rest(setup: SessionSetup, session: Session) -> tuple[Need, ...]:
    """What is to be put back before the job is closed, in a safe order: the last change first.

    What was changed in this job and is not known any more is put back too, and so is what was
    asked for and may have been begun.
    """
    procedure = setup.procedure
    begun = _begun(session.undisturbed)
    known = tuple(pair for pair in session.conditions if pair[0] not in begun)
    moved = [name for name in procedure.at_rest if name in session.touched | begun]
    order = [name for name, _ in session.conditions]
    moved.sort(key=lambda name: order.index(name) if name in order else len(order), reverse=True)
    wanted = [_need(setup, name) for name in moved]
    return in_order(wanted, known, procedure.before_changing)


def _begun(session: Session) -> set[str]:
    """Conditions whose change is asked for at the step under way, and not told as made."""
    if session.state in {State.AFTER, State.OFFER, State.RETRY}:
        return set()
    return {o.name for o in session.prompt if isinstance(o, ConditionChange) and not o.met}


def _need(setup: SessionSetup, name: str) -> Need:
    state = setup.procedure.at_rest[name]
    return Need(name, state, setup.procedure.conditions[name][state])
