"""Words that a model lacks, heard in pieces that it has.

Only words in Hangul: it is written by syllables, so the pieces of a word sound as the word does.
Letters of other scripts sound otherwise when a word is cut.
"""

from collections.abc import Callable

_HANGUL = range(0xAC00, 0xD7A4)


def pieces(word: str, known: Callable[[str], bool]) -> tuple[str, ...] | None:
    """The fewest known pieces that make up ``word``; None when there are none.

    A known word is its own piece. Of two ways with as many pieces the first has the longer start.
    """
    if known(word):
        return (word,)
    if not all(ord(letter) in _HANGUL for letter in word):
        return None
    best: list[tuple[str, ...] | None] = [None] * len(word) + [()]
    for start in reversed(range(len(word))):
        ways = [
            (word[start:end], *rest)
            for end in range(len(word), start, -1)
            if (rest := best[end]) is not None and known(word[start:end])
        ]
        best[start] = min(ways, key=len, default=None)
    return best[0]


class Pieces:
    """The words of one grammar and the pieces they are heard in.

    Args:
        words: all words of the grammar.
        known: whether the model has a word.
    """

    def __init__(self, words: frozenset[str], known: Callable[[str], bool]) -> None:
        found = {word: pieces(word, known) for word in words}
        self.missing = tuple(sorted(word for word, parts in found.items() if parts is None))
        self._cut = {word: parts for word, parts in found.items() if parts is not None}
        self._joined = {parts: word for word, parts in self._cut.items() if len(parts) > 1}
        self._longest = max(map(len, self._joined), default=0)

    def cut(self, phrase: str) -> str:
        """``phrase`` in the model's words."""
        return " ".join(piece for word in phrase.split() for piece in self._cut[word])

    def joined(self, text: str) -> str:
        """What was heard, in the grammar's words again."""
        heard, words, at = text.split(), [], 0
        while at < len(heard):
            for length in range(min(self._longest, len(heard) - at), 1, -1):
                word = self._joined.get(tuple(heard[at : at + length]))
                if word is not None:
                    break
            else:
                word, length = heard[at], 1
            words.append(word)
            at += length
        return " ".join(words)
