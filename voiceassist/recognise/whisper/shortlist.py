"""The tokens that are looked at for one grammar: those that spell its words, and common ones.

Nearly all the work of the decoder is to score fifty thousand tokens. The common ones, which are
the first in the vocabulary, hold nearly all the probability that the grammar's own leave; the
rest is left out.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from voiceassist.recognise.moonshine.tokens import END, Tokens, folded
from voiceassist.recognise.whisper.decoder import Whole
from voiceassist.recognise.whisper.vocabulary import Vocabulary

COMMON = 8_000


@dataclass(frozen=True, slots=True)
class Shortlist:
    """Tokens by column.

    Parts:
        ids: shape (columns,), the token that each column stands for.
        tokens: their texts, for a search; column ``END`` ends a text.
    """

    ids: Whole
    tokens: Tokens

    @classmethod
    def of(cls, vocabulary: Vocabulary, words: Iterable[str], common: int = COMMON) -> "Shortlist":
        """What spells ``words``, and the ``common`` first tokens."""
        letters = {piece for word in words for piece in _pieces(folded(word).replace("-", ""))}
        wanted = [
            number
            for number, text in enumerate(vocabulary.texts)
            if text and (number < common or _core(text) in letters)
        ]
        # The search knows the end of a text by its column.
        ids = [*wanted[:END], vocabulary.end, *wanted[END:]]
        texts = [vocabulary.texts[number] or "" for number in ids]
        starting: dict[str, list[int]] = {}
        inner: dict[str, list[int]] = {}
        for column, text in enumerate(texts):
            core = folded(text)
            place = starting if core.startswith(" ") else inner
            if text:
                place.setdefault(core.removeprefix(" "), []).append(column)
        return cls(
            np.array(ids, dtype=np.intp), Tokens(tuple(texts), _fixed(starting), _fixed(inner))
        )

    def unspelled(self, words: Iterable[str]) -> tuple[str, ...]:
        """Those of ``words`` that have a letter without a token, in order."""
        return tuple(
            word
            for word in sorted(words)
            if not set(folded(word).replace("-", "")) <= self.tokens.inner.keys()
        )


def _pieces(word: str) -> set[str]:
    return {word[a:b] for a in range(len(word)) for b in range(a + 1, len(word) + 1)}


def _core(text: str) -> str:
    return folded(text).removeprefix(" ")


def _fixed(found: dict[str, list[int]]) -> dict[str, tuple[int, ...]]:
    return {text: tuple(columns) for text, columns in found.items()}
