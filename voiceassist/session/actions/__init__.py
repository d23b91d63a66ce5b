"""What the table of states calls: one function an action, all of one shape."""

from collections.abc import Callable

from voiceassist.session.actions import (
    asked,
    asked_after,
    back,
    closing_up,
    confirm,
    enter,
    facts,
    finding,
    forgotten,
    inform,
    meant,
    revise,
    spoken,
    sweep,
    take,
    vehicle,
    waiting,
    whose,
    work,
)
from voiceassist.session.events import Event
from voiceassist.session.session import Desk, Session, Turn

Action = Callable[[Desk, Session, Event], Turn]

_MODULES = (
    *(asked, asked_after, back, closing_up, confirm, enter, facts, finding, forgotten, inform),
    *(meant, revise, spoken, sweep, take, vehicle, waiting, whose, work),
)


def action(name: str) -> Action:
    """The action called ``name`` in the table; KeyError when there is none."""
    for module in _MODULES:
        if name in vars(module):
            found: Action = vars(module)[name]
            return found
    raise KeyError(name)
