"""A guess at what loose talk is for, where no grammar finds a meaning.

A table: logistic regression over parts of words (2 to 5 letters), rows of words (1 to 3) and,
together with where they are said, words and pairs of words. Each is counted once and put into a
fixed number of buckets by its checksum, so that the table needs no list of them. Beside it a
network that knows words which nobody labelled (``word_net.py``). ``training/talk`` makes both; here
they are only read.
"""

import base64
import json
import math
import zlib
from collections.abc import Collection, Iterator, Mapping, Sequence
from itertools import chain, pairwise

import numpy as np
from numpy.typing import NDArray

from voiceassist.errors import LanguageError
from voiceassist.language.word_net import WordNet

#: The name of what is not for the assistant; a table has it always.
OTHER = "other"
#: The name of what holds a number. It is never guessed at, but takes its share from the others.
VALUE = "value"
#: Rows of the table. A power of two; with more, a table is larger and no better.
BUCKETS = 1 << 15
_LETTERS, _WORDS = range(2, 6), range(1, 4)
#: How much the scores of table and network count; of what strangers said, left out of the training,
#: both together are about as often right as they say: 99 of 100 where they say 97.
_TABLE, _NET = 0.2, 0.75


def parts(words: Sequence[str]) -> Iterator[str]:
    """The parts of a phrase that are looked at; letters with the ends of their word marked."""
    for word in words:
        marked = f"<{word}>"
        for length in _LETTERS:
            yield from (marked[i : i + length] for i in range(len(marked) - length + 1))
    whole = ["<", *words, ">"]
    for length in _WORDS:
        yield from (" ".join(whole[i : i + length]) for i in range(len(whole) - length + 1))


def parts_at(words: Sequence[str], where: str) -> Iterator[str]:
    """The same words as said at one kind of place: "out" is done at a plug, and off at a lamp."""
    yield f"@{where}"
    whole = ["<", *words, ">"]
    yield from (f"@{where} {word}" for word in words)
    yield from (f"@{where} {first} {then}" for first, then in pairwise(whole))


def buckets(words: Sequence[str], where: str = "") -> list[int]:
    """The row of the table for each part of a phrase, each once."""
    found = chain(parts(words), parts_at(words, where) if where else ())
    return sorted({zlib.crc32(part.encode()) % BUCKETS for part in found})


class Guesser:
    """A table of weights, and a network beside it.

    Args:
        intents: their names, OTHER among them.
        weights: a row for each bucket, a column for each intent, in steps of ``scale``.
        scale: what one step is worth.
        bias: of each intent.
        seen: words that phrases were made of.
        net: knows the same intents; None where there is the table alone.
    """

    def __init__(
        self,
        intents: Sequence[str],
        weights: NDArray[np.int8],
        scale: float,
        bias: Sequence[float],
        seen: Collection[str] = (),
        net: WordNet | None = None,
    ) -> None:
        self.intents = tuple(intents)
        self._weights = weights
        self._scale = scale
        self._bias = np.asarray(bias, dtype=np.float64)
        self._seen = frozenset(seen)
        self._net = net
        self._columns = [net.intents.index(name) for name in intents] if net is not None else []

    @classmethod
    def load(cls, text: str, file: str = "talk.json", net: WordNet | None = None) -> "Guesser":
        """Read a table, and put ``net`` beside it.

        Raises:
            LanguageError: it is none.
        """
        try:
            data = json.loads(text)
            packed = zlib.decompress(base64.b64decode(data["weights"]))
            weights = np.frombuffer(packed, dtype=np.int8).reshape(BUCKETS, len(data["intents"]))
            seen = zlib.decompress(base64.b64decode(data["seen"])).decode().split()
            return cls(data["intents"], weights, float(data["scale"]), data["bias"], seen, net)
        except (ValueError, KeyError, TypeError, zlib.error) as error:
            raise LanguageError(f"this is not a table of guesses: {error}", place=file) from None

    def dump(self) -> str:
        """The text that ``load`` reads."""
        packed = base64.b64encode(zlib.compress(self._weights.tobytes(), 9)).decode()
        bias = [round(float(value), 4) for value in self._bias]
        seen = " ".join(sorted(self._seen))
        return json.dumps(
            {
                "intents": self.intents,
                "scale": self._scale,
                "bias": bias,
                "seen": base64.b64encode(zlib.compress(seen.encode(), 9)).decode(),
                "weights": packed,
            }
        )

    def known(self, words: Sequence[str]) -> float:
        """The share of ``words`` that it has ever seen."""
        return sum(word in self._seen for word in words) / len(words)

    def chances(
        self, words: Sequence[str], allowed: Collection[str], where: str = ""
    ) -> Mapping[str, float]:
        """How likely each of ``allowed``, VALUE and OTHER is; together they come to 1.

        ``where`` is the kind of place they are said at, if it is known.
        """
        return self.chances_of([words], allowed, where)[0]

    def chances_of(
        self, phrases: Sequence[Sequence[str]], allowed: Collection[str], where: str = ""
    ) -> list[Mapping[str, float]]:
        """The same of each of ``phrases``, in far less time than one by one."""
        scores = np.stack([self._own(words, where) for words in phrases])
        if self._net is not None:
            scores = _TABLE * scores + _NET * self._net.scores(phrases, where)[:, self._columns]
        return [self._shares(each, allowed) for each in scores.tolist()]

    def _shares(self, scores: Sequence[float], allowed: Collection[str]) -> Mapping[str, float]:
        admitted = {
            name: score
            for name, score in zip(self.intents, scores, strict=True)
            if name in allowed or name in (OTHER, VALUE)
        }
        best = max(admitted.values())
        shares = {name: math.exp(score - best) for name, score in admitted.items()}
        total = sum(shares.values())
        return {name: share / total for name, share in shares.items()}

    def _own(self, words: Sequence[str], where: str) -> NDArray[np.float64]:
        """What the table alone says."""
        rows = buckets(words, where)
        summary = self._weights[rows].sum(axis=0, dtype=np.int64) * self._scale
        own: NDArray[np.float64] = summary / math.sqrt(len(rows)) + self._bias
        return own
