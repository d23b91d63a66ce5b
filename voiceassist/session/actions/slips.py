"""The unit of a number: which one is meant where its prefix was left out or mistaken."""

from collections.abc import Iterator
from decimal import Decimal

from voiceassist.language.meanings import Meaning, Reading, Spread
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import Unit, a_thousand_apart, units_of
from voiceassist.session.copying import replace
from voiceassist.session.judge import judge
from voiceassist.session.judged import Judged
from voiceassist.session.possible import limit_or_none, possible
from voiceassist.session.session import Session, SessionSetup

#: An open limit passes too much: a slip brings the number within this factor of an end.
_NEAR = 10
#: A reading within this factor of an earlier one in the same unit is meant as it was said.
_ALIKE = 3
#: What a hand meter shows on one range: so many steps, and a little over its top. Common practice.
_COUNTS = 10_000
_OVER_TOP = Decimal("1.1")


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
    shown = _on_the_range(setup, session, reading, own)
    if shown:
        return shown
    result = (judged or judge(setup, session, reading)).result
    if result is None or result.passed or _like_an_earlier(session, reading, reading.unit or own):
        return (reading,)
    said = replace(reading, unit=reading.unit or own)
    slipped = tuple(_slipped(setup, session, reading, reading.unit or own))
    return (said, *slipped) if slipped else (reading,)


def _on_the_range(
    setup: SessionSetup, session: Session, reading: Reading, own: Unit
) -> tuple[Reading, ...]:
    """A bare number in each unit in which the range of the step can show it; none without one."""
    top = setup.step(session).meter
    if top is None or reading.unit is not None or not reading.value:
        return ()
    if top.unit.quantity != own.quantity:
        return ()
    near = (u for u in units_of(own.quantity) if u == own or a_thousand_apart(u, own))
    meant = (replace(reading, unit=unit) for unit in near)
    return tuple(each for each in meant if _can_show(top, Quantity(each.value, _unit(each))))


def _unit(reading: Reading) -> Unit:
    assert reading.unit is not None
    return reading.unit


def _can_show(top: Quantity, value: Quantity) -> bool:
    """True when a meter on the range ``top`` can show ``value`` with its last digit."""
    last = value.unit.size_to_base(value.step)
    return abs(value.in_base) <= top.in_base * _OVER_TOP and last * _COUNTS >= top.in_base


def _slipped(
    setup: SessionSetup, session: Session, reading: Reading, said: Unit
) -> Iterator[Reading]:
    """The first neighbouring prefix that would make the number a likely one."""
    bare_part = reading.unit is None and said.factor < 1 and abs(reading.value) < 1
    for other in units_of(said.quantity):
        slipped = replace(reading, unit=other)
        if not a_thousand_apart(other, said) or not _near(setup, session, slipped):
            continue
        # No meter shows less than one of a small unit; it shows the next smaller.
        if _passes(setup, session, slipped) or (bare_part and other.factor > said.factor):
            yield slipped
            return


def _passes(setup: SessionSetup, session: Session, reading: Reading) -> bool:
    """Whether it passes; False too when it cannot be told."""
    result = judge(setup, session, reading).result
    return result is not None and result.passed


def _like_an_earlier(session: Session, reading: Reading, unit: Unit) -> bool:
    """True when a reading in the same unit, not many times as large, came before."""
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
    value = Quantity(reading.value, _unit(reading))
    limit = limit_or_none(setup, session, step)
    if limit is None or not possible(setup, session, step, value):
        return False
    size = abs(value.in_base)
    return any(
        abs(end.in_base) <= size * _NEAR and size <= abs(end.in_base) * _NEAR
        for end in (limit.low, limit.high)
        if end
    )
