"""How words follow one another in loose talk: counts of rows of one to three words.

The chance of a word is read off the longest row known, each count less a fixed part of a phrase;
what that leaves is shared out by the shorter rows (absolute discounting: Ney, Essen and Kneser
1994). ``training/talk`` makes the counts; here they are only read.
"""

import base64
import json
import zlib
from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from voiceassist.errors import RecogniseError

#: Before the first word and behind the last; the first two in the list of words.
BEGIN, END = "<", ">"
#: So many words make the longest row.
LONGEST = 3
#: A phrase that was said counts so much; one that a grammar might make counts 1.
SAID = 10
#: What is taken off each count.
_OFF = 6

_Row = tuple[int, ...]


class WordRows:
    """Words, and how likely each is behind others.

    Args:
        words: each with its number, by its place; ``BEGIN`` and ``END`` are the first two.
        counts: for each row, as numbers of words, how often it came.
    """

    def __init__(self, words: Sequence[str], counts: Mapping[_Row, int]) -> None:
        self.words = tuple(words)
        self._counts = counts
        self._came: dict[_Row, int] = {}
        self._off: dict[_Row, int] = {}
        for row, count in counts.items():
            before = row[:-1]
            self._came[before] = self._came.get(before, 0) + count
            self._off[before] = self._off.get(before, 0) + min(count, _OFF)
        self._known: dict[_Row, float] = {}

    def chance(self, before: _Row, word: int) -> float:
        """How likely ``word`` is behind ``before``; all words together come to 1."""
        row = (*before[-(LONGEST - 1) :], word)
        known = self._known.get(row)
        if known is None:
            known = self._known[row] = self._chance(row)
        return known

    def _chance(self, row: _Row) -> float:
        before = row[:-1]
        shorter = self._chance(row[1:]) if before else 1 / (len(self.words) - 1)
        came = self._came.get(before, 0)
        if not came:
            return shorter
        count = self._counts.get(row, 0)
        return (max(count - _OFF, 0) + self._off[before] * shorter) / came

    def dump(self) -> str:
        """The text that ``load`` reads."""
        rows = sorted(self._counts)
        numbers = np.array([(*row, *[0] * (LONGEST - len(row))) for row in rows], np.uint16)
        lengths = np.array([len(row) for row in rows], np.uint8)
        counts = np.array([min(self._counts[row], 65_535) for row in rows], np.uint16)
        data = b"".join(each.T.tobytes() for each in (numbers, lengths, counts))
        packed = base64.b64encode(zlib.compress(data, 9)).decode()
        return json.dumps({"words": " ".join(self.words), "rows": packed})

    @classmethod
    def load(cls, text: str, file: str = "talk-words.json") -> "WordRows":
        """Read counts.

        Raises:
            RecogniseError: there are none in ``text``.
        """
        try:
            found = json.loads(text)
            data = zlib.decompress(base64.b64decode(found["rows"]))
            size = 2 * LONGEST + 1 + 2
            many = len(data) // size
            numbers = np.frombuffer(data, np.uint16, many * LONGEST).reshape(LONGEST, many).T
            lengths = np.frombuffer(data, np.uint8, many, 2 * LONGEST * many)
            counts = np.frombuffer(data[(2 * LONGEST + 1) * many :], np.uint16, many)
            words = found["words"].split()
        except (ValueError, KeyError, TypeError, AttributeError, zlib.error) as error:
            raise RecogniseError(f"these are not rows of words: {error}", place=file) from None
        rows = zip(numbers.tolist(), lengths.tolist(), counts.tolist(), strict=True)
        return cls(words, {tuple(row[:length]): count for row, length, count in rows})


def counted(phrases: Iterable[tuple[Sequence[str], int]]) -> WordRows:
    """The rows of ``phrases``, each with how much it counts."""
    numbers = {BEGIN: 0, END: 1}
    counts: dict[_Row, int] = {}
    for words, weight in phrases:
        row = [numbers.setdefault(word, len(numbers)) for word in words]
        row = [0] * (LONGEST - 1) + [*row, 1]
        for end in range(LONGEST, len(row) + 1):
            for length in range(1, LONGEST + 1):
                key = tuple(row[end - length : end])
                counts[key] = counts.get(key, 0) + weight
    return WordRows(tuple(numbers), counts)
