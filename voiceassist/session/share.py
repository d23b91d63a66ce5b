"""How much less likely something is to have been said than its sound and its step tell."""

from collections.abc import Sequence

from voiceassist.language.meanings import Answer, Correction, Lamp, Meaning, OverRange, Reading
from voiceassist.session.actions.confirm import same_value
from voiceassist.session.actions.revise import last_answered
from voiceassist.session.copying import replace
from voiceassist.session.judge import fits, passes
from voiceassist.session.long_numbers import is_longer_than_shown
from voiceassist.session.next_action import next_action
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.states import State

#: A reading that the step rules out, that no meter shows, or that corrects nothing.
_RULED_OUT = 0.001
#: A reading that would pass in the unit of the step, told in another unit: a fault hardly ever
#: shows the very digits that are good, and units are misheard more often than digits.
_SAME_DIGITS = 0.05
#: Asked which of two values it was, one says one of these; in a few of a hundred answers a third.
_NOT_ASKED = 0.05
_VALUES = (Reading, OverRange, Lamp)


def share(setup: SessionSetup, session: Session, meanings: Sequence[Meaning]) -> float:
    """How much of its probability is left of what ``session`` makes rare, up to 1."""
    meaning = meanings[0]
    if len(meanings) != 1 or not isinstance(meaning, (*_VALUES, Correction)):
        return 1.0
    ruled_out = next_action(setup, session, meanings) == "not here"
    if isinstance(meaning, Correction):
        return _RULED_OUT if ruled_out or _stands(setup, session, meaning) else 1.0
    if ruled_out or is_longer_than_shown(session, meaning):
        return _RULED_OUT
    if isinstance(meaning, Reading) and _has_good_digits(setup, session.at_step, meaning):
        return _SAME_DIGITS
    asked = session.state is State.WHICH and isinstance(session.pending[0], _VALUES)
    return _NOT_ASKED if asked and not _is_asked(setup, session, meaning) else 1.0


def answers(setup: SessionSetup, session: Session, meanings: Sequence[Meaning]) -> bool:
    """Whether it is one of the answers to a question that waits for one."""
    waits = session.state in {State.ASK, State.WHICH} and len(meanings) == 1
    return waits and isinstance(meanings[0], Answer) and fits(setup.step(session), meanings[0])


def _is_asked(setup: SessionSetup, session: Session, meaning: Meaning) -> bool:
    return any(same_value(setup, session, meaning, pending) for pending in session.pending)


def _has_good_digits(setup: SessionSetup, at_step: Session, said: Reading) -> bool:
    """Whether it would pass in the unit of the step, and does not in its own."""
    step = setup.step(at_step)
    other = said.unit is not None and step.unit is not None and said.unit != step.unit
    if not other or not fits(step, said):
        return False
    own = passes(setup, at_step, said)
    return not own and passes(setup, at_step, replace(said, unit=step.unit))


def _stands(setup: SessionSetup, session: Session, said: Correction) -> bool:
    """Whether the value that it would replace is the same."""
    earlier = last_answered(setup, session)
    if said.of or earlier is None or not isinstance(said.meaning, _VALUES):
        return False
    given = session.latest(earlier.step)
    stands = given.meaning if given is not None else None
    return stands is not None and same_value(setup, earlier, said.meaning, stands)
