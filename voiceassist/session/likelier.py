"""Which of several numbers that the same words can mean is possible at a step."""

from collections.abc import Sequence
from decimal import Decimal

from voiceassist.language.meanings import Meaning, Reading, Spread
from voiceassist.measure.quantity import Quantity
from voiceassist.session.judge import judge
from voiceassist.session.possible import Bounds, bounds, limit_or_none, possible
from voiceassist.session.session import Session, SessionSetup

#: Of two numbers ten- or a hundredfold apart, the one within the first factor of its limit was
#: meant, if no other is within the second.
_NEAR, _FAR = 3, 10
#: So few are asked about as they were told.
_ASKED_AS_TOLD = 2
#: And one within the first factor of an earlier reading, if every other is beyond this.
_UNLIKE = 5


def possible_value(
    setup: SessionSetup, session: Session, meanings: Sequence[Meaning], *, one: bool = True
) -> Reading | None:
    """The one number of ``meanings`` that is possible here; None when not just one is.

    What the procedure calls plausible decides; else a limit with two ends, and else what can be
    read in a vehicle at all. A limit with one end passes what is far from it: it tells nothing.
    A limit never decides for a good value where a bad one can be read as well. Where the same
    digits come to the same verdict either way, an earlier reading like one of them decides,
    unless they may be more than ``one`` number.
    """
    readings = [m for m in meanings if isinstance(m, Reading)]
    unit = setup.step(session).unit
    if unit is None or len(readings) < len(meanings):
        return None
    values = [Quantity(r.value, r.unit or unit) for r in readings]
    if any(value.unit.quantity != unit.quantity for value in values):
        return None
    step = setup.step(session)
    widest = bounds(setup, session, step)
    can_be = [at for at, value in enumerate(values) if _within(widest, value)]
    if widest is not None and len(can_be) == 1:
        return readings[can_be[0]]
    alike = _like_an_earlier(setup, session, readings, values) if one else None
    if alike is not None or step.plausible:
        return alike
    likely, others = (_near_limit(setup, session, can_be, values, by) for by in (_NEAR, _FAR))
    if len(likely) != 1 or others != likely or _is_good(setup, session, values[likely[0]]):
        return None
    return readings[likely[0]]


def can_be(setup: SessionSetup, session: Session, meanings: Sequence[Meaning]) -> Sequence[Meaning]:
    """Of spans, and of more than two numbers, those that can be read here; all where none can."""
    step = setup.step(session)
    ends = [_ends_of(meaning) for meaning in meanings]
    spans = any(len(each) > 1 for each in ends)
    if step.unit is None or not all(ends) or not (spans or len(meanings) > _ASKED_AS_TOLD):
        return meanings
    values = [[Quantity(r.value, r.unit or step.unit) for r in each] for each in ends]
    can = [all(possible(setup, session, step, value) for value in each) for each in values]
    return [meaning for meaning, may in zip(meanings, can, strict=True) if may] or meanings


def _ends_of(meaning: Meaning) -> tuple[Reading, ...]:
    """A number, or both ends of a span; empty for anything else."""
    if isinstance(meaning, Spread):
        return meaning.low, meaning.high
    return (meaning,) if isinstance(meaning, Reading) else ()


def _like_an_earlier(
    setup: SessionSetup, session: Session, readings: Sequence[Reading], values: Sequence[Quantity]
) -> Reading | None:
    """The one reading that is about as large as an earlier one, where all of them come to the same.

    Only of the same digits, ten- to a thousandfold apart: "four twenty" after 0.4 A.
    """
    if len({str(r.value.normalize().as_tuple().digits) for r in readings}) > 1:
        return None
    results = [judge(setup, session, reading).result for reading in readings]
    if None in results or len({r.outcome for r in results if r is not None}) > 1:
        return None
    earlier = [
        abs(result.quantity.in_base)
        for result in session.ledger
        if result.quantity is not None
        and not result.superseded
        and result.quantity.unit.quantity == values[0].unit.quantity
    ]
    near, not_far = (
        [at for at, value in enumerate(values) if _is_alike(value, earlier, by)]
        for by in (_NEAR, _UNLIKE)
    )
    return readings[near[0]] if len(near) == 1 and near == not_far else None


def _is_alike(value: Quantity, earlier: Sequence[Decimal], factor: int) -> bool:
    size = abs(value.in_base)
    return any(size <= one * factor and one <= size * factor for one in earlier)


def _within(ends: Bounds | None, value: Quantity) -> bool:
    return ends is None or ends[0] <= value <= ends[1]


def _is_good(setup: SessionSetup, session: Session, value: Quantity) -> bool:
    """Whether it lies within the limit, which has both ends here."""
    limit = limit_or_none(setup, session, setup.step(session))
    if limit is None or limit.low is None or limit.high is None:
        return False
    return limit.low <= value <= limit.high


def _near_limit(
    setup: SessionSetup,
    session: Session,
    among: Sequence[int],
    values: Sequence[Quantity],
    factor: int,
) -> Sequence[int]:
    """Which of ``values`` lie within a factor of both ends of the limit; none without two ends."""
    limit = limit_or_none(setup, session, setup.step(session))
    if limit is None or limit.low is None or limit.high is None or limit.low.value <= 0:
        return ()
    by = Decimal(factor)
    ends = (
        Quantity(limit.low.value / by, limit.low.unit),
        Quantity(limit.high.value * by, limit.high.unit),
    )
    return [at for at in among if _within(ends, values[at])]
