"""What a screen is told while a session runs; nothing on it is needed to finish a job."""

from collections.abc import Callable, Mapping

from voiceassist.app.ears.base import EarState
from voiceassist.record import lines
from voiceassist.record.present import shown, ticked
from voiceassist.record.scale import Scale
from voiceassist.record.shown import Present, ShownCaution, ShownCondition, ShownReading, ShownWords
from voiceassist.sound.level import Level

__all__ = [
    "EarState",
    "Level",
    "Present",
    "Scale",
    "ShownCaution",
    "ShownCondition",
    "ShownReading",
    "ShownWords",
    "StepRows",
    "View",
    "lines",
    "shown",
    "ticked",
]


#: Name of a step and the conditions as they are -> what the screen shows of the circuit.
StepRows = Callable[[str, Mapping[str, str]], tuple[str, ...]]


class View:
    """Shows a session to who wants to look; this one shows nothing.

    Each method may be called from any thread.
    """

    def show(self, line: lines.Line) -> None:
        """A journal line, as it was kept."""

    def level(self, level: Level) -> None:
        """How loud the microphone is, about ten times a second."""

    def state(self, state: EarState) -> None:
        """What the ears do from now on."""

    def follow(self, rows: StepRows) -> None:
        """The procedure that the session goes by, for the rows of its steps."""

    def close(self) -> None:
        """Leave the terminal as it was; as often as one likes."""
