"""Hearing with a Whisper model. Its library can crash: run it in a child process."""

import importlib
import math
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from voiceassist.errors import RecogniseError
from voiceassist.recognise.base import Candidate, Grammar, Heard, Nothing
from voiceassist.recognise.graph import WordGraph
from voiceassist.recognise.moonshine.automaton import Automaton
from voiceassist.recognise.moonshine.search import Beam, Found, search
from voiceassist.recognise.process.wire import graph_in
from voiceassist.recognise.quiet import holds_speech
from voiceassist.recognise.whisper.decoder import Decoding, Memory, Network, Whole
from voiceassist.recognise.whisper.files import MODEL, check_folder
from voiceassist.recognise.whisper.shortlist import Shortlist
from voiceassist.recognise.whisper.spectrum import log_mel
from voiceassist.recognise.whisper.vocabulary import read_vocabulary
from voiceassist.recognise.whisper.weights import Floats, floats, read_variables
from voiceassist.sound.clip import LISTEN_RATE_HZ, Clip
from voiceassist.sound.samples import samples_of

_FULL_SCALE = 32_768
_LEAD_S = 0.25
#: The model was trained on 30 s; it hears as well in 10, three times as fast. In 5 it repeats
#: itself.
_WINDOW_S, _LONGEST_S = 10.0, 30.0
_MOST_CANDIDATES = 8
_TOKENS_AT_ALL, _TOKENS_PER_S = 12, 8
_HISS = 1e-4
_EXAMPLES, _EXAMPLE_WORDS = 8, 60
#: A sound is without speech when the model thinks so by half. Of 24 phrases in four synthetic
#: voices, in quiet and in pink noise as loud as 5 dB below them, none got more than 0.22; white
#: noise, pink noise and hum got 0.55 and more.
_NO_SPEECH = math.log(0.5)
#: Chosen by measurement, see tests/benchmarks/whisper.py.
_BEAM = Beam(width=6, margin=12.0, prior=0.5)
#: How far a right phrase may lie below what the model would rather write, in nats for each
#: token of that.
_NONE_A_TOKEN = 1.5


@dataclass(frozen=True, slots=True)
class _Step:
    """What a grammar needs for a search."""

    graph: WordGraph
    automaton: Automaton
    shortlist: Shortlist
    output: Floats
    opening: Sequence[int]


@dataclass(slots=True)
class _Pair:
    """A decoding from a sound and from one without speech, as the search wants it."""

    decoding: Decoding
    first: tuple[Floats, Floats]

    def step(self, rows: Whole, tokens: Whole) -> tuple[Floats, Floats]:
        heard, unheard = self.decoding.step(rows, tokens)
        return heard, unheard


