"""What loose talk that was heard letter by letter is likeliest to mean."""

import math
from collections.abc import Mapping
from difflib import SequenceMatcher
from typing import TypedDict

from voiceassist.doubt.evidence import Key
from voiceassist.language.meanings import Correction, OverRange, Reading
from voiceassist.language.step import StepGrammar
from voiceassist.recognise.base import HeardClip

#: Wordings of loose talk with a smaller share of the whole are not looked at.
_SLIGHT = 0.05
#: So many, the likeliest, are weighed by the guess; each takes it some hundredths of a second.
_WEIGHED = 4
_VALUES = (Reading, OverRange, Correction)


class Loose(TypedDict):
    """What a judgement of loose talk holds beside its candidates."""

    spelled: str
    loose: Key
    faithful: float
    wordings: Mapping[str, float]


def likeliest(heard: HeardClip, grammar: StepGrammar) -> Loose:
    """The words of the likeliest understanding, and what they can mean.

    Wordings that come to the same count together. Of numbers all that are likely are told, so
    that it can be asked which was said.
    """
    said = [(each.words, math.exp(each.score)) for each in heard.loosely] or [(heard.spelled, 1.0)]
    told = [words for words, share in said if share > _SLIGHT] or [said[0][0]]
    parsed = {words: grammar.parse(words).meanings for words in told}
    shares: dict[Key, float] = {}
    for words, share in said:
        if words in parsed:
            shares[parsed[words]] = shares.get(parsed[words], 0.0) + share
    likely = sorted(shares, key=shares.__getitem__, reverse=True)
    best = next(words for words, key in parsed.items() if key == likely[0])
    values = [key for key in likely[:2] if len(key) == 1 and isinstance(key[0], _VALUES)]
    loose = tuple(dict.fromkeys(m for key in values for m in key)) if len(values) > 1 else likely[0]
    faithful = likeness(best, heard.spelled)
    wordings = dict([each for each in said if each[0] in parsed][:_WEIGHED])
    wordings.setdefault(best, dict(said)[best])
    return {"spelled": best, "loose": loose, "faithful": faithful, "wordings": wordings}


def likeness(words: str, letters: str) -> float:
    """How alike both are, letter by letter, whatever the spaces."""
    compared = SequenceMatcher(None, letters.replace(" ", ""), words.replace(" ", ""), False)
    return compared.ratio()
