"""The pocketsphinx listener: a small grammar, searched with the model from its wheel.

Thread rule: make, use and close a listener on one thread. The library promises no more.
"""

import time
from collections.abc import Iterator
from itertools import islice
from typing import Any

from voiceassist.errors import RecogniseError
from voiceassist.recognise.base import Candidate, HeardClip, ListenerGrammar, Nothing, check_rate
from voiceassist.recognise.detector import VadDetector
from voiceassist.recognise.pocket import decoder, nats, plain_words, searched
from voiceassist.recognise.process.child import ListenerEngine
from voiceassist.recognise.process.listener import ProcessListener
from voiceassist.recognise.pronunciations import read_pronunciations
from voiceassist.recognise.quiet import holds_speech
from voiceassist.sound.clip import Clip

_STEP = "step"
_PHONES = "phones"
_MOST_CANDIDATES = 5
_MOST_TRIED = 1000
#: How far a right phrase may lie below the free phone loop, in nats: so much at all, for each
#: word of it (whose penalty the loop does not pay), and for each frame of 10 ms. Fitted on 228
#: phrases of a voltage step in three synthetic voices, of which 98 % lie within it; of 60 other
#: sentences in the same voices 10 % do.
_NONE_AT_ALL, _NONE_A_WORD, _NONE_A_FRAME = 275.0, 42.0, 0.11


class SphinxListener:
    """Hears with pocketsphinx.

    The score of a candidate is the natural logarithm of the likelihood of its best path,
    relative to the path that takes the best-fitting sound at every frame of 10 ms; it is 0 at
    most and grows with the length of the clip.

    ``none_of_these`` is the score of a free loop of phones over the same frames, less what a
    right phrase may lie below it: a candidate that scores less fits the clip worse than a
    phrase of the grammar that was really spoken does. It tells phrases outside the grammar
    from those inside; it does not tell a right number from a wrong one, and noise lowers
    the candidates against it.

    Args:
        pronunciations: lines of words that the library's dictionary lacks (``amps AE M P S``).
        reject: search the phone loop too; costs about 3 % of real time.

    Raises:
        RecogniseError: the model cannot be loaded, or a pronunciation cannot be used.
    """

    name = "sphinx"

    def __init__(self, pronunciations: str = "", *, reject: bool = True) -> None:
        self._decoder = decoder(read_pronunciations(pronunciations))
        if reject:
            self._decoder.add_allphone_file(_PHONES)
        self._reject = reject
        self._detector = VadDetector()
        self._known: set[str] = set()
        self._grammar: str | None = None
        self._prepared: ListenerGrammar | None = None

    def prepare(self, grammar: ListenerGrammar) -> None:
        """Get ready for ``grammar``; free when it is the one already prepared.

        Raises:
            RecogniseError: words that have no pronunciation, named; or no usable grammar.
        """
        if grammar is self._prepared:
            return
        text = grammar.jsgf()
        if text == self._grammar:
            self._prepared = grammar
            return
        self._check(grammar.words())
        try:
            # One name for all grammars: the library never frees a search under another name.
            self._decoder.add_jsgf_string(_STEP, text)
        except ValueError:
            raise RecogniseError(
                "the step's grammar cannot be searched", remedy="check its JSGF text"
            ) from None
        self._grammar = text
        self._prepared = grammar

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
        if not holds_speech(clip, self._detector):
            return HeardClip(self.name, nothing=Nothing.NO_SPEECH, seconds=_since(began))
        try:
            candidates = self._candidates(clip)
            words = len(candidates[0].words.split()) if candidates else 0
            none_of_these = self._none_of_these(clip, words) if self._reject else None
        except RuntimeError:
            return HeardClip(self.name, nothing=Nothing.FAILED, seconds=_since(began))
        nothing = None if candidates else Nothing.OUTSIDE
        return HeardClip(self.name, candidates, nothing, none_of_these, _since(began))

    def close(self) -> None:
        """Nothing is held open; the memory goes with the listener."""

    def _check(self, words: frozenset[str]) -> None:
        new = words - self._known
        missing = sorted(word for word in new if self._decoder.lookup_word(word) is None)
        if missing:
            named = ", ".join(repr(word) for word in missing)
            verb = "has" if len(missing) == 1 else "have"
            raise RecogniseError(
                f"{named} {verb} no pronunciation", remedy="add a line to pronunciations.dict"
            )
        self._known |= new

    def _candidates(self, clip: Clip) -> tuple[Candidate, ...]:
        best = searched(self._decoder, clip, _STEP)
        if best is None or not best.hypstr:
            return ()
        top = Candidate(plain_words(best.hypstr), nats(best))
        found = {top.words: top}
        shift: float | None = None
        # The lattice counts other penalties than the search did, so its scores are moved to
        # make the two agree on its own first entry.
        for entry in islice(self._others(), _MOST_TRIED):
            shift = top.score - nats(entry) if shift is None else shift
            words = plain_words(entry.hypstr)
            found.setdefault(words, Candidate(words, min(top.score, nats(entry) + shift)))
            if len(found) == _MOST_CANDIDATES:
                break
        return (top, *sorted(list(found.values())[1:], key=lambda each: -each.score))

    def _others(self) -> Iterator[Any]:
        for entry in self._decoder.nbest() or ():
            if entry is None:
                return
            if entry.hypstr:
                yield entry

    def _none_of_these(self, clip: Clip, words: int) -> float | None:
        """The least score that a right phrase of so many words has beside the phone loop."""
        loop = searched(self._decoder, clip, _PHONES)
        if loop is None:
            return None
        frames: int = self._decoder.n_frames()
        return nats(loop) - (_NONE_AT_ALL + _NONE_A_WORD * words + _NONE_A_FRAME * frames)


def sphinx_apart(pronunciations: str = "") -> ProcessListener:
    """The same listener in a process of its own, for sessions in real time.

    The library holds Python's lock while it searches. In our own process that keeps the
    microphone's thread waiting as long as a phrase takes to hear, and sound that comes in
    meanwhile is lost.

    Raises:
        RecogniseError: no process can be started.
    """
    engine = ListenerEngine(
        "voiceassist.recognise.sphinx:SphinxListener", {"pronunciations": pronunciations}
    )
    return ProcessListener(SphinxListener.name, engine)


def _since(began: float) -> float:
    return time.perf_counter() - began
