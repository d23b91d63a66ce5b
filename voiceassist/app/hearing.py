"""Listeners, and the calibration that weighs what they hear."""

from voiceassist.app.judging import Judgement, judged
from voiceassist.doubt.calibration import Calibration
from voiceassist.language.step import StepGrammar
from voiceassist.recognise.base import Nothing
from voiceassist.recognise.panel import Panel
from voiceassist.sound.clip import Clip


class Hearing:
    """Hears a clip within a step's grammar, and tells how sure it is.

    Args:
        panel: the listeners.
        calibration: for just these; None when there is none.
    """

    def __init__(self, panel: Panel, calibration: Calibration | None) -> None:
        self._panel = panel
        self._calibration = calibration
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

    def hear(self, clip: Clip) -> Judgement:
        """What may have been said in ``clip``."""
        if self._grammar is None:
            raise RuntimeError("prepare a grammar before hearing")
        heard = self._panel.hear(clip)
        self.seconds = max(each.seconds for each in heard)
        return judged(heard, self._grammar, clip, self._calibration)

    def close(self) -> None:
        """End the listeners."""
        self._panel.close()


def holds_speech(judgement: Judgement) -> bool:
    """False when every listener found no speech at all."""
    return judgement.nothing != Nothing.NO_SPEECH.value
