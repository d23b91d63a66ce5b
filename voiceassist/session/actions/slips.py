"""The unit and the point of a number: what is meant where prefix or point were left out."""

from collections.abc import Iterator

from voiceassist.language.meanings import Meaning, Reading, Spread
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import Unit, a_thousand_apart, units_of
from voiceassist.session.copying import replace
from voiceassist.session.judge import judge, passes
from voiceassist.session.judged import Judged
from voiceassist.session.on_range import on_the_range
from voiceassist.session.possible import limit_or_none, possible
from voiceassist.session.session import Session, SessionSetup

#: An open limit passes too much: a slip brings the number within this factor of an end; a whole
#: number of the smaller unit, such as five millivolts of drop, within that.
_NEAR, _NEAR_WHOLE = 10, 100
#: A reading within this factor of an earlier one in the same unit is meant as it was said.
_ALIKE = 3
#: What no vehicle has thousands of.
_NEVER_KILO = frozenset({"voltage", "current"})
#: So many digits are said one by one without their point: "eight four two" for 8.42.
#: With a zero among them they are rather counted: "one hundred twenty".
_IN_DIGITS = range(3, 5)


def units_meant(
    setup: SessionSetup, session: Session, meaning: Meaning, judged: Judged | None = None
) -> tuple[Meaning, ...]:
    """``meaning`` with its number in each unit that may be meant; itself where none is in doubt.

    Args:
        desk, session: where it was said.
        meaning: what was said.
        judged: as it stands; None to judge it here.
    """
    if isinstance(meaning, Reading):
        return _meant(setup, session, meaning, judged)
    if isinstance(meaning, Spread) and meaning.low.unit is None and meaning.high.unit is None:
        lows, highs = (_units(setup, session, end) for end in (meaning.low, meaning.high))
        both = [u for u in lows if u in highs]
        ends = meaning.low, meaning.high
        return tuple(Spread(*(replace(e, unit=u) for e in ends)) for u in both) or (meaning,)
    return (meaning,)


def in_its_unit(meaning: Meaning, other: Meaning | None) -> Meaning:
    """A number said without a unit in the place of ``other``, in the unit that this was said in."""
    if isinstance(meaning, Reading) and isinstance(other, Reading):
        return meaning.in_place_of(other)
    return meaning


def points_meant(setup: SessionSetup, session: Session, meaning: Meaning) -> tuple[Meaning, ...]:
    """What may be meant by a number that cannot be: that with its point put in, or itself.

    Where the point may go in two places, or in none, it is itself alone.
    """
    step = setup.step(session)
    if not isinstance(meaning, Reading) or step.unit is None:
        return (meaning,)
    digits = str(abs(meaning.value))
    unit = meaning.unit or step.unit
    whole = digits.isdecimal() and "0" not in digits and len(digits) in _IN_DIGITS
    fits = unit.quantity == step.unit.quantity
    if not whole or not fits or possible(setup, session, step, Quantity(meaning.value, unit)):
        return (meaning,)
    pointed = (replace(meaning, value=meaning.value.scaleb(-by), unit=unit) for by in (1, 2))
    likely = tuple(each for each in pointed if _near(setup, session, each))
    return (*likely, meaning) if len(likely) == 1 else (meaning,)


def _units(setup: SessionSetup, session: Session, end: Reading) -> list[Unit | None]:
    return [one.unit for one in _meant(setup, session, end)]


def _meant(
    setup: SessionSetup, session: Session, reading: Reading, judged: Judged | None = None
) -> tuple[Reading, ...]:
    """``reading`` in the unit it must be in; in two or more units when it may be either.

    A bare number is in a unit in which the meter can show it, on the range that the step has it
    set to. Else it is plain when it passes as it stands, when an earlier reading was like it,
    or when no neighbouring prefix makes sense: "fifty" where at most 100 mV pass is not plain,
    nor is "eight point four millivolts" where 8 V do, nor "point four" for 0.4 mA.
    """
    own = setup.step(session).unit
    if own is None or (reading.unit is not None and reading.unit.quantity != own.quantity):
        return (reading,)
    shown = on_the_range(setup.step(session), reading)
    if shown:
        return shown
    result = (judged or judge(setup, session, reading)).result
    if result is None or result.passed or _like_an_earlier(session, reading, reading.unit or own):
        return (reading,)
    said = replace(reading, unit=reading.unit or own)
    slipped = tuple(_slipped(setup, session, reading, reading.unit or own))
    return (said, *slipped) if slipped else (reading,)


def _slipped(
    setup: SessionSetup, session: Session, reading: Reading, said: Unit
) -> Iterator[Reading]:
    """The first neighbouring prefix that would make the number a likely one."""
    bare_part = reading.unit is None and said.factor < 1 and abs(reading.value) < 1
    for other in units_of(said.quantity):
        slipped = replace(reading, unit=other)
        if not a_thousand_apart(other, said) or not _near(setup, session, slipped):
            continue
        if other.quantity in _NEVER_KILO and other.factor > 1:
            continue
        # No meter shows less than one of a small unit; it shows the next smaller.
        if passes(setup, session, slipped) or (bare_part and other.factor > said.factor):
            yield slipped
            return


def _is_whole(reading: Reading) -> bool:
    """True for a number that was said without a part: "twelve", and not "twelve point oh"."""
    return reading.value.as_tuple().exponent == 0


def _like_an_earlier(session: Session, reading: Reading, unit: Unit) -> bool:
    """True when a reading in the same unit, not many times as large, came before.

    Never of a whole number without a unit: on the larger range a meter shows its part as well.
    """
    if reading.unit is None and _is_whole(reading):
        return False
    size = abs(Quantity(reading.value, unit).in_base)
    earlier = (
        abs(result.quantity.in_base)
        for result in session.ledger
        if not result.superseded and result.quantity is not None and result.quantity.unit == unit
    )
    return any(size <= one * _ALIKE and one <= size * _ALIKE for one in earlier)


def _near(setup: SessionSetup, session: Session, reading: Reading) -> bool:
    """True for a reading within a factor of an end of the step's limit, and within what can be."""
    step = setup.step(session)
    assert reading.unit is not None
    value = Quantity(reading.value, reading.unit)
    limit = limit_or_none(setup, session, step)
    if limit is None or not possible(setup, session, step, value):
        return False
    size = abs(value.in_base)
    small = _NEAR_WHOLE if _is_whole(reading) and value.unit.factor < 1 else _NEAR
    return any(
        abs(end.in_base) <= size * small and size <= abs(end.in_base) * _NEAR
        for end in (limit.low, limit.high)
        if end
    )