class WhisperEngine:
    """Hears with a Whisper model, held to the grammar while it writes.

    The score of a candidate is the natural logarithm of its probability given the sound, less a
    share of the one the model gives it without a sound.

    ``none_of_these`` is the score, less a margin, of what the model writes when nothing holds it:
    where a phrase of the grammar was spoken, the two lie close together.

    Args:
        folder: of the model, in CTranslate2's form.
        threads: processor threads for the encoder.

    Raises:
        RecogniseError: the model cannot be used, or the library is not installed.
    """

    name = "whisper"

    def __init__(self, folder: str, threads: int = 2) -> None:
        check_folder(Path(folder))
        self._encoder = _encoder(folder, threads)
        self._library = importlib.import_module("ctranslate2")
        self._network = _network(Path(folder))
        self._vocabulary = read_vocabulary(Path(folder))
        many = bool(self._encoder.is_multilingual)
        self._steering = self._vocabulary.steering("en", many_languages=many)
        self._bands = int(self._encoder.n_mels)
        self._quiet = self._remembered(_hiss())
        self._step: _Step | None = None

    def prepare(self, grammar: Grammar) -> None:
        """Get ready for ``grammar``, which must have stepping.

        Raises:
            RecogniseError: words that no tokens spell, named.
        """
        graph = graph_in(grammar)
        shortlist = Shortlist.of(self._vocabulary, graph.words())
        unspelled = shortlist.unspelled(graph.words())
        if unspelled:
            raise RecogniseError(
                f"the model cannot spell {', '.join(map(repr, unspelled))}",
                remedy="use a listener with a model for that language",
            )
        self._step = _Step(
            graph,
            Automaton(graph, shortlist.tokens),  # of which it only steps
            shortlist,
            np.ascontiguousarray(self._network.weights["embeddings/weight"][shortlist.ids]),
            self._vocabulary.opening(examples(graph)),
        )

    def hear(self, clip: Clip) -> Heard:
        """What was heard in ``clip``.

        Raises:
            RuntimeError: no grammar was prepared.
        """
        if self._step is None:
            raise RuntimeError("prepare a grammar before hearing")
        began = time.perf_counter()
        if not holds_speech(clip):
            return Heard(self.name, nothing=Nothing.NO_SPEECH, seconds=_since(began))
        found = self._search(clip, self._step)
        if found is None:
            return Heard(self.name, nothing=Nothing.NO_SPEECH, seconds=_since(began))
        candidates = tuple(Candidate(" ".join(words), score.fit) for words, score in found.phrases)[
            :_MOST_CANDIDATES
        ]
        if not candidates:
            return Heard(self.name, nothing=Nothing.OUTSIDE, seconds=_since(began))
        return Heard(self.name, candidates, None, _none_of_these(found), _since(began))

    def close(self) -> None:
        """Let the model go."""
        self._encoder = self._step = None

    def _search(self, clip: Clip, step: _Step) -> Found | None:
        """What a search finds; None when the model hears no speech."""
        samples: Floats = samples_of(clip).astype(np.float32) / np.float32(_FULL_SCALE)
        memories = (self._remembered(samples), self._quiet)
        decoding = Decoding(self._network, memories)
        heard, _ = decoding.begin(step.opening)
        if heard[0, self._vocabulary.no_speech] > _NO_SPEECH:
            return None
        decoding.narrow(step.output, step.shortlist.ids)
        heard, unheard = decoding.begin(self._steering)
        most = _TOKENS_AT_ALL + round(_TOKENS_PER_S * clip.seconds)
        most = min(most, self._network.positions - len(step.opening) - len(self._steering) - 1)
        return search(_Pair(decoding, (heard, unheard)), step.automaton, most, _BEAM)

    def _remembered(self, samples: Floats) -> Memory:
        """What the decoder attends to in ``samples``, shape (n,), -1 to 1."""
        lead = round(_LEAD_S * LISTEN_RATE_HZ)
        longest = round(_LONGEST_S * LISTEN_RATE_HZ) - lead
        samples = samples[:longest]
        short = round(_WINDOW_S * LISTEN_RATE_HZ) - lead - len(samples)
        padded: Floats = np.pad(samples, (lead, max(0, short)))
        spectrum = log_mel(padded, self._bands)
        given = self._library.StorageView.from_array(np.ascontiguousarray(spectrum[None]))
        encoded = self._encoder.encode(given, to_cpu=True)
        return self._network.memory(np.array(encoded, dtype=np.float32)[0])


def examples(graph: WordGraph) -> str:
    """A few phrases of the grammar, far from each other, as if they had been said before.

    They show the model that numbers are written in words.
    """
    phrases = list(graph.cover())
    chosen: list[str] = []
    for phrase in phrases[:: max(1, len(phrases) // _EXAMPLES)][:_EXAMPLES]:
        if chosen and len(" ".join([*chosen, phrase]).split()) > _EXAMPLE_WORDS:
            break
        chosen.append(phrase)
    return ", ".join(chosen) + "."


def _none_of_these(found: Found) -> float:
    return found.free.fit - _NONE_A_TOKEN * (len(found.tokens) + 1)


def _hiss() -> Floats:
    """A sound without speech; a wholly silent one is like none the model has seen."""
    noise: Floats = np.random.default_rng(1).standard_normal(LISTEN_RATE_HZ, dtype=np.float32)
    return noise * np.float32(_HISS)


def _encoder(folder: str, threads: int) -> Any:  # noqa: ANN401 - an untyped library
    try:
        library = importlib.import_module("ctranslate2")
    except (ImportError, OSError):
        raise RecogniseError(
            "the listener whisper is not installed",
            remedy="in a clone of this project run: pip install '.[whisper]'",
        ) from None
    try:
        return library.models.Whisper(
            folder, device="cpu", compute_type="int8", intra_threads=threads, inter_threads=1
        )
    except (RuntimeError, ValueError):
        raise RecogniseError(
            "the model cannot be loaded", place=folder, remedy="copy the model again"
        ) from None


def _network(folder: Path) -> Network:
    try:
        return Network.of(floats(read_variables(folder / MODEL), "decoder/"))
    except KeyError as missing:
        raise RecogniseError(
            f"it has no {missing.args[0]}",
            place=str(folder / MODEL),
            remedy="use a Whisper model converted for CTranslate2",
        ) from None


def _since(began: float) -> float:
    return time.perf_counter() - began
