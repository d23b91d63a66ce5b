"""A question behind words by which one only takes a breath: "hold up, which wire"."""

from collections.abc import Callable

from voiceassist.language.meanings import Command, CommandName
from voiceassist.language.step import StepGrammar
from voiceassist.session.copying import replace
from voiceassist.session.events import Heard, kind_of
from voiceassist.session.table import QUESTIONS

_STAND_BY = (Command(CommandName.STAND_BY),)
#: Words by which one begs to wait, at most.
_MOST_BREATH = 5


def asked_in_haste(
    event: Heard, grammar: StepGrammar, understand: Callable[[Heard], Heard]
) -> Heard:
    """``event``; where it begs to wait and then asks, the question that is understood of it."""
    asked = _behind_a_breath(event.words, grammar) if event.meanings == _STAND_BY else ""
    if not asked:
        return event
    meanings = grammar.parse(asked).meanings
    found = understand(replace(event, words=asked, meanings=meanings, guessed=False))
    answered = found.meanings and kind_of(found) in QUESTIONS
    return replace(found, words=event.words) if answered else event


def _behind_a_breath(words: str, grammar: StepGrammar) -> str:
    said = words.replace(",", " , ").split()
    for end in range(min(_MOST_BREATH, len(said) - 1), 0, -1):
        breath, rest = " ".join(said[:end]), " ".join(said[end:]).removeprefix(", ")
        begs = grammar.manner.asks(rest) and grammar.parse(breath).meanings == _STAND_BY
        if begs and not grammar.is_known_by_a_part(breath):
            return rest
    return ""
