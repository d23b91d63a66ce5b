"""How far apart two phrases sound: a weighted edit distance over phones.

Phones are those of the CMU pronouncing dictionary (ARPAbet without stress). The weights are our
own, by what is commonly told apart: voicing, place and manner of a consonant; height, depth and
rounding of a vowel. Voicing weighs least, since noise takes it first (Miller and Nicely, An
analysis of perceptual confusions among some English consonants, 1955, found place and voicing to
be lost before others; from memory).
"""

from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache
from itertools import islice, product
from math import inf

#: Word to its pronunciations, each a row of phones; empty for a word that nobody knows.
Lookup = Callable[[str], Sequence[tuple[str, ...]]]
Phones = tuple[str, ...]

#: Consonant to voiced, place (0 at the lips to 5 in the throat) and manner.
_CONSONANTS: dict[str, tuple[bool, int, str]] = {
    "P": (False, 0, "stop"), "B": (True, 0, "stop"), "T": (False, 2, "stop"),
    "D": (True, 2, "stop"), "K": (False, 4, "stop"), "G": (True, 4, "stop"),
    "CH": (False, 3, "affricate"), "JH": (True, 3, "affricate"),
    "F": (False, 1, "fricative"), "V": (True, 1, "fricative"),
    "TH": (False, 1, "fricative"), "DH": (True, 1, "fricative"),
    "S": (False, 2, "sibilant"), "Z": (True, 2, "sibilant"),
    "SH": (False, 3, "sibilant"), "ZH": (True, 3, "sibilant"), "HH": (False, 5, "fricative"),
    "M": (True, 0, "nasal"), "N": (True, 2, "nasal"), "NG": (True, 4, "nasal"),
    "L": (True, 2, "liquid"), "R": (True, 3, "liquid"),
    "W": (True, 0, "glide"), "Y": (True, 3, "glide"),
}  # fmt: skip
#: Vowel to height (0 open to 2 close), depth (0 front to 2 back) and rounded; a diphthong by its
#: beginning, with the name of where it glides to.
_VOWELS: dict[str, tuple[float, float, bool, str]] = {
    "IY": (2, 0, False, ""), "IH": (1.6, 0.3, False, ""), "EH": (1, 0.2, False, ""),
    "AE": (0.3, 0.2, False, ""), "AA": (0, 1.8, False, ""), "AO": (0.5, 2, True, ""),
    "UH": (1.6, 1.7, True, ""), "UW": (2, 2, True, ""), "AH": (0.8, 1.3, False, ""),
    "ER": (1, 1, False, "r"), "EY": (1.2, 0.2, False, "i"), "AY": (0, 1, False, "i"),
    "OY": (0.6, 2, True, "i"), "OW": (1.1, 2, True, "u"), "AW": (0.1, 1, False, "u"),
}  # fmt: skip
_VOICING, _PLACE, _MANNER = 0.25, 0.15, 0.55
_HEIGHT, _DEPTH, _ROUNDED, _GLIDE = 0.35, 0.25, 0.1, 0.35
#: What it costs to lose or add a phone. Nasals, stops and "h" at the edge of a word go easily.
_LOST_VOWEL, _LOST_CONSONANT, _LOST_EASILY = 0.8, 0.6, 0.4
_EASY = frozenset({"HH", "T", "D", "N", "NG", "Y"})
_MOST_WAYS = 16


@lru_cache(maxsize=4096)
def between(one: str, other: str) -> float:
    """How unlike two phones are, from 0 for the same to 1."""
    if one == other:
        return 0.0
    if one in _CONSONANTS and other in _CONSONANTS:
        a, b = _CONSONANTS[one], _CONSONANTS[other]
        place = min(abs(a[1] - b[1]), 2) * _PLACE
        cost = (a[0] != b[0]) * _VOICING + place + (a[2] != b[2]) * _MANNER
        return min(cost or _PLACE, 1.0)
    if one in _VOWELS and other in _VOWELS:
        v, w = _VOWELS[one], _VOWELS[other]
        cost = abs(v[0] - w[0]) * _HEIGHT + abs(v[1] - w[1]) * _DEPTH
        return min(cost + (v[2] != w[2]) * _ROUNDED + (v[3] != w[3]) * _GLIDE, 1.0)
    return 1.0


def lost(phone: str) -> float:
    """What it costs to lose ``phone``, or to add it."""
    if phone in _VOWELS:
        return _LOST_VOWEL
    return _LOST_EASILY if phone in _EASY else _LOST_CONSONANT


def distance(one: Phones, other: Phones, most: float = inf) -> float:
    """The cheapest way from one row of phones to the other, by losing, adding and exchanging.

    Beyond ``most`` it is told as infinite.
    """
    row = [0.0]
    for phone in other:
        row.append(row[-1] + lost(phone))
    for mine in one:
        above, row = row, [row[0] + lost(mine)]
        for i, phone in enumerate(other):
            row.append(
                min(
                    above[i] + between(mine, phone),
                    above[i + 1] + lost(mine),
                    row[i] + lost(phone),
                )
            )
        if min(row) > most:
            return inf
    return row[-1] if row[-1] <= most else inf


def spoken(phrase: str, lookup: Lookup) -> tuple[Phones, ...]:
    """The ways to say ``phrase``; none when a word of it is not known."""
    words = [lookup(word) for word in phrase.lower().replace("-", " ").split()]
    ways = islice(product(*words), _MOST_WAYS)
    return tuple(tuple(phone for word in way for phone in word) for way in ways)


def apart(one: Iterable[Phones], other: Sequence[Phones], most: float = inf) -> float:
    """How far two phrases sound apart at the least, in any way to say them.

    Beyond ``most``, or for a phrase that cannot be said, it is infinite.
    """
    return min((distance(a, b, most) for a in one for b in other), default=inf)
