"""A correction: whether it is for the step at hand, or for the one before.

"No, two point five" may put right the value that was just taken, or a stammer at the step that is
asked now. It is for the step at hand when something came between; right after a value it is for
the step where it would pass, unless that turned an earlier verdict, and where that does not tell,
it is asked.
"""

from voiceassist.language.meanings import Meaning, Reading, Spread
from voiceassist.language.phrasebook import capitalised
from voiceassist.procedure.model import Step
from voiceassist.session.actions.enter import not_expected, unmade
from voiceassist.session.actions.revise import (
    ANSWERED,
    can_take,
    in_its_place,
    last_answered,
    reopened,
    replaced,
)
from voiceassist.session.actions.take import judge_and_weigh
from voiceassist.session.copying import replace
from voiceassist.session.events import Event, Heard, meaning_of
from voiceassist.session.judge import fits, passes
from voiceassist.session.outputs import Ask, Output, ReadingTaken, Say
from voiceassist.session.session import Session, SessionSetup, Turn
from voiceassist.session.shown import show, spoken_name
from voiceassist.session.states import State


def correct(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """Another value, for the step at hand or in place of the last one."""
    assert isinstance(event, Heard)
    meaning = meaning_of(event)
    earlier = last_answered(setup, session)
    there = can_take(setup, session, earlier, meaning)
    here = session.state in ANSWERED and fits(setup.step(session), meaning)
    if not there and session.lately and earlier is not None:
        here = here and not fits(setup.step(earlier), meaning)  # it was skipped, and stays so
    if not (here or there):
        return Turn(session, (Say(step=session.step, text=setup.book("nothing.correct")),))
    if not there or earlier is None:
        return _here(setup, session, meaning, event)
    if not here:
        return replaced(setup, session, earlier, meaning, event)
    if session.correcting or not session.lately:
        return _here(setup, session, meaning, event)
    return _either(setup, session, earlier, meaning, event)


def _either(
    setup: SessionSetup, session: Session, earlier: Session, meaning: Meaning, event: Event
) -> Turn:
    """It fits both steps, and no words but questions came since the last value."""
    passes_here = passes(setup, session, meaning)
    meant_there = in_its_place(session, earlier, meaning)
    passes_there = passes(setup, reopened(session, earlier), meant_there)
    if isinstance(meaning, Reading | Spread):
        if (
            _judges(setup.step(earlier))
            and passes_there
            and not passes_here
            and _passed(session, earlier)
        ):
            return replaced(setup, session, earlier, meaning, event)
        if passes_here and not passes_there and not unmade(setup, session):
            return _here(setup, session, meaning, event)
    shown = show(meaning, setup.step(session), setup.book)
    text = setup.book("revise.whose", shown=shown)
    ask = Ask(step=session.step, text=text)
    waiting = replace(session, state=State.WHOSE, pending=(meaning,), resume=session, prompt=(ask,))
    return Turn(waiting, (ask,))


def _passed(session: Session, earlier: Session) -> bool:
    """Whether the value that would be replaced passed: then another that does changes no path."""
    given = session.latest(earlier.step)
    return given is not None and given.passed


def _judges(step: Step) -> bool:
    """Whether a value can fail there; where all are only kept, passing tells nothing."""
    return step.limit is not None or step.table is not None


def of_that_step(setup: SessionSetup, session: Session, event: Event) -> Turn:
    """It was told which of the two steps is meant."""
    name = getattr(meaning_of(event), "name", "")
    at_step, meaning = session.at_step, session.pending[0]
    earlier = last_answered(setup, at_step)
    if name == at_step.step:
        return _here(setup, at_step, meaning, event)
    if earlier is not None and name == earlier.step:
        return replaced(setup, at_step, earlier, meaning, event)
    return not_expected(setup, session, event)


def _here(setup: SessionSetup, session: Session, meaning: Meaning, event: Event) -> Turn:
    """Taken as the value of the step at hand, which is named."""
    turn = judge_and_weigh(setup, session, meaning, event)
    return Turn(turn.session, tuple(_named(setup, session, o) for o in turn.outputs))


def _named(setup: SessionSetup, session: Session, output: Output) -> Output:
    if not isinstance(output, ReadingTaken) or output.step != session.step or output.corrects:
        return output
    step = capitalised(spoken_name(output.step))
    return replace(output, text=setup.book("echo.named", step=step, shown=output.shown))
