"""A value that is told by the name of another step than the one at hand, or before it counts."""

from voiceassist.language.meanings import Command, CommandName, Correction, Meaning, Reading
from voiceassist.language.step import StepGrammar
from voiceassist.session.copying import replace
from voiceassist.session.events import Heard
from voiceassist.session.naming import UNASKED, is_of_step
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.states import State

#: There a value of the step at hand is told too early, and it is said what comes first.
_EARLY = frozenset({State.CAUTION, State.CONDITION, State.WAIT})
#: There it is asked which step a value is of.
_ASKED = frozenset({State.WHOSE, State.CARRIED})
#: There a value is asked about, which is told anew by its own words.
_AGAIN = frozenset({State.CONFIRM, State.WHICH, State.FORGOTTEN})


def told_by_name(
    event: Heard, grammar: StepGrammar, setup: SessionSetup, session: Session
) -> Heard:
    """``event``; a value of another step is noted, and is never one of the step at hand."""
    at = session.at_step if session.state in {State.MEANT, *_AGAIN} else session
    if (
        session.state in _ASKED
        or not _may_be_value(event, session)
        or _is_spoken_of(event.words, grammar)
    ):
        return event
    named = grammar.numbers.values_of(event.words)
    numbers = grammar.numbers.told_in(event.words) if named else ()
    if not numbers:
        return event
    step = setup.step(at)
    if any(is_of_step(step, name) for name in named):
        return _with(event, numbers[0]) if at.state in _EARLY and not event.meanings else event
    return _with(event, Command(CommandName.NOTE, about=f"{UNASKED}{named[0]}"))


def _may_be_value(event: Heard, session: Session) -> bool:
    """Whether nothing but a value was made of it, or nothing at all.

    In place of a value that is asked about it is read as one that puts that right.
    """
    made = event.meanings or ((event.guess,) if event.guess is not None else ())
    if session.state in _AGAIN:
        made = tuple(m.meaning if isinstance(m, Correction) and not m.of else m for m in made)
    return all(isinstance(one, Reading) for one in made)


def _is_spoken_of(words: str, grammar: StepGrammar) -> bool:
    return (
        grammar.manner.asks(words)
        or grammar.manner.is_aside(words)
        or grammar.numbers.count_only(words)
    )


def _with(event: Heard, meaning: Meaning) -> Heard:
    return replace(event, meanings=(meaning,), guess=None, guessed=True, doubtful=False)
