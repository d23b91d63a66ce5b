"""How long to wait for more: as long as this speaker pauses, and no longer."""

from voiceassist.errors import SoundError

#: Waited beyond the longest pause he was seen to make.
_SPARE_S = 0.2
#: What is left of a longer wait after each phrase that did not need it.
_KEPT = 0.8


class Patience:
    """Learns from pauses how much quiet ends a phrase.

    Args:
        shortest_s: the silence that ends a phrase of someone who makes no pauses.
        longest_s: so much always does.

    Raises:
        SoundError: the bounds cross.
    """

    def __init__(self, shortest_s: float, longest_s: float) -> None:
        if not 0 < shortest_s <= longest_s:
            raise SoundError(
                f"a phrase cannot end after {shortest_s} to {longest_s} s of quiet",
                remedy="let the first be the smaller",
            )
        self._shortest_s = shortest_s
        self._longest_s = longest_s
        self._more_s = 0.0

    @property
    def quiet_s(self) -> float:
        """So much quiet ends a phrase now."""
        return self._shortest_s + self._more_s

    def learn(self, pause_s: float) -> None:
        """A phrase went on after a pause of so long; 0 when it had none."""
        wanted_s = pause_s + _SPARE_S - self._shortest_s
        more_s = max(wanted_s, _KEPT * self._more_s)
        self._more_s = min(more_s, self._longest_s - self._shortest_s)
