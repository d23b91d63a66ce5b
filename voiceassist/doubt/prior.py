"""What is likely at a step before anything is heard."""

from voiceassist.doubt.evidence import Key
from voiceassist.language.expectation import Expectation
from voiceassist.language.identifiers import passes_check
from voiceassist.language.meanings import (
    Answer,
    Command,
    Correction,
    Identifier,
    Lamp,
    Meaning,
    OverRange,
    Reading,
)

#: Natural logarithms; rough shares of what is said at a measuring step, common practice. Where a
#: plain answer is awaited, all else is rarer: of thirty answers to a caution one is a question.
_EXPECTED, _COMMAND, _OTHER = 0.0, -2.5, -3.0
_NOT_AWAITED = -3.5
_IMPLAUSIBLE = -4.0
#: A number by itself where no value is due: hardly anybody says one.
_BARE_OUT_OF_TURN = -7.0
#: Something else than the instrument shows: who reads it, seldom misreads it. Common practice, no
#: source.
_MISREAD = -6.0
#: Digits behind the point that a meter shows at most, of other units three, and how rarely a value
#: with more of them is meant. Common practice, no source.
_FINEST = {"mV": 1, "µA": 1, "mA": 2, "Ω": 2}
_TOO_FINE = -5.0


def log_prior(key: Key, expectation: Expectation) -> float:
    """Log prior of an understanding, up to a constant; the best of its meanings counts."""
    return max(
        _of(meaning, expectation) + (0.0 if as_shown(meaning, expectation) else _MISREAD)
        for meaning in key
    )


def as_shown(meaning: Meaning, expectation: Expectation) -> bool:
    """False for what is read otherwise than the instrument shows it, where that is known."""
    if expectation.shown is None or not isinstance(meaning, Reading | OverRange | Lamp):
        return True
    return any(_same(meaning, one) for one in expectation.shown)


def _same(told: Meaning, shown: Meaning) -> bool:
    """Whether it is what is shown, with or without its unit."""
    if not isinstance(told, Reading) or not isinstance(shown, Reading):
        return told == shown
    if told.unit is None or shown.unit is None:
        return told.value == shown.value
    return told.unit.to_base(told.value) == shown.unit.to_base(shown.value)


def _of(meaning: Meaning, expectation: Expectation) -> float:  # noqa: PLR0911 - one for each class
    match meaning:
        case Correction(inner):
            return _OTHER + _of(inner, expectation)
        case Reading():
            return _reading(meaning, expectation)
        case Command(name) if name in expectation.awaited:
            return _EXPECTED
        case Command():
            return _NOT_AWAITED if _awaits_an_answer(expectation) else _COMMAND
        case Answer(name):
            return _answer(name, expectation)
        case Lamp():
            return _EXPECTED if expectation.lamp else _OTHER
        case Identifier(name, text):
            fits = name == expectation.identifier and (name != "vin" or passes_check(text))
            return _EXPECTED if fits else _OTHER
    return _OTHER


def _answer(name: str, expectation: Expectation) -> float:
    own = {choice.name for choice in expectation.choices}
    if name in expectation.awaited or (name in own and expectation.at in {"", "ask", "confirm"}):
        return _EXPECTED
    if _awaits_an_answer(expectation):
        return _NOT_AWAITED
    return _COMMAND if expectation.quantities else _EXPECTED


def _awaits_an_answer(expectation: Expectation) -> bool:
    """Whether a plain answer is due, or one of a question's own."""
    return bool(expectation.awaited) or expectation.at == "ask"


def plausible(reading: Reading, expectation: Expectation) -> bool:
    """Whether the step can have this reading; the step's own unit is taken for a bare number."""
    unit = reading.unit or expectation.unit
    if unit is None or unit.quantity not in expectation.quantities:
        return False
    value = unit.to_base(reading.value)
    low, high = expectation.lowest, expectation.highest
    below = low is not None and value < low.in_base
    above = high is not None and value > high.in_base
    return not (below or above)


def _reading(reading: Reading, expectation: Expectation) -> float:
    if expectation.awaited and "affirm-reading" not in expectation.awaited:
        return _IMPLAUSIBLE if reading.unit is not None else _BARE_OUT_OF_TURN
    if not expectation.quantities:
        return _OTHER
    if not plausible(reading, expectation):
        return _IMPLAUSIBLE
    return _EXPECTED + _shown(reading)


def _shown(reading: Reading) -> float:
    """A meter shows three or four digits: longer numbers are rarer, finer ones hardly said."""
    digits = len(reading.value.as_tuple().digits)
    return -1.0 * max(digits - 4, 0) + (_TOO_FINE if too_fine(reading) else 0.0)


def too_fine(meaning: Meaning) -> bool:
    """Whether a reading has more digits behind the point than a meter shows, as 4.60 mV has."""
    plain = meaning.meaning if isinstance(meaning, Correction) else meaning
    if not isinstance(plain, Reading) or plain.unit is None:
        return False
    exponent = plain.value.as_tuple().exponent
    return isinstance(exponent, int) and -exponent > _FINEST.get(plain.unit.symbol, 3)
