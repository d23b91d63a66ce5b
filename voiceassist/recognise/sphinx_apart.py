"""The pocketsphinx listener in processes of its own, for sessions in real time.

The library holds Python's lock while it searches. In our own process that keeps the microphone's
thread waiting for as long as a phrase takes to hear, and sound that comes in meanwhile may be
lost; and two searches cannot run side by side.
"""

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor

from voiceassist.errors import RecogniseError
from voiceassist.recognise.base import Grammar, Heard
from voiceassist.recognise.process.child import Engine
from voiceassist.recognise.process.listener import ProcessWeigher
from voiceassist.sound.clip import Clip

_LISTENER = "voiceassist.recognise.sphinx:SphinxListener"
_SCORER = "voiceassist.recognise.sphinx:SphinxScorer"


class SphinxApart:
    """Hears and weighs as ``SphinxListener`` does, phrase for phrase with the same scores.

    One process hears; at a second look another one takes half of the phrases.

    Args:
        pronunciations: as for ``SphinxListener``.

    Raises:
        RecogniseError: a process cannot be started.

    Thread rule: use it on one thread.
    """

    name = "sphinx"

    def __init__(self, pronunciations: str = "") -> None:
        options = {"pronunciations": pronunciations}
        self._first = ProcessWeigher(self.name, Engine(_LISTENER, options))
        self._second: ProcessWeigher | None = ProcessWeigher(self.name, Engine(_SCORER, options))
        self._beside = ThreadPoolExecutor(max_workers=1)

    def prepare(self, grammar: Grammar) -> None:
        """As ``SphinxListener.prepare``, and it may be at an end."""
        self._first.prepare(grammar)

    def hear(self, clip: Clip) -> Heard:
        """As ``SphinxListener.hear``; FAILED when its process crashed."""
        return self._first.hear(clip)

    def weigh(self, clip: Clip, phrases: Sequence[str]) -> tuple[float, ...]:
        """As ``SphinxListener.weigh``; nothing when a process crashed."""
        half = len(phrases) // 2 if self._second is not None else 0
        others = self._beside.submit(self._others, clip, phrases[:half])
        rest = self._first.weigh(clip, phrases[half:])
        found = (*others.result(), *rest)
        return found if len(found) == len(phrases) else ()

    def close(self) -> None:
        """End the processes."""
        self._beside.shutdown()
        self._first.close()
        if self._second is not None:
            self._second.close()

    def _others(self, clip: Clip, phrases: Sequence[str]) -> tuple[float, ...]:
        """By the second process; without it the first one weighs all from now on."""
        if self._second is None or not phrases:
            return ()
        try:
            return self._second.weigh(clip, phrases)
        except RecogniseError:
            self._second.close()
            self._second = None
            return ()
