"""A listener, and the odds that tell what its scores are worth."""

import time
from collections.abc import Mapping

from voiceassist.app.ears.judgement import Judgement, judged, sound_of
from voiceassist.doubt.alike import Alikes
from voiceassist.doubt.odds import Odds
from voiceassist.language.step import StepGrammar
from voiceassist.recognise.base import Foresighted, Listener, Nothing
from voiceassist.sound.clip import Clip


class Hearing:
    """Hears a clip within a step's grammar, and tells how sure it is.

    Args:
        listener: that hears.
        odds: by the names of listeners; None for none at all.
        alikes: words of numbers that sound alike; None when nobody knows.

    Thread rule: use it on the thread on which its listener was made.
    """

    def __init__(
        self,
        listener: Listener,
        odds: Mapping[str, Odds] | None = None,
        alikes: Alikes | None = None,
    ) -> None:
        self._listener = listener
        self._odds = (odds or {}).get(listener.name)
        self._alikes = alikes
        self._grammar: StepGrammar | None = None
        self.seconds = 0.0

    @property
    def name(self) -> str:
        """The name of the listener."""
        return self._listener.name

    def expect(self, grammar: StepGrammar) -> bool:
        """Let the listener do a little of what ``grammar`` will need; False when all is done."""
        return isinstance(self._listener, Foresighted) and self._listener.expect(grammar)

    def prepare(self, grammar: StepGrammar) -> None:
        """Get ready for ``grammar``.

        Raises:
            RecogniseError: the listener has a word it can never hear, or is at an end.
        """
        self._listener.prepare(grammar)
        self._grammar = grammar

    def hear(self, clip: Clip) -> Judgement:
        """What may have been said in ``clip``.

        Raises:
            RecogniseError: the listener is at an end.
        """
        if self._grammar is None:
            raise RuntimeError("prepare a grammar before hearing")
        began = time.perf_counter()
        heard = self._listener.hear(clip)
        self.seconds = time.perf_counter() - began
        return judged(heard, self._grammar, sound_of(clip), self._odds, self._alikes)

    def close(self) -> None:
        """End the listener."""
        self._listener.close()


def holds_speech(judgement: Judgement) -> bool:
    """False when the listener found no speech at all."""
    return judgement.nothing != Nothing.NO_SPEECH.value
