"""What voices have in common that speak through a program of their own."""

from voiceassist.speak.child import Child
from voiceassist.speak.pace import Pace


class ChildVoice:
    """A voice whose sentences a child process makes.

    Args:
        rate_wpm: words a minute.
        volume: in percent of the engine's own, 30 to 200.

    Raises:
        SpeakError: the rate or the volume is out of range.
    """

    def __init__(self, rate_wpm: int, volume: int) -> None:
        self._pace = Pace.of(rate_wpm, volume)
        self._child = Child()

    def adjust(self, change: str) -> None:
        """Speak "slower", "faster", "louder" or "softer" from the next sentence on."""
        self._pace = self._pace.changed(change)

    def cancel(self) -> None:
        """End a ``synthesise`` that runs in another thread, at once; harmless when none does."""
        self._child.cancel()

    def close(self) -> None:
        """End what still runs."""
        self.cancel()


def one_line(sentence: str) -> str:
    """``sentence`` on one line, single spaces, without control characters."""
    visible = "".join(c if c.isprintable() else " " for c in sentence)
    return " ".join(visible.split())
