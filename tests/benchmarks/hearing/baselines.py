"""What anybody can have for nothing: free dictation, then the words turned into a meaning.

Neither knows the step's grammar while it listens.
"""

import importlib
import math
import re
import time
from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import Any

import numpy as np
from benchmarks.hearing.records import Guess, Hearing

from voiceassist.language.meanings import Correction, Meaning, Reading
from voiceassist.language.step import StepGrammar
from voiceassist.measure.units import unit
from voiceassist.sound.clip import Clip
from voiceassist.sound.samples import samples_of

#: Unit symbols by the words that free dictation writes for them.
_UNITS = {
    **dict.fromkeys(("volts", "volt", "v"), "V"),
    **dict.fromkeys(("millivolts", "millivolt", "mv"), "mV"),
    **dict.fromkeys(("amps", "amp", "amperes", "a"), "A"),
    **dict.fromkeys(("milliamps", "milliamp", "milliamperes", "ma"), "mA"),
    **dict.fromkeys(("ohms", "ohm", "ω"), "Ω"),
    **dict.fromkeys(("kilohms", "kilohm", "kiloohms", "kω", "k"), "kΩ"),
    **dict.fromkeys(("megohms", "megohm", "mω"), "MΩ"),
}
_NUMBER = re.compile(
    r"(?P<minus>minus |negative |-)?(?P<value>\d+(?:\.\d+)?|\.\d+)(?:\s*(?P<unit>[a-zω]+)\b)?"
)
_CORRECTING = ("correction", "no ", "i said")
_NO_SPEECH = 0.6


class FreeSphinx:
    """pocketsphinx with the language model and the dictionary of its wheel, and our parser.

    Words that its dictionary lacks (amps, millivolts, kilohms) cannot be heard by it.
    """

    name = "free-sphinx"

    def __init__(self) -> None:
        import pocketsphinx

        pocketsphinx.set_loglevel("FATAL")
        self._decoder: Any = pocketsphinx.Decoder(loglevel="FATAL")

    def hear(self, clip: Clip, grammar: StepGrammar) -> Hearing:
        """One guess, or none."""
        began = time.perf_counter()
        self._decoder.reinit_feat()
        self._decoder.start_utt()
        self._decoder.process_raw(clip.pcm, full_utt=True)
        self._decoder.end_utt()
        best = self._decoder.hyp()
        words = re.sub(r"\(\d+\)", "", best.hypstr) if best else ""
        # The library gives a root of the likelihood (SENSCR_SHIFT in its sources).
        score = math.log(best.score) * 1024 if best and best.score > 0 else -math.inf
        return _one(self.name, words, score, lambda text: grammar.parse(text).meanings, began)

    def weigh(self, clip: Clip, phrases: Sequence[str]) -> dict[str, float] | None:
        """It takes no second look."""
        return None

    def close(self) -> None:
        """Nothing is held open."""


class FreeWhisper:
    """faster-whisper with a model folder and no limits, text2num, and a table of units."""

    name = "free-whisper"

    def __init__(self, model: str) -> None:
        # By name, so that the types can be checked without it.
        library: Any = importlib.import_module("faster_whisper")
        self._model = library.WhisperModel(
            model, device="cpu", compute_type="int8", cpu_threads=2, local_files_only=True
        )

    def hear(self, clip: Clip, grammar: StepGrammar) -> Hearing:
        """One guess, or none."""
        began = time.perf_counter()
        found, _ = self._model.transcribe(
            samples_of(clip).astype(np.float32) / 32_768,
            language="en",
            beam_size=5,
            temperature=0.0,
            condition_on_previous_text=False,
            without_timestamps=True,
            max_new_tokens=48,
        )
        parts = [part for part in found if part.no_speech_prob <= _NO_SPEECH]
        words = " ".join(part.text.strip() for part in parts)
        score = sum(part.avg_logprob * (len(part.tokens) + 1) for part in parts)
        return _one(self.name, words, score, lambda text: looked_up(text, grammar), began)

    def weigh(self, clip: Clip, phrases: Sequence[str]) -> dict[str, float] | None:
        """It takes no second look."""
        return None

    def close(self) -> None:
        """The memory goes with the model."""


def looked_up(text: str, grammar: StepGrammar) -> tuple[Meaning, ...]:
    """What dictated text means: its first number and the unit after it, where a reading is due.

    Text without a number, and all text at other steps, is left to the step's parser, which is
    more than a free tool would have.
    """
    from text_to_num import alpha2digit

    plain = re.sub(r"[?!,;:\"]|\.(?!\d)", " ", re.sub(r"(?<=\d),(?=\d{3})", "", text.lower()))
    plain = " ".join(re.sub(r"(?<=[a-z])-", " ", plain).split())
    number = _NUMBER.search(alpha2digit(plain, "en", 0))
    if number is None or not grammar.expectation.quantities:
        return grammar.parse(plain).meanings
    value = Decimal(number["value"])
    symbol = _UNITS.get(number["unit"] or "")
    reading = Reading(-value if number["minus"] else value, unit(symbol) if symbol else None)
    return (Correction(reading) if plain.startswith(_CORRECTING) else reading,)


def _one(
    name: str,
    words: str,
    score: float,
    meanings: Callable[[str], tuple[Meaning, ...]],
    began: float,
) -> Hearing:
    words = words.strip()
    guesses = (Guess(words, score, meanings(words)),) if words else ()
    nothing = None if words else "no speech"
    return Hearing(name, guesses, None, nothing, time.perf_counter() - began)
