"""How words follow one another in loose talk: counts of rows of one to three words.

The chance of a word is read off the longest row known, each count less a fixed part of a phrase;
what that leaves is shared out by the shorter rows (absolute discounting: Ney, Essen and Kneser
1994). ``training/talk`` makes the counts; here they are only read.
"""

import base64
import json
import zlib
from array import array
from bisect import bisect_left
from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from voiceassist.errors import RecogniseError

#: Before the first word and behind the last; the first two in the list of words.
BEGIN, END = "<", ">"
#: So many words make the longest row.
LONGEST = 3
#: A phrase that was said counts so much; one that a grammar might make counts 1.
SAID = 10
#: What is taken off each count.
_OFF = 6

#: Bits of a word in the key of a row, and what its number there begins with: none is 0, and one
#: that is not in the list, whose number is -1, is 1.
_BITS, _FROM = 16, 2

_Row = tuple[int, ...]


class WordRows:
    """Words, and how likely each is behind others.

    Args:
        words: each with its number, by its place; ``BEGIN`` and ``END`` are the first two.
        keys: of the rows, as ``_key`` has them.
        counts: how often each row came.
    """

    def __init__(
        self, words: Sequence[str], keys: NDArray[np.int64], counts: NDArray[np.int64]
    ) -> None:
        self.words = tuple(words)
        # Hundreds of thousands of rows: in order, those with one beginning are side by side, and
        # arrays take a tenth of the room of tables by row.
        order = np.argsort(keys)
        keys, counts = keys[order], counts[order]
        befores = keys >> _BITS
        first = np.flatnonzero(np.diff(befores, prepend=-1))
        self._keys, self._counts = _packed(keys), _packed(counts)
        self._befores, self._first = _packed(befores[first]), _packed(np.append(first, len(keys)))
        self._came = _packed(np.add.reduceat(counts, first))
        self._off = _packed(np.add.reduceat(np.minimum(counts, _OFF), first))
        self._known: dict[_Row, float] = {}

    def chance(self, before: _Row, word: int) -> float:
        """How likely ``word`` is behind ``before``; all words together come to 1."""
        row = (*before[-(LONGEST - 1) :], word)
        known = self._known.get(row)
        if known is None:
            known = self._known[row] = self._chance(row)
        return known

    def _chance(self, row: _Row) -> float:
        key = _key(row)
        shorter = self._chance(row[1:]) if len(row) > 1 else 1 / (len(self.words) - 1)
        place = _place(self._befores, key >> _BITS)
        if place is None:
            return shorter
        found = _place(self._keys, key, self._first[place], self._first[place + 1])
        count = self._counts[found] if found is not None else 0
        return (max(count - _OFF, 0) + self._off[place] * shorter) / self._came[place]

    def dump(self) -> str:
        """The text that ``load`` reads."""
        rows = dict(sorted(zip(map(_row, self._keys), self._counts, strict=True)))
        numbers = np.array([(*row, *[0] * (LONGEST - len(row))) for row in rows], np.uint16)
        lengths = np.array([len(row) for row in rows], np.uint8)
        counts = np.array([min(count, 65_535) for count in rows.values()], np.uint16)
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
            numbers = np.frombuffer(data, np.uint16, many * LONGEST).reshape(LONGEST, many)
            lengths = np.frombuffer(data, np.uint8, many, 2 * LONGEST * many)
            counts = np.frombuffer(data[(2 * LONGEST + 1) * many :], np.uint16, many)
            words = found["words"].split()
        except (ValueError, KeyError, TypeError, AttributeError, zlib.error) as error:
            raise RecogniseError(f"these are not rows of words: {error}", place=file) from None
        keys = np.zeros(many, np.int64)
        for row in numbers:
            keys = keys << _BITS | row.astype(np.int64) + _FROM
        keys >>= _BITS * (LONGEST - lengths.astype(np.int64))  # what stands behind a shorter row
        return cls(words, keys, counts.astype(np.int64))


def _key(row: _Row) -> int:
    """A row as one number, in which its last word comes last."""
    key = 0
    for word in row:
        key = key << _BITS | word + _FROM
    return key


def _row(key: int) -> _Row:
    """The row of a key."""
    before = _row(key >> _BITS) if key >> _BITS else ()
    return (*before, key % (1 << _BITS) - _FROM)


def _packed(numbers: NDArray[np.int64]) -> "array[int]":
    return array("q", numbers.astype(np.int64).tobytes())


def _place(keys: "array[int]", key: int, low: int = 0, high: int | None = None) -> int | None:
    """Where ``key`` stands between two places; None where it does not."""
    high = len(keys) if high is None else high
    place = bisect_left(keys, key, low, high)
    return place if place < high and keys[place] == key else None


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
    keys = np.array([_key(row) for row in counts], np.int64)
    return WordRows(tuple(numbers), keys, np.array([*counts.values()], np.int64))
