"""What is no longer known of the vehicle."""

from collections.abc import Iterable

from voiceassist.procedure.parts.clamp import CLAMP
from voiceassist.procedure.parts.leads import LEADS
from voiceassist.session.copying import replace
from voiceassist.session.outputs import ConditionChange
from voiceassist.session.session import Session

#: The meter is in his hands: he knows where it hangs.
_OF_METER = frozenset({LEADS, CLAMP})


def unknown(session: Session, names: Iterable[str]) -> tuple[ConditionChange, ...]:
    """That the state of each of ``names`` is not known."""
    return tuple(ConditionChange(step=session.step, name=n, state="", met=False) for n in names)


def as_he_left_it(session: Session) -> tuple[Session, tuple[ConditionChange, ...]]:
    """The session once he has worked on the vehicle in his own way, and what is not known now."""
    known = tuple(pair for pair in session.conditions if pair[0] in _OF_METER)
    names = [name for name, _ in session.conditions if name not in _OF_METER]
    return replace(session, conditions=known), unknown(session, names)
