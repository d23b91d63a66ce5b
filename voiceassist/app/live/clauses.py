"""What is typed in several clauses, of which one alone says what is meant."""

from collections.abc import Sequence

from voiceassist.app.live.answer_taken_back import topic_of
from voiceassist.app.live.as_told import as_told
from voiceassist.language.meanings import Answer, Command, CommandName, Meaning
from voiceassist.language.step import StepGrammar
from voiceassist.session.events import Heard
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.states import State

_BACK = Command(CommandName.GO_AHEAD)
_DONE, _YES, _NO = Answer("done"), Answer("affirm"), Answer("negative")
#: Where all that is asked for is told by that it is done.
_DOING = frozenset({State.DO, State.CONDITION, State.AFTER, State.PUT_BACK, State.TO_PARK})


def by_clause(event: Heard, grammar: StepGrammar, setup: SessionSetup, session: Session) -> Heard:
    """``event`` as what one clause of it plainly says, where the whole was not understood.

    A question that one clause asks; that he is back, or that it is done, at the end; yes or no at
    the beginning of an answer, where nothing behind it takes that back.
    """
    if not event.certain or _is_settled(event, grammar):
        return event
    told = [_plainly(clause.strip(), grammar) for clause in event.words.split(",")]
    topic = topic_of(setup.step(session)) if session.state is State.ASK else ""
    meant: Meaning | None = _at_first(event, grammar, topic) if topic else None
    if len(told) > 1:
        meant = _question(told) or _at_the_end(told, event, grammar, session) or meant
    return event if meant is None else as_told(event, meant)


def _plainly(clause: str, grammar: StepGrammar) -> Meaning | None:
    """What a whole clause means, if that is one thing."""
    told = () if grammar.is_known_by_a_part(clause) else grammar.parse(clause).meanings
    return told[0] if len(told) == 1 else None


def _is_settled(event: Heard, grammar: StepGrammar) -> bool:
    if not event.meanings:
        return False
    first = event.meanings[0]
    work = isinstance(first, Command) and first.name == CommandName.FOUND
    return work or bool(grammar.parse_strictly(event.words).meanings)


def _question(told: Sequence[Meaning | None]) -> Command | None:
    """What a clause asks about something that it names."""
    asked = (one for one in told if isinstance(one, Command))
    named = {CommandName.HOW, CommandName.WHY}
    return next(
        (
            one
            for one in asked
            if (one.about and one.name in named) or one.name == CommandName.LIMIT
        ),
        None,
    )


def _at_the_end(
    told: Sequence[Meaning | None], event: Heard, grammar: StepGrammar, session: Session
) -> Meaning | None:
    """That he is back, that all is done, or that he has understood, behind what he tells of it."""
    last = told[-1]
    if session.state is State.STAND_BY:
        return last if last == _BACK else None
    if last == Command(CommandName.STAND_BY):
        return None if event.meanings else last
    if session.state is State.CAUTION:
        taken_back = grammar.answers.reserves(event.words) or grammar.answers.denies(event.words)
        heeded = last == _YES and not (taken_back or grammar.numbers.told_in(event.words))
        return last if heeded else None
    doing = session.state in _DOING and last == _DONE and not event.meanings
    return last if doing and not grammar.repairs.leaves_undone(event.words) else None


def _at_first(event: Heard, grammar: StepGrammar, topic: str) -> Answer | None:
    """The yes or no by which an answer begins, and which the rest of it does not take back.

    The rest speaks of the topic; else it may be said to others: "yes, two teas". A cry of danger
    may begin with no.
    """
    if (event.meanings and not event.guessed) or isinstance(event.guess, Command):
        return None
    first, _, rest = event.words.partition(" ")
    answer = grammar.parse_strictly(first.strip(",")).meanings
    if answer not in {(_YES,), (_NO,)} or not grammar.loose.shares(rest, topic):
        return None
    if grammar.manner.asks(rest) or grammar.answers.reserves(rest):
        return None
    if answer == (_NO,):  # "no bother turning it" is a yes
        return _NO if event.guess == _NO else None
    return None if grammar.answers.denies(rest) else _YES
