"""The listener ``ear``.

Thread rule: use a listener from one thread at a time.
"""

import math
import time
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from voiceassist.errors import RecogniseError
from voiceassist.recognise.base import Candidate, HeardClip, ListenerGrammar, Nothing, check_rate
from voiceassist.recognise.ear.automaton_cache import AutomatonCache
from voiceassist.recognise.ear.lexicon import Lexicon
from voiceassist.recognise.ear.network import SHORTEST, LetterNetwork, shipped_network
from voiceassist.recognise.ear.search import SearchResult, either, log_total, search
from voiceassist.recognise.ear.weights import Floats, Weights
from voiceassist.recognise.ear.word_rows import WordRows
from voiceassist.recognise.ear.wording import wordings
from voiceassist.sound.clip import LISTEN_RATE_HZ, Clip
from voiceassist.sound.samples import samples_of

_FULL_SCALE = 32_768
#: Nobody says a phrase of any grammar for longer; what comes after is not heard.
_LONGEST = 30 * LISTEN_RATE_HZ
#: Sound so far below the loudest of a clip is quiet, by power; so many frames of 20 ms of it are
#: left at each end, as a segment has them. The network levels a clip by all that is in it.
_QUIET, _LEFT, _FRAME = 1e-5, 15, LISTEN_RATE_HZ // 50
#: How far, in nats a letter, the sum of a grammar may fall short of what the network writes
#: freely before it is other talk.
NONE_A_LETTER = 1.109
#: Loose talk that lasts for more moments than this is not for the assistant.
_MOST_MOMENTS = 500


class EarListener:
    """Hears with a small network that writes letters, and sums over all that the grammar allows.

    The score of a candidate is the natural logarithm of its probability given the sound;
    ``rest`` is the same of all other phrases of the grammar together. ``none_of_these`` is that
    of the likeliest letters, less a fixed margin for each.

    Args:
        language: code of the language spoken; English is all it knows.
        weights: of the network; the shipped ones, if None.
        talk: how words follow one another in loose talk, as ``WordRows`` reads it; without it
            loose talk is only spelled.

    Raises:
        RecogniseError: the language is not English; the weights are missing or damaged.
    """

    name = "ear"

    def __init__(
        self, *, language: str = "en", weights: Weights | None = None, talk: str = ""
    ) -> None:
        if not language.lower().startswith("en"):
            raise RecogniseError(
                f"the listener ear hears English only, not {language!r}",
                remedy="choose another listener for this language, such as vosk with a model",
            )
        self._network = _network(weights)
        self._kept = AutomatonCache()
        self._talk = talk
        self._lexicon: Lexicon | None = None  # made when loose talk is first heard
        self._grammar: ListenerGrammar | None = None

    def prepare(self, grammar: ListenerGrammar) -> None:
        """Get ready for ``grammar``; free when it was prepared before.

        Raises:
            RecogniseError: words that are not English, named.
            TypeError: the grammar cannot be stepped through word by word.
        """
        self._kept.automaton(grammar)
        self._grammar = grammar

    def expect(self, grammar: ListenerGrammar) -> bool:
        """Compile a part of ``grammar``; False when all of it is compiled."""
        try:
            return self._kept.compile_some(grammar)
        except (RecogniseError, TypeError):
            return False  # told of when it is prepared

    def hear(self, clip: Clip) -> HeardClip:
        """What was heard in ``clip``.

        Raises:
            ValueError: the clip is not at 16 kHz.
            RuntimeError: no grammar was prepared.
        """
        check_rate(clip)
        if self._grammar is None:
            raise RuntimeError("prepare a grammar before hearing")
        began = time.perf_counter()
        sound = _sound_of(clip)
        if len(sound) < SHORTEST:
            return self._heard(began, nothing=Nothing.NO_SPEECH)
        logs = self._network.letters(sound)
        doubles = logs.astype(np.float64)
        found = searched(doubles, self._grammar, self._kept)
        if not found.letters:
            return self._heard(began, nothing=Nothing.NO_SPEECH)
        loosely = self._loosely(logs, found)
        if not found.phrases:
            return self._heard(began, found, Nothing.OUTSIDE, loosely)
        begun = log_total(doubles, self._kept.beginnings(self._grammar))
        return replace(self._heard(began, found, loosely=loosely), unfinished=begun)

    def _loosely(self, logs: Floats, found: SearchResult) -> tuple[Candidate, ...]:
        """The likeliest words with no grammar, where what the grammar allows is no likelier."""
        if not self._talk or found.total > _none_of_these(found) or len(logs) > _MOST_MOMENTS:
            return ()
        if self._lexicon is None:
            self._lexicon = Lexicon(WordRows.load(self._talk))
        said = wordings(logs, self._lexicon)
        return tuple(Candidate(words, math.log(share)) for words, share in said)

    def close(self) -> None:
        """Free the network."""
        self._grammar = None

    def _heard(
        self,
        began: float,
        found: SearchResult | None = None,
        nothing: Nothing | None = None,
        loosely: tuple[Candidate, ...] = (),
    ) -> HeardClip:
        seconds = time.perf_counter() - began
        if found is None or nothing is not None:
            spelled = found.spelled if found is not None else ""
            return HeardClip(
                self.name, nothing=nothing, seconds=seconds, spelled=spelled, loosely=loosely
            )
        candidates = tuple(Candidate(words, score) for words, score in found.phrases)
        return HeardClip(
            self.name,
            candidates,
            None,
            _none_of_these(found),
            seconds,
            found.rest,
            found.spelled,
            loosely,
        )


def searched(
    logs: NDArray[np.float64], grammar: ListenerGrammar, kept: AutomatonCache
) -> SearchResult:
    """What is found within a grammar, and among other ways of saying where that does not fit."""
    found = search(logs, kept.automaton(grammar))
    if not found.letters or found.total >= _none_of_these(found):
        return found
    talk = kept.talk(grammar)
    return found if talk is None else either(found, search(logs, talk))


def _none_of_these(found: SearchResult) -> float:
    return found.free - NONE_A_LETTER * found.letters


def letters_of(clip: Clip, weights: Weights | None = None) -> Floats:
    """What the network makes of ``clip``: logarithms of the probability of each sign."""
    return _network(weights).letters(_sound_of(clip))


def _sound_of(clip: Clip) -> Floats:
    sound = samples_of(clip).astype(np.float32) / np.float32(_FULL_SCALE)
    return _without_quiet(sound)[:_LONGEST]


def _without_quiet(sound: Floats) -> Floats:
    """``sound`` without the quiet before and after it, but for 0.3 s of each."""
    whole = sound[: len(sound) // _FRAME * _FRAME].reshape(-1, _FRAME)
    power = np.einsum("ij,ij->i", whole, whole)
    loud = np.flatnonzero(power > power.max(initial=0.0) * _QUIET)
    if not loud.size:
        return sound
    begin, end = max(loud[0] - _LEFT, 0), loud[-1] + 1 + _LEFT
    return sound[begin * _FRAME : end * _FRAME]


def _network(weights: Weights | None) -> LetterNetwork:
    return LetterNetwork(weights) if weights else shipped_network()
