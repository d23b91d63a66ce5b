"""A state of the vehicle told as an answer: to the question after it, or by itself."""

from collections.abc import Mapping

from voiceassist.language.meanings import Answer, Command, CommandName, Meaning
from voiceassist.language.step import StepGrammar
from voiceassist.session.actions.enter import open_changes
from voiceassist.session.actions.forgotten import asked_about
from voiceassist.session.copying import replace
from voiceassist.session.events import Heard
from voiceassist.session.naming import IN_STATE, told_by
from voiceassist.session.session import Session, SessionSetup

DONE, AFFIRM, NEGATIVE = (Answer(name) for name in ("done", "affirm", "negative"))

#: So many changes beside those that are told may be meant by a guess that all is done.
MOST_UNTOLD = 1


def command_of(name: str, state: str) -> Command:
    """What tells that the condition ``name`` is in ``state``."""
    return Command(CommandName.FORGOT, about=f"{name}{IN_STATE}{state}")


def of_what_is_asked(
    event: Heard,
    grammar: StepGrammar,
    setup: SessionSetup,
    at: Session,
    named: Mapping[str, Command],
) -> Heard:
    """Whether something was forgotten, answered by its state: "plug's out yeah".

    Without a word of yes it may have been done just now. The state of another thing is no answer.
    """
    asked = {need.condition: need.state for need in asked_about(setup, at)}
    told = {name: one.about.split(IN_STATE)[1] for name, one in named.items() if name in asked}
    if not named or not may_be_states(event):
        return event
    if any(asked[name] != state for name, state in told.items()):
        others = tuple(named[name] for name, state in told.items() if asked[name] != state)
        return replace(event, meanings=others[:1], guess=None, guessed=False)
    if told == asked:
        answer = AFFIRM if grammar.answers.affirms(event.words) else DONE
        return replace(event, meanings=(answer,), guess=None, guessed=False)
    return replace(event, meanings=(), guess=AFFIRM, guessed=False)


def told_alone(event: Heard, setup: SessionSetup, at: Session, left: str) -> Heard:
    """``event`` whose words tell a state by itself, "right that's off", where that is awaited.

    As with other words it may go for one more change; of several others it tells nothing.
    """
    changes = open_changes(setup, at)
    so = [change for change in changes if left in told_by(change.state)]
    if event.meanings or event.guess != DONE or not so:
        return event
    if len(changes) - len(so) <= MOST_UNTOLD:
        return replace(event, meanings=(DONE,), guess=None)
    if len(so) > 1:
        return event
    return replace(event, meanings=(command_of(so[0].name, so[0].state),), guess=None)


def may_be_states(event: Heard) -> bool:
    """Whether no more was made of the words than that something is done, not done, or forgotten."""
    made = event.meanings or ((event.guess,) if event.guess is not None else ())
    return all(_is_word_of_changes(one) for one in made)


def _is_word_of_changes(meaning: Meaning) -> bool:
    return is_forgot(meaning) or meaning in (DONE, AFFIRM, NEGATIVE)


def is_forgot(meaning: Meaning) -> bool:
    """Whether it tells that something was forgotten, or a state."""
    return isinstance(meaning, Command) and meaning.name == CommandName.FORGOT
