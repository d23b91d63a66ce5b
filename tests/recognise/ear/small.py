"""Small grammars and random sounds for the tests of the ear."""

import numpy as np
from numpy.typing import NDArray

from voiceassist.recognise.ear.shape import SIGNS
from voiceassist.recognise.graph import WordGraph

Doubles = NDArray[np.float64]


def graph(*phrases: str) -> WordGraph:
    """A graph that holds just these phrases, with a tree of words."""
    arcs: list[dict[str, int]] = [{}]
    ends = set()
    for phrase in phrases:
        state = 0
        for word in phrase.split():
            if word not in arcs[state]:
                arcs[state][word] = len(arcs)
                arcs.append({})
            state = arcs[state][word]
        ends.add(state)
    return WordGraph(tuple(arcs), frozenset(ends))


def chances(moments: int, seed: int, sharp: float = 1.0) -> Doubles:
    """Log probabilities of the signs at so many moments."""
    rows = np.random.default_rng(seed).standard_normal((moments, len(SIGNS))) * sharp
    logs: Doubles = rows - np.log(np.exp(rows).sum(axis=1, keepdims=True))
    return logs


def written(text: str, seed: int = 0, sharp: float = 8.0, moments: int = 2) -> Doubles:
    """A sound in which ``text`` is rather clear, each letter for so many moments, then a blank."""
    signs = [SIGNS.index(sign) for letter in text for sign in (*[letter] * moments, "_")]
    rows = np.random.default_rng(seed).standard_normal((len(signs), len(SIGNS)))
    rows[np.arange(len(signs)), signs] += sharp
    logs: Doubles = rows - np.log(np.exp(rows).sum(axis=1, keepdims=True))
    return logs
