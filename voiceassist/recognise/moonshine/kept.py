"""The automata of the step grammars met lately, for steps come again."""

import re
from collections import OrderedDict
from typing import cast

from voiceassist.errors import RecogniseError
from voiceassist.recognise.base import Grammar
from voiceassist.recognise.graph import Stepping
from voiceassist.recognise.moonshine.automaton import Automaton
from voiceassist.recognise.moonshine.tokens import Tokens

_MOST = 32
_ENGLISH = re.compile(r"[a-z'-]+")
_NAMED = 5


class Kept:
    """Gives the automaton of a grammar: at once for one it has given before, or for an equal one
    after writing it as JSGF.

    Args:
        tokens: of the model.
    """

    def __init__(self, tokens: Tokens) -> None:
        self._tokens = tokens
        self._by_text: OrderedDict[str, Automaton] = OrderedDict()
        #: The grammar is kept too, so that no other can get its identity.
        self._by_identity: OrderedDict[int, tuple[Grammar, Automaton]] = OrderedDict()

    def automaton(self, grammar: Grammar) -> Automaton:
        """The automaton of ``grammar``.

        Raises:
            RecogniseError: words that are not English, named.
            TypeError: the grammar cannot be stepped through word by word.
        """
        known = self._by_identity.get(id(grammar))
        if known is not None:
            return known[1]
        text = grammar.jsgf()
        if text not in self._by_text:
            _check(grammar.words())
            self._by_text[text] = Automaton(_stepping(grammar), self._tokens)
        automaton = self._by_text[text]
        self._by_text.move_to_end(text)
        self._by_identity[id(grammar)] = grammar, automaton
        for kept in (self._by_text, self._by_identity):
            if len(kept) > _MOST:
                kept.popitem(last=False)
        return automaton


def _check(words: frozenset[str]) -> None:
    strange = sorted(word for word in words if not _ENGLISH.fullmatch(word))
    if strange:
        raise RecogniseError(
            "the listener moonshine hears English only, not "
            + ", ".join(repr(word) for word in strange[:_NAMED]),
            remedy="choose another listener, or write the words with the letters a to z",
        )


def _stepping(grammar: Grammar) -> Stepping:
    missing = [n for n in ("start", "advance", "next_words", "accepts") if not hasattr(grammar, n)]
    if missing:
        raise TypeError(f"a grammar without {', '.join(missing)} cannot be stepped through")
    return cast(Stepping, grammar)
