"""The listener ``moonshine``.

Thread rule: use a listener from one thread at a time.
"""

import time
from pathlib import Path

import numpy as np

from voiceassist.errors import RecogniseError
from voiceassist.recognise.base import Candidate, Grammar, Heard, Nothing, check_rate
from voiceassist.recognise.carried import read_bytes
from voiceassist.recognise.detector import VadDetector
from voiceassist.recognise.moonshine.automaton import Automaton
from voiceassist.recognise.moonshine.engine import Engine, Floats
from voiceassist.recognise.moonshine.files import installed_model, model_in
from voiceassist.recognise.moonshine.kept import Kept
from voiceassist.recognise.moonshine.search import Beam, Found, search
from voiceassist.recognise.moonshine.tokens import read_tokens
from voiceassist.recognise.quiet import holds_speech
from voiceassist.sound.clip import LISTEN_RATE_HZ, Clip
from voiceassist.sound.samples import samples_of

_FULL_SCALE = 32_768
#: Put before and after the sound, which may be cut close to the speech.
_QUIET = np.zeros(LISTEN_RATE_HZ // 10, np.float32)
#: Nobody says more tokens a second (the model's makers bound their own decoding by this, from
#: memory); a few more for short sounds, and never more than a long phrase has.
_TOKENS_A_SECOND, _FEWEST_TOKENS, _MOST_TOKENS = 6.5, 6, 96
#: How far, in nats a token, a phrase of the grammar may fall short of what the model writes freely
#: before it is taken for other talk. Of phrases heard rightly 100 % lie above it in quiet and 97 %
#: at 10 dB signal to noise, of recorded other talk none and 5 % (flite slt, awb, kal16).
_NONE_A_TOKEN = 1.5


class MoonshineListener:
    """Hears with a small neural network whose text is held to the grammar.

    The score of a candidate is the natural logarithm of the probability that the model gives its
    words for this sound, summed over their spellings, less a share of what it would give them
    without a sound. The networks round by what they compute side by side, so a score
    can differ by some tenths when the grammar changes; the same clip under the same grammar
    always scores the same.

    ``none_of_these`` is the score, less a fixed margin, of what the model writes when nothing
    holds it: where a phrase of the grammar was spoken, the two lie close together.

    Args:
        model: folder with a model of the user's own; None for that of the package
            moonshine-voice.
        language: code of the language spoken; English is all it knows.
        threads: processor threads for one clip.
        beam: how far to search.

    Raises:
        RecogniseError: the language is not English; onnxruntime or the model is missing or
            damaged.
    """

    name = "moonshine"

    def __init__(
        self,
        model: Path | None = None,
        *,
        language: str = "en",
        threads: int = 2,
        beam: Beam | None = None,
    ) -> None:
        if not language.lower().startswith("en"):
            raise RecogniseError(
                f"the listener moonshine hears English only, not {language!r}",
                remedy="choose another listener for this language",
            )
        files = installed_model() if model is None else model_in(model)
        self._tokens = read_tokens(read_bytes(files.tokens), str(files.tokens))
        self._engine = Engine(files, threads)
        if len(self._tokens.texts) != self._engine.vocabulary:
            raise RecogniseError(
                f"the file has {len(self._tokens.texts)} tokens, the networks beside it have "
                f"{self._engine.vocabulary}",
                place=str(files.tokens),
                remedy="copy or install the whole model again",
            )
        self._unheard = self._engine.decode(_without_speech())
        self._beam = beam or Beam()
        self._detector = VadDetector()
        self._kept = Kept(self._tokens)
        self._automaton: Automaton | None = None

    def prepare(self, grammar: Grammar) -> None:
        """Get ready for ``grammar``; free when it was prepared before.

        Raises:
            RecogniseError: words that are not English, named.
            TypeError: the grammar cannot be stepped through word by word.
        """
        self._automaton = self._kept.automaton(grammar)

    def hear(self, clip: Clip) -> Heard:
        """What was heard in ``clip``.

        Raises:
            ValueError: the clip is not at 16 kHz.
            RuntimeError: no grammar was prepared.
        """
        check_rate(clip)
        if self._automaton is None:
            raise RuntimeError("prepare a grammar before hearing")
        began = time.perf_counter()
        if not holds_speech(clip, self._detector):
            return self._heard(began, nothing=Nothing.NO_SPEECH)
        try:
            found = self._search(clip, self._automaton)
        except Exception:  # onnxruntime has no common parent for its errors
            return self._heard(began, nothing=Nothing.FAILED)
        if not found.phrases:
            return self._heard(began, nothing=Nothing.OUTSIDE)
        return self._heard(began, found)

    def close(self) -> None:
        """Free the networks."""
        self._engine.close()
        self._automaton = None

    def _search(self, clip: Clip, automaton: Automaton) -> Found:
        sound = samples_of(clip).astype(np.float32) / _FULL_SCALE
        decoding = self._engine.decode(np.concatenate((_QUIET, sound, _QUIET)))
        most = round(_FEWEST_TOKENS + _TOKENS_A_SECOND * clip.seconds)
        both = self._engine.both(decoding, self._unheard)
        return search(both, automaton, min(most, _MOST_TOKENS), self._beam)

    def _heard(
        self, began: float, found: Found | None = None, nothing: Nothing | None = None
    ) -> Heard:
        seconds = time.perf_counter() - began
        if found is None:
            return Heard(self.name, nothing=nothing, seconds=seconds)
        candidates = tuple(Candidate(" ".join(words), s.fit) for words, s in found.phrases)
        none_of_these = found.free.fit - _NONE_A_TOKEN * (len(found.tokens) + 1)
        return Heard(self.name, candidates, None, none_of_these, seconds)


def moonshine_listener(model: str = "", language: str = "en") -> MoonshineListener:
    """A listener with the model in the folder ``model``; its own when that is empty.

    Raises:
        RecogniseError: it cannot start.
    """
    return MoonshineListener(Path(model) if model else None, language=language)


def _without_speech() -> Floats:
    """Half a second of pink noise at -30 dBFS, always the same."""
    spectrum = np.fft.rfft(np.random.RandomState(0).standard_normal(LISTEN_RATE_HZ // 2))
    spectrum[1:] /= np.sqrt(np.arange(1, spectrum.size))
    noise = np.fft.irfft(spectrum)
    sound: Floats = (noise * (10 ** (-30 / 20) / noise.std())).astype(np.float32)
    return sound
