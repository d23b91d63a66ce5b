"""The pocketsphinx library: decoders with our pronunciations, and what they give.

Thread rule: make and use a decoder on one thread. The library promises no more.
"""

import math
import os
import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import count
from typing import Any

import pocketsphinx

from voiceassist.errors import RecogniseError
from voiceassist.recognise.pronunciations import Pronunciation
from voiceassist.sound.clip import Clip

#: The library keeps scores divided by this power of two (SENSCR_SHIFT in its sources).
_SCORE_SCALE = 1 << 10
#: Probability of each further word; at the library's own 0.65 a long vowel becomes "oh" and
#: "twelve point eight" gains digits. Chosen on 228 flite phrases of a voltage step: 15 wrong at
#: 0.65, 9 at 0.01.
_WORD_PENALTY = 0.01
_PHRASE = "phrase"


def decoder(pronunciations: Iterable[Pronunciation], **options: object) -> Any:  # noqa: ANN401
    """A decoder that knows ``pronunciations`` besides its own; ``options`` are the library's.

    Raises:
        RecogniseError: the model cannot be loaded, or a pronunciation cannot be used.
    """
    pocketsphinx.set_loglevel("FATAL")
    try:
        made = pocketsphinx.Decoder(
            lm=None, bestpath=False, cmn="batch", wip=_WORD_PENALTY, loglevel="FATAL", **options
        )
    except (RuntimeError, ValueError):
        raise RecogniseError(
            "the speech model of pocketsphinx cannot be loaded",
            remedy="install the Python package pocketsphinx again",
        ) from None
    for entry in pronunciations:
        _add(made, entry)
    return made


def searched(decoder: Any, clip: Clip, name: str) -> Any:  # noqa: ANN401 - an untyped library
    """The best path of one search; None when none ends where the grammar does."""
    decoder.activate_search(name)
    # Otherwise a clip's scores depend a little on the clip before it.
    decoder.reinit_feat()
    decoder.start_utt()
    decoder.process_raw(clip.pcm, full_utt=True)
    decoder.end_utt()
    return decoder.hyp()


def nats(hypothesis: Any) -> float:  # noqa: ANN401 - an untyped library
    """Natural logarithm of a path's likelihood; the library gives a root of it."""
    return math.log(hypothesis.score) * _SCORE_SCALE if hypothesis.score > 0 else -math.inf


def plain_words(text: str) -> str:
    """Plain words: variants like ``oh(2)`` lose their number."""
    return " ".join(re.sub(r"\(\d+\)", "", text).split())


class PhraseScorer:
    """Tells how well whole phrases fit a clip, one after the other.

    A decoder measures each frame against the best-fitting sound among those its search needs, so
    the scores of two searches cannot be compared. This one computes every sound of the model at
    every frame: about 4 % of real time for each phrase. It learns words as they come, since a
    whole dictionary takes 20 MB and a tenth of a second.

    Args:
        teacher: a decoder that knows the words of the phrases.

    Raises:
        RecogniseError: the model cannot be loaded.
    """

    def __init__(self, teacher: Any) -> None:  # noqa: ANN401 - an untyped library
        # So wide that a phrase which fits badly is followed to its end.
        wide = {"beam": 1e-80, "pbeam": 1e-80, "wbeam": 1e-60}
        self._decoder = decoder((), dict=os.devnull, compallsen=True, **wide)
        self._teacher = teacher

    def scores(self, clip: Clip, phrases: Sequence[str]) -> tuple[float, ...]:
        """Natural logarithm for each of ``phrases``, words with single spaces."""
        return tuple(self._score(clip, phrase) for phrase in phrases)

    def _score(self, clip: Clip, phrase: str) -> float:
        text = f"#JSGF V1.0;\ngrammar one;\npublic <{_PHRASE}> = {phrase};\n"
        try:
            self._learn(phrase)
            self._decoder.add_jsgf_string(_PHRASE, text)
            best = searched(self._decoder, clip, _PHRASE)
        except (RuntimeError, ValueError):
            return -math.inf
        return nats(best) if best is not None and best.hypstr else -math.inf

    def _learn(self, phrase: str) -> None:
        for word in phrase.split():
            if self._decoder.lookup_word(word) is None:
                for name, phones in _ways(self._teacher, word):
                    self._decoder.add_word(name, phones, update=False)


def _ways(decoder: Any, word: str) -> Iterator[tuple[str, str]]:  # noqa: ANN401
    """How ``decoder`` calls each pronunciation of ``word``, and its phones."""
    name = word
    for number in count(2):
        phones = decoder.lookup_word(name)
        if phones is None:
            return
        yield name, phones
        name = f"{word}({number})"


def _add(decoder: Any, entry: Pronunciation) -> None:  # noqa: ANN401 - an untyped library
    word = entry.word
    while decoder.lookup_word(word) is not None:
        word = _next_variant(word)
    try:
        decoder.add_word(word, entry.phones, update=False)
    except RuntimeError:
        raise RecogniseError(
            f"{entry.phones!r} for {entry.word!r} is not made of the CMU phones",
            place=f"pronunciations.dict line {entry.line}",
            remedy="write phones such as AE M P S, without stress digits",
        ) from None


def _next_variant(word: str) -> str:
    match = re.fullmatch(r"(.+)\((\d+)\)", word)
    return f"{match[1]}({int(match[2]) + 1})" if match else f"{word}(2)"
