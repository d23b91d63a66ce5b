"""Listeners, and the calibration that weighs what they hear."""

import time
from collections.abc import Callable, Mapping, Sequence

from voiceassist.app.judging import Judgement, judged, sound_of, understood, with_second_look
from voiceassist.doubt.alike import Alikes
from voiceassist.doubt.calibration import Calibration
from voiceassist.doubt.evidence import Evidence
from voiceassist.doubt.odds import Odds
from voiceassist.doubt.shortlist import shortlist
from voiceassist.language.step import StepGrammar
from voiceassist.recognise.base import Nothing
from voiceassist.recognise.panel import Panel
from voiceassist.sound.clip import Clip


class Hearing:
    """Hears a clip within a step's grammar, and tells how sure it is.

    Args:
        panel: the listeners.
        calibrations: by the names of their listeners; None for none at all.
        warn: told in one sentence when a listener is lost and the others go on.
        alikes: words of numbers that sound alike; None when nobody knows.
    """

    def __init__(
        self,
        panel: Panel,
        calibrations: Mapping[str, Calibration | Odds] | None,
        warn: Callable[[str], None] = lambda _: None,
        alikes: Alikes | None = None,
    ) -> None:
        self._panel = panel
        self._calibrations = calibrations or {}
        self._warn = warn
        self._alikes = alikes
        self._grammar: StepGrammar | None = None
        self.seconds = 0.0

    @property
    def name(self) -> str:
        """The names of the listeners."""
        return self._panel.name

    def prepare(self, grammar: StepGrammar) -> None:
        """Get ready for ``grammar``.

        Raises:
            RecogniseError: a listener has a word it can never hear, or is at an end.
        """
        self._panel.prepare(grammar)
        self._grammar = grammar
        self._tell_of_the_gone()

    def hear(self, clip: Clip) -> Judgement:
        """What may have been said in ``clip``."""
        if self._grammar is None:
            raise RuntimeError("prepare a grammar before hearing")
        began = time.perf_counter()
        heard = self._panel.hear(clip)
        self._tell_of_the_gone()
        calibration = self._calibrations.get(self._panel.name)
        sound = sound_of(clip)
        evidence: Sequence[Evidence] = understood(heard, self._grammar)
        if isinstance(calibration, Calibration):
            phrases = shortlist(evidence, sound, self._grammar.expectation)
            scores = self._panel.weigh(clip, phrases) if phrases else {}
            evidence = with_second_look(evidence, phrases, scores, self._grammar)
        self.seconds = time.perf_counter() - began
        return judged(heard, evidence, self._grammar, sound, calibration, self._alikes)

    def _tell_of_the_gone(self) -> None:
        while self._panel.gone:
            gone = self._panel.gone.pop(0)
            self._warn(f"{gone.found}. The session goes on with {self._panel.name}.")

    def close(self) -> None:
        """End the listeners."""
        self._panel.close()


def holds_speech(judgement: Judgement) -> bool:
    """False when every listener found no speech at all."""
    return judgement.nothing != Nothing.NO_SPEECH.value
