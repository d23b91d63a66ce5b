"""An offer that holds the first turn of the repair: its cautions, or the whole of a short one."""

from voiceassist.session.outputs import Ask, CautionSpoken, ConditionChange, Output
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.states import State


def warns(session: Session) -> bool:
    """True where a yes to the offer says as well that its cautions are understood."""
    waits = any(isinstance(o, CautionSpoken) and o.acknowledge for o in session.prompt)
    return session.state is State.OFFER and waits


def tells_repair(setup: SessionSetup, session: Session) -> bool:
    """True where the offer has told all that is to be done, so that it may be told as done."""
    told = any(isinstance(o, Ask) and o.step in setup.procedure.repairs for o in session.prompt)
    return session.state is State.OFFER and told


def holds(setup: SessionSetup, session: Session, first: Turn) -> bool:
    """Whether all of the repair's ``first`` turn was told with the offer that waits.

    The vehicle may have been changed since then, which asks for more.
    """
    led = warns(session), tells_repair(setup, session)
    wanted = first.session.state is State.CAUTION, first.session.state is State.DO
    return any(led) and led == wanted and _told(first.session.prompt) <= _told(session.prompt)


def _told(outputs: tuple[Output, ...]) -> set[tuple[str, str]]:
    """The changes in it, and the cautions that wait to be understood."""
    cautions = {(o.name, "") for o in outputs if isinstance(o, CautionSpoken) and o.acknowledge}
    return cautions | {(o.name, o.state) for o in outputs if isinstance(o, ConditionChange)}
