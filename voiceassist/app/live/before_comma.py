"""The word that is awaited, typed before a comma."""

from voiceassist.language.meanings import Answer, Command, CommandName
from voiceassist.language.step import StepGrammar
from voiceassist.session.session import Session
from voiceassist.session.states import State

#: What he asks who has done it: "old one's out, what now".
_WHAT_NOW = Command(CommandName.NEXT)
#: A word is awaited there that what has to be done first is done or understood.
_SET_TO_WORK = frozenset({State.CAUTION, State.CONDITION, State.DO})


def told_first(words: str, grammar: StepGrammar, session: Session) -> Answer | None:
    """The word that is awaited, typed before a comma, when nothing behind that speaks against it.

    "Done, engine's off and the lamps are on"; what answers a question is never taken so, nor is a
    caution understood by who takes something back, or is at a value already.
    """
    first, comma, rest = words.partition(",")
    if not comma or session.state not in _SET_TO_WORK:
        return None
    told = () if grammar.is_known_by_a_part(first) else grammar.parse(first).meanings
    if len(told) != 1:
        return None
    answer = told[0]
    if not isinstance(answer, Answer) or answer.name not in grammar.expectation.awaited:
        return None
    if grammar.parse(rest).meanings == (_WHAT_NOW,):
        return answer
    other = (
        grammar.answers.denies(rest) or grammar.manner.asks(rest) or grammar.manner.is_aside(rest)
    )
    other = other or (session.state is State.CAUTION and grammar.answers.reserves(rest))
    other = other or (bool(grammar.numbers.told_in(rest)) and not grammar.numbers.count_only(rest))
    return None if other or set(grammar.parse(rest).meanings) - {answer} else answer


def told_twice(words: str, grammar: StepGrammar, session: Session) -> Answer | None:
    """The answer to a question, typed before a comma and again in its own words: "no, petrol"."""
    first, comma, rest = words.partition(",")
    if not comma or session.state is not State.ASK:
        return None
    told = grammar.parse_strictly(first).meanings
    same = told == grammar.parse_strictly(rest).meanings
    return told[0] if same and len(told) == 1 and isinstance(told[0], Answer) else None
