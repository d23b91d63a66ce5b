"""The ports for microphones and loudspeakers."""

from collections.abc import Iterator
from typing import Protocol

from voiceassist.sound.clip import Clip


class SoundSource(Protocol):
    """Where sound comes in."""

    name: str

    def chunks(self) -> Iterator[Clip]:
        """Sound as it arrives, in chunks of any length and one rate, until the source is closed.

        Raises:
            DeviceError: the device is missing, or went away.
        """
        ...

    def close(self) -> None:
        """Stop and let ``chunks`` end; from any thread, as often as one likes."""
        ...


class Player(Protocol):
    """Where sound goes out."""

    def play(self, clip: Clip) -> float:
        """Play ``clip`` to its end, or to a ``stop`` from another thread.

        Returns:
            How much of it was heard, in seconds; the whole length unless it was stopped.

        Raises:
            DeviceError: the device is missing, or went away.
        """
        ...

    def stop(self) -> None:
        """Fall silent at once; harmless when nothing plays."""
        ...

    def close(self) -> None:
        """Free what it holds."""
        ...
