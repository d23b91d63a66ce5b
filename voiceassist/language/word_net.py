"""A small network that reads the words of a phrase together, and where they are said.

Three layers of a transformer over parts of words (Vaswani et al. 2017), whose knowledge of English
comes from the model that it was cut from; ``training/talk/net.py`` tells how. Matrices are whole
numbers of eight bits with a scale for each row. Here it is only read.
"""

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
Arrays = Mapping[str, NDArray[Any]]
#: Parts of words that stand for something else: none, an unknown sign, beginning and end.
PAD, UNKNOWN, BEGINNING, END = "[PAD]", "[UNK]", "[CLS]", "[SEP]"
#: More parts than these are not read.
MOST_PIECES = 40
HEADS, _TINY = 12, 1e-12
#: What the scores are larger than the last layer gives them.
GAIN = 4.0


def pieces(word: str, known: Mapping[str, int]) -> Iterator[str]:
    """The longest known parts of a word, from its beginning; those behind the first marked ##."""
    start = 0
    while start < len(word):
        mark = "##" if start else ""
        ends = range(len(word), start, -1)
        end = next((end for end in ends if mark + word[start:end] in known), 0)
        if not end:
            yield UNKNOWN
            return
        yield mark + word[start:end]
        start = end


def parted(words: Sequence[str], known: Mapping[str, int]) -> list[int]:
    """The numbers of the parts of a phrase; an apostrophe is a word of its own."""
    plain = " ".join(words).replace("'", " ' ").split()
    parts = [piece for word in plain for piece in pieces(word, known)]
    return [known[each] for each in (BEGINNING, *parts[:MOST_PIECES], END)]


class WordNet:
    """A network with its parts of words.

    Args:
        arrays: as ``training/talk/net.py`` writes them.
    """

    def __init__(self, arrays: Arrays) -> None:
        self.intents = tuple(_lines(arrays["intents"]))
        self._known = {piece: at for at, piece in enumerate(_lines(arrays["vocabulary"]))}
        self._places = {place: at for at, place in enumerate(_lines(arrays["places"]))}
        self._arrays = arrays
        self._single = cache(self._in_single_precision)
        self._layers = sum(name.endswith(".qkv") for name in arrays)

    def _in_single_precision(self, name: str) -> Floats:
        return self._arrays[name].astype(np.float32)

    def scores(self, phrases: Sequence[Sequence[str]], where: str) -> Floats:
        """How much speaks for each intent, as logits, shape (phrases, intents).

        The parts of all phrases go through the layers as rows below one another.
        """
        parts = [parted(words, self._known) for words in phrases]
        at, cuts = np.concatenate(parts), np.cumsum([len(each) for each in parts])[:-1]
        scale = self._arrays["pieces.scale"][at].astype(np.float32)
        order = np.concatenate([self._single("order")[: len(each)] for each in parts])
        state = self._arrays["pieces"][at] * scale[:, None] + order
        state[[0, *cuts]] += self._single("place")[self._places.get(where, 0)]
        state = self._evened(state, "begin")
        for layer in range(self._layers):
            state = self._layer(state, cuts, f"{layer}.")
        means = np.stack([each.mean(axis=0) for each in np.split(state, cuts)])
        found: Floats = (means @ self._single("out").T + self._single("out.bias")) * GAIN
        return found

    def _layer(self, state: Floats, cuts: NDArray[np.int_], of: str) -> Floats:
        three = np.split(self._through(state, of + "qkv"), cuts)
        seen = np.concatenate([_attended(each) for each in three])
        state = self._evened(state + self._through(seen, of + "o"), of + "seen")
        wide = self._through(state, of + "f")
        cubed = wide * wide * wide  # as a power it takes as long as all else here
        bent = 0.5 * wide * (1 + np.tanh(np.float32(0.7978845608) * (wide + 0.044715 * cubed)))
        return self._evened(state + self._through(bent, of + "g"), of + "end")

    def _through(self, state: Floats, name: str) -> Floats:
        scaled = state @ self._single(name).T * self._single(f"{name}.scale")
        found: Floats = scaled + self._single(f"{name}.bias")
        return found

    def _evened(self, state: Floats, name: str) -> Floats:
        """Layer normalisation: Ba, Kiros and Hinton 2016."""
        away = state - state.mean(axis=-1, keepdims=True)
        spread = np.sqrt((away**2).mean(axis=-1, keepdims=True) + _TINY)
        found: Floats = away / spread * self._single(name) + self._single(f"{name}.bias")
        return found


def _attended(three: Floats) -> Floats:
    """What each part of one phrase takes from the others, by their queries, keys and values."""
    size, width = len(three), three.shape[1] // 3
    query, key, value = three.reshape(size, 3, HEADS, width // HEADS).transpose(1, 2, 0, 3)
    looks = query @ key.transpose(0, 2, 1) / np.sqrt(np.float32(width // HEADS))
    shares = np.exp(looks - looks.max(axis=-1, keepdims=True))
    shares /= shares.sum(axis=-1, keepdims=True)
    attended: Floats = (shares @ value).transpose(1, 0, 2).reshape(size, width)
    return attended


def _lines(stored: NDArray[Any]) -> list[str]:
    return bytes(stored).decode().split("\n")
