"""The automata of the step grammars met lately, for steps come again."""

from collections import OrderedDict
from collections.abc import Sequence
from typing import cast

from voiceassist.errors import RecogniseError
from voiceassist.recognise.base import ListenerGrammar
from voiceassist.recognise.ear.automaton import (
    Automaton,
    automaton_of,
    beginnings,
    choice_of,
    spellings,
)
from voiceassist.recognise.ear.shape import NUMBERS
from voiceassist.recognise.graph import Stepping, Steps, Talking, graph_of

_MOST = 64
_NAMED = 5
#: Ways of saying are the same wherever the same is awaited; some thousand states each.
_MOST_TALK = 12
#: How much less any of them weighs than a phrase of the step's own: an estimate, so low that a
#: noisy phrase of the step's own does not lose to one of them.
_OTHERWISE = 0.01


_Key = tuple[tuple[int, float], ...]


class AutomatonCache:
    """Gives the automaton of a grammar: at once for one it has given before, or for an equal one
    after writing it as JSGF.
    """

    def __init__(self) -> None:
        self._talk: OrderedDict[_Key, Automaton] = OrderedDict()
        self._parts: dict[int, tuple[Steps, Automaton]] = {}
        self._begun: OrderedDict[int, tuple[Automaton, Automaton]] = OrderedDict()
        self._by_text: OrderedDict[str, Automaton] = OrderedDict()
        #: The grammar is kept too, so that no other can get its identity.
        self._by_identity: OrderedDict[int, tuple[ListenerGrammar, Automaton]] = OrderedDict()

    def automaton(self, grammar: ListenerGrammar) -> Automaton:
        """The automaton of ``grammar``.

        Raises:
            RecogniseError: words that are not written with the letters a to z, named; or a
                grammar with too many ways to speak.
            TypeError: the grammar cannot be stepped through word by word.
        """
        known = self._by_identity.get(id(grammar))
        return known[1] if known is not None else self._compiled(grammar)

    def beginnings(self, grammar: ListenerGrammar) -> Automaton:
        """The beginnings of its phrases that end with a word and are no phrases themselves."""
        automaton = self.automaton(grammar)
        known = self._begun.get(id(automaton))
        if known is None:
            known = self._begun[id(automaton)] = automaton, beginnings(automaton)
            if len(self._begun) > _MOST:
                self._begun.popitem(last=False)
        return known[1]

    def talk(self, grammar: ListenerGrammar) -> Automaton | None:
        """The other ways of saying that stand beside ``grammar``; None where there are none."""
        if not isinstance(grammar, Talking):
            return None
        parts = grammar.talk()
        key = _key(parts)
        if key not in self._talk:
            self._talk[key] = choice_of(
                [(self._part(each), _OTHERWISE * share) for each, share in parts]
            )
        self._talk.move_to_end(key)
        if len(self._talk) > _MOST_TALK:
            self._talk.popitem(last=False)
        return self._talk[key] if parts else None

    def compile_some(self, grammar: ListenerGrammar) -> bool:
        """Compile a part of what is asked for later; False when nothing is left.

        Raises:
            RecogniseError, TypeError: as ``automaton`` does.
        """
        if id(grammar) not in self._by_identity:
            self.automaton(grammar)
        elif isinstance(grammar, Talking):
            parts = grammar.talk()
            left = next((each for each, _ in parts if id(each) not in self._parts), None)
            if left is not None:
                self._part(left)
            elif _key(parts) not in self._talk:
                self.talk(grammar)
            else:
                return False
        else:
            return False
        return True

    def _part(self, steps: Steps) -> Automaton:
        known = self._parts.get(id(steps))
        if known is None:
            known = self._parts[id(steps)] = steps, automaton_of(graph_of(steps))
        return known[1]

    def _compiled(self, grammar: ListenerGrammar) -> Automaton:
        text = grammar.jsgf()
        automaton = self._by_text.get(text)
        if automaton is None:
            _check(grammar.words())
            automaton = self._by_text[text] = automaton_of(graph_of(_stepping(grammar)))
        self._by_text.move_to_end(text)
        self._by_identity[id(grammar)] = grammar, automaton
        for kept in (self._by_text, self._by_identity):
            if len(kept) > _MOST:
                kept.popitem(last=False)
        return automaton


def _key(parts: Sequence[tuple[Steps, float]]) -> _Key:
    return tuple((id(steps), share) for steps, share in parts)


def _check(words: frozenset[str]) -> None:
    strange = sorted(word for word in words if not set("".join(spellings(word))) <= NUMBERS.keys())
    if strange:
        raise RecogniseError(
            "the listener ear hears English only, not "
            + ", ".join(repr(word) for word in strange[:_NAMED]),
            remedy="choose another listener, or write the words with the letters a to z",
        )


def _stepping(grammar: ListenerGrammar) -> Stepping:
    missing = [n for n in ("start", "advance", "next_words", "accepts") if not hasattr(grammar, n)]
    if missing:
        raise TypeError(f"a grammar without {', '.join(missing)} cannot be stepped through")
    return cast(Stepping, grammar)
