"""Words by their letters, as a tree whose states a search may stand in.

Beside the words of the tree any letters may follow one another, at a price: so a word that is not
in it is written as it sounds, and not as one that it is not.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voiceassist.recognise.ear.automaton import Backward, backward
from voiceassist.recognise.ear.shape import BLANK, NUMBERS, SIGNS
from voiceassist.recognise.ear.word_rows import WordRows

Singles = NDArray[np.float32]

#: Before the first letter, and behind the space between two words.
START, SPACE = 0, 1
#: The number of a word that is not in the tree.
UNKNOWN = -1
#: The sign between words.
BETWEEN = NUMBERS[" "]
#: How much the rows of words count beside the sound.
_ROWS = 0.6
#: The chance that a word is unknown, and that of one more letter of it.
_STRANGE, _LETTER = 0.012, 1 / 60


@dataclass(frozen=True, slots=True)
class PricedWays:
    """The ways on from each state in arrays, for sums that run backward.

    Parts:
        signs: the sign that enters each state.
        on: where they lead; those of a state with one way cost nothing.
        price: of each of ``on.ways``.
        same_price: of each of ``on.same``.
        whole: how likely the word is that ends at each state, by itself.
    """

    signs: NDArray[np.intp]
    on: Backward
    price: Singles
    same_price: Singles
    whole: Singles


class Lexicon:
    """The words of ``rows`` by their letters.

    Parts:
        signs: the sign that enters each state.
        following: of each state, the state that each sign leads to inside a word.
        word: the number of the word that ends at each state; None where none does.
        strange: the first state of unknown words; all behind it are theirs.
    """

    def __init__(self, rows: WordRows) -> None:
        self.rows = rows
        self.signs = [BLANK, BETWEEN]
        self.following: list[dict[int, int]] = [{}, {}]
        self.word: list[int | None] = [None, None]
        for number, word in enumerate(rows.words):
            if set(word) <= NUMBERS.keys() - {" "}:
                self._add(word, number)
        self.following[SPACE] = self.following[START]
        self.strange = len(self.signs)
        self.letters = {sign: self._new(sign) for sign in range(BETWEEN + 1, len(SIGNS))}
        for state in self.letters.values():
            self.word[state] = UNKNOWN
        self.ways = self._ways()

    def _add(self, word: str, number: int) -> None:
        state = START
        for letter in word:
            sign = NUMBERS[letter]
            if sign not in self.following[state]:
                self.following[state][sign] = self._new(sign)
            state = self.following[state][sign]
        self.word[state] = number

    def _new(self, sign: int) -> int:
        self.signs.append(sign)
        self.following.append({})
        self.word.append(None)
        return len(self.signs) - 1

    def chance(self, before: tuple[int, ...], word: int) -> float:
        """How much a word behind others is worth beside the sound."""
        worth = _STRANGE if word == UNKNOWN else self.rows.chance(before, word)
        return float(worth**_ROWS)

    def onward(self, state: int, sign: int) -> list[tuple[int, float]]:
        """The states that one more letter leads to, each with its price."""
        found = []
        if state < self.strange and sign in self.following[state]:
            found.append((self.following[state][sign], 1.0))
        if state <= SPACE or state >= self.strange:
            found.append((self.letters[sign], _LETTER))
        return found

    def _ways(self) -> PricedWays:
        signs = range(BETWEEN + 1, len(SIGNS))
        ways = [
            [on for sign in signs for on, _ in self.onward(state, sign)]
            for state in range(len(self.signs))
        ]
        on = backward(self.signs, ways)
        price = np.where(np.arange(len(self.signs)) < self.strange, 1, _LETTER).astype(np.float32)
        whole = [0.0 if word is None else self.chance((), word) for word in self.word]
        return PricedWays(
            np.array(self.signs, np.intp),
            on,
            price[on.ways],
            price[on.same],
            np.array(whole, np.float32),
        )
