"""Numbers that sound alike: one of them is never taken on its sound alone while it matters.

Thirteen and thirty, and their like, are mistaken for each other by people and listeners alike,
and listeners that agree on the wrong one prove nothing. So this is decided by rule: where the
other number is a phrase of the grammar too and would lead elsewhere, it is asked for in digits.
Said in digits there is no such other number.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from decimal import Decimal

from voiceassist.doubt.evidence import Key
from voiceassist.language.meanings import Meaning, Reading
from voiceassist.language.step import StepGrammar

#: Words that sound alike, each to the other.
Alikes = Mapping[str, str]


def others_alike(words: str, grammar: StepGrammar, alikes: Alikes) -> tuple[Key, ...]:
    """What ``words`` would mean with one word in the place of one that sounds like it.

    Phrases that nobody searches for are left out.
    """
    found = (grammar.parse(other).meanings for other in _swapped(words, alikes, grammar))
    return tuple(dict.fromkeys(meanings for meanings in found if meanings))


def with_a_point(meaning: Meaning) -> Iterator[Reading]:
    """What a number with no point would be if one of its digits were one misheard: 7.6 for 756.

    "Point" before a digit is what the ear takes for "five" or "four" most often.
    """
    if isinstance(meaning, Reading) and int(meaning.value.as_tuple().exponent) >= 0:
        digits = f"{abs(meaning.value):f}"
        for place in range(len(digits) - 1):
            number = Decimal(f"{digits[:place] or 0}.{digits[place + 1 :]}")
            yield replace(meaning, value=number.copy_sign(meaning.value))


def _swapped(words: str, alikes: Alikes, grammar: StepGrammar) -> Iterator[str]:
    said = words.split()
    for place, word in enumerate(said):
        if word in alikes:
            other = (*said[:place], alikes[word], *said[place + 1 :])
            if _is_heard(other, grammar):
                yield " ".join(other)


def _is_heard(words: tuple[str, ...], grammar: StepGrammar) -> bool:
    state = grammar.start()
    for word in words:
        state = grammar.advance(state, word)
    return grammar.accepts(state)
