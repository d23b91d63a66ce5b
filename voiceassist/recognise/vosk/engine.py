"""Hearing with the Vosk library. It can crash on a damaged model: run it in a child process."""

import ctypes
import importlib
import json
import sys
import time
from pathlib import Path
from typing import Any

from voiceassist.errors import RecogniseError
from voiceassist.recognise.base import Candidate, HeardClip, ListenerGrammar, Nothing
from voiceassist.recognise.graph import WordGraph
from voiceassist.recognise.process.wire import graph_in
from voiceassist.recognise.quiet import holds_speech
from voiceassist.recognise.vosk.files import check_folder
from voiceassist.recognise.vosk.pieces import Pieces
from voiceassist.sound.clip import LISTEN_RATE_HZ, Clip

#: So many are asked for, because those that are no phrase of the grammar are dropped.
_MOST_ALTERNATIVES = 30
_MOST_CANDIDATES = 8
#: A phrase that begins or ends with the clip is heard badly.
_QUIET = Clip.silence(0.25)


class VoskEngine:
    """Hears with a Vosk model.

    The library learns from phrases which word can follow which, and no more; so whatever it hears
    is checked against the whole grammar, and only phrases of it are candidates. The score of one
    is the library's own: a logarithm of likelihood in which the sound weighs more than the words.
    It cannot tell how likely none of the phrases is.

    Args:
        folder: of the model.

    Raises:
        RecogniseError: the model cannot be used, or the library is not installed.
    """

    name = "vosk"

    def __init__(self, folder: str) -> None:
        check_folder(Path(folder))
        self._library = _library()
        self._model = _model(self._library, folder)
        self._folder = folder
        self._phrases = ""
        self._graph: WordGraph | None = None
        self._pieces = Pieces(frozenset(), self._knows)

    def prepare(self, grammar: ListenerGrammar) -> None:
        """Get ready for ``grammar``, which must have stepping.

        Raises:
            RecogniseError: words that the model lacks, named.
        """
        graph = graph_in(grammar)
        pieces = Pieces(graph.words(), self._knows)
        if pieces.missing:
            named = ", ".join(repr(word) for word in pieces.missing)
            raise RecogniseError(
                f"the model does not know {named}",
                place=self._folder,
                remedy="use another model, or say it in other words in the grammar",
            )
        phrases = [pieces.cut(phrase) for phrase in graph.cover()]
        self._phrases = json.dumps(phrases, ensure_ascii=False)
        self._recogniser()  # a damaged model fails here, before anything is said
        self._graph, self._pieces = graph, pieces

    def hear(self, clip: Clip) -> HeardClip:
        """What was heard in ``clip``.

        Raises:
            RuntimeError: no grammar was prepared.
        """
        if self._graph is None:
            raise RuntimeError("prepare a grammar before hearing")
        began = time.perf_counter()
        if not holds_speech(clip):
            return HeardClip(self.name, nothing=Nothing.NO_SPEECH, seconds=_since(began))
        _seed()
        recogniser = self._recogniser()
        # The whole clip at once, since the library would end a phrase at a pause between chunks.
        recogniser.AcceptWaveform((_QUIET + clip + _QUIET).pcm)
        candidates = self._candidates(json.loads(recogniser.FinalResult()))
        nothing = None if candidates else Nothing.OUTSIDE
        return HeardClip(self.name, candidates, nothing, None, _since(began))

    def close(self) -> None:
        """Let the model go."""
        self._model = None

    def _recogniser(self) -> Any:  # noqa: ANN401
        """A new one takes two milliseconds. An old one adapts itself to every sound it was given,
        noises too, and hears the same clip otherwise after them."""
        made = self._library.KaldiRecognizer(self._model, float(LISTEN_RATE_HZ), self._phrases)
        made.SetMaxAlternatives(_MOST_ALTERNATIVES)
        return made

    def _candidates(self, result: Any) -> tuple[Candidate, ...]:  # noqa: ANN401
        """The phrases of the grammar among the alternatives, each once, best first."""
        assert self._graph is not None
        best: dict[str, float] = {}
        for found in sorted(result["alternatives"], key=lambda each: -each["confidence"]):
            words = self._pieces.joined(found["text"])
            if words and self._graph.contains(words):
                best.setdefault(words, found["confidence"])
        return tuple(Candidate(w, score) for w, score in best.items())[:_MOST_CANDIDATES]

    def _knows(self, word: str) -> bool:
        return bool(self._model.vosk_model_find_word(word) >= 0)


def _library() -> Any:  # noqa: ANN401 - an untyped library
    try:
        library = importlib.import_module("vosk")
    except (ImportError, OSError):  # its own shared library may be what is missing
        raise RecogniseError(
            "the listener vosk is not installed",
            remedy="in a clone of this project run: pip install '.[vosk]'",
        ) from None
    library.SetLogLevel(-1)
    return library


def _model(library: Any, folder: str) -> Any:  # noqa: ANN401
    try:
        return library.Model(model_path=folder)
    except Exception:  # the library raises no narrower one
        raise RecogniseError(
            "the model cannot be loaded", place=folder, remedy="copy or unpack the model again"
        ) from None


def _seed() -> None:
    """Begin the C library's random numbers anew: from them Vosk takes a faint noise that it adds
    to the sound, and the same clip should be heard the same. Windows has no one C library."""
    if sys.platform != "win32":
        ctypes.CDLL(None).srand(1)


def _since(began: float) -> float:
    return time.perf_counter() - began
