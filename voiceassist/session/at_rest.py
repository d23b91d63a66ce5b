"""How the vehicle is to be left, and what is not so yet."""

from voiceassist.procedure.model import Need
from voiceassist.session.plan import in_order
from voiceassist.session.session import Desk, Session


def not_at_rest(desk: Desk, session: Session) -> tuple[Need, ...]:
    """What is to be put back before the job is closed, in a safe order: the last change first.

    What was changed in this job and is not known any more is put back too.
    """
    procedure = desk.procedure
    moved = [name for name in procedure.at_rest if name in session.touched]
    order = [name for name, _ in session.conditions]
    moved.sort(key=lambda name: order.index(name) if name in order else -1, reverse=True)
    wanted = [_need(desk, name) for name in moved]
    return in_order(wanted, session.conditions, procedure.before_changing)


def _need(desk: Desk, name: str) -> Need:
    state = desk.procedure.at_rest[name]
    return Need(name, state, desk.procedure.conditions[name][state])
