"""Whether somebody who has said so much can be done, or may well go on."""

from collections.abc import Iterator

from voiceassist.app.ears.judgement import Judgement
from voiceassist.doubt.policy import Accept
from voiceassist.language.meanings import Answer, Command, Meaning
from voiceassist.language.step import StepGrammar
from voiceassist.language.walking import State

#: More ways to go on than these are not looked at: then he may.
_MOST = 8


def is_complete(words: str, grammar: StepGrammar) -> bool:
    """True when ``words`` are a phrase, and whatever can follow would not change its meaning.

    Nor when it would lead from an answer that is waited for to one that is not: "affirm" is taken
    at once where no reading is to be confirmed by "affirm reading".
    """
    state = grammar.start()
    for word in words.split():
        state = grammar.advance(state, word)
    if not grammar.accepts(state):
        return False
    meanings = grammar.parse(words).meanings
    for count, more in enumerate(_more(state, grammar)):
        longer = grammar.parse(f"{words} {more}").meanings
        meant = longer == meanings or (
            _is_awaited(meanings, grammar) and not _is_awaited(longer, grammar)
        )
        if count >= _MOST or not meant:
            return False
    return True


def _more(state: State, grammar: StepGrammar, said: str = "") -> Iterator[str]:
    """What can be said on from ``state`` to the end of a phrase, shortest first at each turn."""
    for word in sorted(grammar.next_words(state)):
        after = grammar.advance(state, word)
        longer = f"{said} {word}".strip()
        if grammar.accepts(after):
            yield longer
        yield from _more(after, grammar, longer)


def _is_awaited(meanings: tuple[Meaning, ...], grammar: StepGrammar) -> bool:
    awaited = grammar.expectation.awaited
    return bool(meanings) and all(
        isinstance(each, Answer | Command) and each.name in awaited for each in meanings
    )


def is_settled(judgement: Judgement, grammar: StepGrammar) -> bool:
    """True when it is sure what was said, and no word that can follow would change it."""
    if judgement.unfinished:
        return False
    decision = judgement.decided(repr)
    return isinstance(decision, Accept) and is_complete(judgement.words_for(decision.key), grammar)
