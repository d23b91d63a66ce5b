"""The port for voices."""

from typing import Protocol

from voiceassist.sound.clip import Clip


class Voice(Protocol):
    """Turns a sentence into sound. Numbers and units are already words."""

    name: str

    def synthesise(self, sentence: str) -> Clip:
        """Return the whole sentence as sound.

        An empty clip when there is nothing to say or it was cancelled.

        Raises:
            SpeakError: the engine is missing, failed or took too long.
        """
        ...

    def adjust(self, change: str) -> None:
        """Speak "slower", "faster", "louder" or "softer" from the next sentence on."""
        ...

    def cancel(self) -> None:
        """End a ``synthesise`` that runs in another thread, at once; harmless when none does."""
        ...

    def close(self) -> None:
        """Free what it holds."""
        ...
