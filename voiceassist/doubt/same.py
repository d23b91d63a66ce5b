"""Which understandings come to the same: a bare number and one with the step's own unit."""

from dataclasses import replace

from voiceassist.doubt.evidence import Key
from voiceassist.language.expectation import Expectation
from voiceassist.language.meanings import Correction, Meaning, Reading, Series, Spread


def settled(key: Key, expectation: Expectation) -> Key:
    """``key`` with the step's own unit wherever none was spoken.

    Understandings that settle to the same are one: asking "twelve volts, or twelve?" helps nobody.
    """
    return tuple(_settled(meaning, expectation) for meaning in key)


def _settled(meaning: Meaning, expectation: Expectation) -> Meaning:
    match meaning:
        case Reading(unit=None):
            return replace(meaning, unit=expectation.unit)
        case Spread(low, high):
            # The unit is spoken once, at the end.
            low = low if low.unit else replace(low, unit=high.unit)
            return Spread(_reading(low, expectation), _reading(high, expectation))
        case Series(readings):
            return Series(tuple(_reading(each, expectation) for each in readings))
        case Correction(inner, of):
            plain = _settled(inner, expectation)
            assert not isinstance(plain, Correction)
            return Correction(plain, of)
    return meaning


def _reading(reading: Reading, expectation: Expectation) -> Reading:
    return reading if reading.unit else replace(reading, unit=expectation.unit)
