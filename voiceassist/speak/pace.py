"""How fast and how loud a voice speaks, and the steps in which that is changed."""

import math
from dataclasses import dataclass, replace

from voiceassist.errors import SpeakError

SLOWEST_WPM = 80
FASTEST_WPM = 300
_RATE_STEP = 1.2
_LOUDNESS_STEP = 1.35
_SOFTEST = 0.3
_LOUDEST = 2.0


@dataclass(frozen=True, slots=True)
class Pace:
    """Rate and loudness.

    Parts:
        rate_wpm: words a minute, 80 to 300.
        loudness: 1 is the engine's own; 0.3 to 2.
    """

    rate_wpm: int = 160
    loudness: float = 1.0

    def __post_init__(self) -> None:
        if not SLOWEST_WPM <= self.rate_wpm <= FASTEST_WPM:
            raise SpeakError(
                f"{self.rate_wpm} words a minute cannot be spoken",
                remedy=f"choose {SLOWEST_WPM} to {FASTEST_WPM}",
            )

    @classmethod
    def of(cls, rate_wpm: int, volume: int) -> "Pace":
        """The pace at ``rate_wpm`` and a volume in percent of the engine's own.

        Raises:
            SpeakError: one of them is out of range.
        """
        if not 100 * _SOFTEST <= volume <= 100 * _LOUDEST:
            raise SpeakError(f"a volume of {volume} % cannot be spoken", remedy="choose 30 to 200")
        return cls(rate_wpm, volume / 100)

    @property
    def gain_db(self) -> float:
        """The loudness in dB against the engine's own."""
        return 20 * math.log10(self.loudness)

    def changed(self, change: str) -> "Pace":
        """One step "slower", "faster", "louder" or "softer", as far as the range goes.

        Raises:
            ValueError: another word.
        """
        if change == "slower":
            return replace(self, rate_wpm=max(SLOWEST_WPM, round(self.rate_wpm / _RATE_STEP)))
        if change == "faster":
            return replace(self, rate_wpm=min(FASTEST_WPM, round(self.rate_wpm * _RATE_STEP)))
        if change == "louder":
            return replace(self, loudness=min(_LOUDEST, self.loudness * _LOUDNESS_STEP))
        if change == "softer":
            return replace(self, loudness=max(_SOFTEST, self.loudness / _LOUDNESS_STEP))
        raise ValueError(f"a voice cannot become {change!r}")
