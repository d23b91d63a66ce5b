"""A verdict that counts the doubt of the reading and of the limit.

Terms and formulas: JCGM 106:2012. All doubt is taken as normally distributed. A rectangular
error ends at √3 standard uncertainties, so the probabilities given here are then on the safe
side near a limit, not exact.
"""

from dataclasses import dataclass
from decimal import Decimal, localcontext
from statistics import NormalDist

from voiceassist.errors import MeasureError
from voiceassist.measure.limit import Limit, Verdict
from voiceassist.measure.quantity import QUOTIENT_DIGITS, Quantity
from voiceassist.measure.uncertainty import Estimate, difference

#: One wrong verdict in twenty at worst, at each end.
RISK = Decimal("0.05")
_LEAST_RISK, _MOST_RISK = Decimal("0.000001"), Decimal("0.5")
_NORMAL = NormalDist()


@dataclass(frozen=True, slots=True)
class Decision:
    """What a reading means against its limit, and how sure that is.

    Parts:
        verdict: PASS, LOW, HIGH or TOO_CLOSE.
        guard_low, guard_high: readings between them pass, in the unit of the reading; None for
            an open end. Where they are in the wrong order no reading can pass.
    """

    verdict: Verdict
    guard_low: Quantity | None
    guard_high: Quantity | None


@dataclass(frozen=True, slots=True)
class _Side:
    """One end as the reading meets it, in base units: how far inside it is, and the band."""

    inside: Decimal
    band: Decimal
    outside: Verdict
    guard: Quantity


def decide(
    reading: Estimate, low: Estimate | None, high: Estimate | None, risk: Decimal = RISK
) -> Decision:
    """Judge ``reading`` against a limit whose ends may be doubtful too.

    Each end is guarded by a band of z(1 - risk) times the standard uncertainty of the distance
    to it (guarded acceptance, JCGM 106 8.3); what reading and end share cancels there. PASS
    beyond the bands inside, LOW or HIGH beyond a band outside, TOO_CLOSE in between. Without
    doubt the comparison is exact, and the ends themselves pass.

    Args:
        reading: what was measured.
        low, high: ends of the limit, in units of its kind; None for an open one.
        risk: largest probability of a wrong verdict at each end; 0.000001 to 0.5.

    Raises:
        MeasureError: no end, ends in the wrong order, another kind of unit, or another risk.
    """
    # made for its checks only
    Limit(low.quantity if low else None, high.quantity if high else None)
    z = _z(risk)
    below = _side(reading, low, z, Verdict.LOW) if low else None
    above = _side(reading, high, z, Verdict.HIGH) if high else None
    return Decision(
        _verdict([side for side in (below, above) if side]),
        below.guard if below else None,
        above.guard if above else None,
    )


def _verdict(sides: list[_Side]) -> Verdict:
    if all(side.inside >= side.band for side in sides):
        return Verdict.PASS
    beyond = (side.outside for side in sides if side.inside < 0 and side.inside <= -side.band)
    return next(beyond, Verdict.TOO_CLOSE)


def _side(reading: Estimate, end: Estimate, z: Decimal, outside: Verdict) -> _Side:
    sign = 1 if outside is Verdict.LOW else -1
    distance = difference(reading, end)
    band = z * distance.standard
    unit = reading.quantity.unit
    with localcontext(prec=QUOTIENT_DIGITS):
        guard = end.quantity.to(unit).value + unit.size_from_base(sign * band)
    return _Side(sign * distance.quantity.size_in_base, band, outside, Quantity(guard, unit))


def _z(risk: Decimal) -> Decimal:
    """Standard uncertainties beyond which a normal value lies with probability ``risk``."""
    if not _LEAST_RISK <= risk <= _MOST_RISK:
        raise MeasureError(
            f"a risk of {risk} cannot be", remedy=f"give {_LEAST_RISK} to {_MOST_RISK}"
        )
    return Decimal(str(-_NORMAL.inv_cdf(float(risk))))
