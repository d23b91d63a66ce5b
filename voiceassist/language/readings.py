"""The readings inside a meaning."""

from voiceassist.language.meanings import Correction, Meaning, Reading, Series, Spread


def readings_in(meaning: Meaning) -> tuple[Reading, ...]:
    """The readings that a meaning holds, in the order spoken; none for other meanings."""
    match meaning:
        case Correction(inner):
            return readings_in(inner)
        case Reading():
            return (meaning,)
        case Spread(low, high):
            return (low, high)
        case Series(readings):
            return readings
        case _:
            return ()
