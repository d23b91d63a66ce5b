"""Every number phrase up to five words: one value each, but for those known to be unclear.

Ways to say the same word ("oh", "nil", "niner") cannot change which phrases collide, so one of
each is enough; whole readings are searched, so that series and checked values count too.
"""

from collections import Counter
from collections.abc import Iterator
from decimal import Decimal

import pytest

from voiceassist.language.language import Language
from voiceassist.language.meanings import Reading
from voiceassist.language.semantics import fold
from voiceassist.language.walking import Acceptor, State, Walker

_UNITS = ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine"]
_TEENS = [
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
]
_TENS = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
_OTHERS = [
    "zero",
    "ten",
    "hundred",
    "thousand",
    "point",
    "minus",
    "a",
    "and",
    "half",
    "quarter",
    "double",
]
#: Two words of each kind, for a quick search; and all.
FEW = frozenset(["one", "three", "five", "thirteen", "fifteen", "thirty", "fifty", *_OTHERS])
ALL = frozenset([*_UNITS, *_TEENS, *_TENS, *_OTHERS])

#: Shapes of the phrases that have two values by design, d for a digit word from one to nine.
UNCLEAR = {
    "teen d": "twelve six: 12.6 or 126",
    "teen 0": "twelve oh: 12.0 or 120",
    "ty 0": "fifty oh: 50.0 or 500",
    "ty d d": "fifty five six: 55.6 or 556",
    "teen teen": "twelve fifteen: 12.15 or 1215",
    "teen ty": "twelve sixty: 12.60 or 1260",
    "teen ty d": "twelve sixty five: 12.65 or 1265",
    "ty d teen": "fifty five twelve: 55.12 or 5512",
    "ty d ty": "fifty five sixty: 55.60 or 5560",
    "ty d ty d": "fifty five sixty one: 55.61 or 5561",
    "teen 0 d": "twelve oh six: 12.06 or 1206",
    "ty 0 d": "fifty oh six: 50.06 or 5006",
    "ty d 0 d": "fifty five oh six: 55.06 or 5506",
    "d teen": "one twelve: 112 or 1.12",
    "d ty": "one twenty: 120 or 1.20",
    "d ty d": "one twenty five: 125 or 1.25",
}


def phrases(acceptor: Acceptor, words: frozenset[str], longest: int) -> Iterator[list[str]]:
    """Every whole phrase of ``words``, shortest first within each beginning."""

    def go(state: State, said: list[str]) -> Iterator[list[str]]:
        if acceptor.accepts(state):
            yield said
        if len(said) < longest:
            for word in sorted(acceptor.next_words(state) & words):
                yield from go(acceptor.advance(state, word), [*said, word])

    return go(acceptor.start(), [])


def shape(words: list[str]) -> str:
    def kind(word: str) -> str:
        if word in _UNITS:
            return "d"
        if word in _TENS:
            return "ty"
        return {"zero": "0", "ten": "teen"}.get(word, "teen" if word in _TEENS else word)

    return " ".join(kind(word) for word in words if word != "minus")


def collisions(english: Language, words: frozenset[str], longest: int) -> tuple[Counter[str], int]:
    """How often each shape has several readings, and how many phrases were tried."""
    start = english.networks.starts["readings.measured"]
    walker, found = Walker(start), Counter[str]()
    tried = 0
    for phrase in phrases(Acceptor(start), words, longest):
        tried += 1
        meanings = {repr(m) for tags in walker.walk(phrase).tags if (m := fold(tags)) is not None}
        if len(meanings) > 1:
            found[shape(phrase)] += 1
    return found, tried


def test_only_the_known_phrases_up_to_four_words_have_two_values(english: Language) -> None:
    found, tried = collisions(english, FEW, 4)
    assert set(found) == set(UNCLEAR)
    assert tried > 3000


@pytest.mark.slow
@pytest.mark.census
def test_only_the_known_phrases_up_to_five_words_have_two_values(english: Language) -> None:
    found, tried = collisions(english, ALL, 5)
    print(f"{tried} phrases, unclear: {dict(found)}")
    assert set(found) == set(UNCLEAR)
    assert tried > 1_000_000


@pytest.mark.parametrize("example", UNCLEAR.values())
def test_the_unclear_phrases_have_the_two_values_they_are_listed_with(
    english: Language, example: str
) -> None:
    words, _, values = example.partition(": ")
    start = english.networks.starts["readings.measured"]
    found = [fold(tags) for tags in Walker(start).walk(words.split()).tags]
    wanted = [str(Decimal(value)) for value in values.split(" or ")]
    assert sorted(str(m.value) for m in found if isinstance(m, Reading)) == sorted(wanted)
