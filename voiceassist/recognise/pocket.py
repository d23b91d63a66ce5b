"""The pocketsphinx library: decoders with our pronunciations, and what they give.

Thread rule: make and use a decoder on one thread. The library promises no more.
"""

import math
import re
from collections.abc import Iterable
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
