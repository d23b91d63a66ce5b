"""Sound as values: a clip is one stretch of mono sound."""

from dataclasses import dataclass

from voiceassist.errors import SoundError

#: What every listener here is fed.
LISTEN_RATE_HZ = 16_000
BYTES_PER_SAMPLE = 2


@dataclass(frozen=True, slots=True)
class Clip:
    """A stretch of mono sound.

    Parts:
        pcm: signed 16-bit little-endian samples.
        rate_hz: samples a second.
    """

    pcm: bytes
    rate_hz: int = LISTEN_RATE_HZ

    def __post_init__(self) -> None:
        if len(self.pcm) % BYTES_PER_SAMPLE:
            raise SoundError(f"{len(self.pcm)} bytes are not whole 16-bit samples")
        if self.rate_hz <= 0:
            raise SoundError(f"{self.rate_hz} Hz is not a sample rate")

    @property
    def samples(self) -> int:
        """How many samples it holds."""
        return len(self.pcm) // BYTES_PER_SAMPLE

    @property
    def seconds(self) -> float:
        """How long it lasts, in seconds."""
        return self.samples / self.rate_hz

    @classmethod
    def silence(cls, seconds: float, rate_hz: int = LISTEN_RATE_HZ) -> "Clip":
        """A clip of ``seconds`` with no sound in it."""
        return cls(bytes(BYTES_PER_SAMPLE * round(seconds * rate_hz)), rate_hz)

    def __add__(self, other: "Clip") -> "Clip":
        if other.rate_hz != self.rate_hz:
            raise SoundError(f"a clip of {other.rate_hz} Hz cannot follow one of {self.rate_hz} Hz")
        return Clip(self.pcm + other.pcm, self.rate_hz)
