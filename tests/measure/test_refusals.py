"""What cannot be is refused in one sentence: what was found, and what would do instead."""

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest

from voiceassist.errors import MeasureError
from voiceassist.measure.accuracy import Accuracy
from voiceassist.measure.decision import decide
from voiceassist.measure.expression import LimitExpression
from voiceassist.measure.limit import Limit
from voiceassist.measure.meter import Meter, MeterRange
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.sweep import SweepLimit
from voiceassist.measure.table import LimitTable, Row
from voiceassist.measure.uncertainty import Estimate
from voiceassist.measure.units import QUANTITIES, WRITTEN_ONLY, base_unit, unit
from voiceassist.measure.wire import copper_resistance

q = Quantity.parse
D = Decimal
limit = LimitExpression.parse
FINE = Accuracy(D("0.5"), 2)
VOLTS = MeterRange("voltage", q("40 V"), q("0.01 V"), FINE)
METER = Meter("m", (VOLTS,))
KNOWN = {**QUANTITIES, **WRITTEN_ONLY}
SWEEP = SweepLimit(rising=True)
RUN = Row("run", None, limit("12 V to 13 V"))

REFUSED: dict[str, Callable[[], object]] = {
    "an accuracy of ±(-1 % + 2) cannot be; give both as zero or more": lambda: Accuracy(D(-1), 2),
    "an accuracy of ±(1 % + -1) cannot be; give both as zero or more": lambda: Accuracy(D(1), -1),
    "an accuracy of 100 % leaves nothing of a reading; give the percent as the data sheet of the "
    "meter has it, such as 0.5 %": lambda: Accuracy(D(100), 2),
    "a risk of 0.6 cannot be; give 0.000001 to 0.5": lambda: decide(
        Estimate.exact(q("1 V")), Estimate.exact(q("1 V")), None, D("0.6")
    ),
    "there is no reading of 'battery' yet; measure it first": lambda: limit(
        "at least battery"
    ).fill({}),
    "a limit with neither end limits nothing": lambda: Limit(None, None),
    "the limit runs from 2 V down to 1 V; swap its ends": lambda: Limit(q("2 V"), q("1 V")),
    "a range for current cannot end at 40 V; give its top in a unit of current": lambda: replace(
        VOLTS, quantity="current"
    ),
    "a range to 40 V cannot show steps of 40 V; give a resolution above zero and below the top": (
        lambda: replace(VOLTS, resolution=q("40 V"))
    ),
    "a range to 40 V cannot be in a socket for 10 A; name the socket by its own top, such as "
    "10 A": (lambda: replace(VOLTS, socket=q("10 A"))),
    "a meter needs a name and a range; give both": lambda: Meter("", (VOLTS,)),
    "meter 'm' has two ranges with the same top; take one out": lambda: Meter("m", (VOLTS, VOLTS)),
    "meter 'm' cannot have an input resistance of zero; give it as in the data sheet, such as "
    "10 MΩ": lambda: replace(METER, input_resistance=q("0 Ω")),
    "5 V is not a resistance that a source or meter can have; write it like 10 MΩ": lambda: replace(
        METER, input_resistance=q("5 V")
    ),
    "NaN is not a reading": lambda: Quantity(D("NaN"), unit("V")),
    "'much' is not a number with a unit; write it like 8.4 V": lambda: q("much"),
    "voltage times voltage is not a known quantity; multiply V by A, A by Ω, or a reading by a "
    "number or a percentage": lambda: q("2 V") * q("2 V"),
    "current divided by voltage is not a known quantity; divide V by A or Ω, W by V or A, or two "
    "readings of one kind": lambda: q("2 A") / q("2 V"),
    "nothing can be divided by zero; check the reading below the /": lambda: q("2 V") / q("0 A"),
    "20 °C and 5 °F cannot be added or subtracted; write both in °C": lambda: (
        q("20 °C") + q("5 °F")
    ),
    "1 V is a voltage, and A measures current; use the same kind of unit on both sides": lambda: q(
        "1 V"
    ).to(unit("A")),
    "1 readings neither rise nor fall; ask for 2 or more": lambda: replace(SWEEP, least=1),
    "a sweep cannot go in steps of 0 V; give a step above zero": lambda: replace(
        SWEEP, smallest_step=q("0 V")
    ),
    "the largest step, 1 V, is below the smallest, 2 V; swap them": lambda: replace(
        SWEEP, smallest_step=q("2 V"), largest_step=q("1 V")
    ),
    "the row 'cold' depends on battery; give it fixed values such as 0 °C to 25 °C": lambda: Row(
        "cold", limit("at most battery"), limit("at most 1 V")
    ),
    "the table by 'key' has no rows; write one such as 'run: 12 V to 13 V'": lambda: LimitTable(
        "key", ()
    ),
    "the table by 'key' has the row 'run' twice; take one out": lambda: LimitTable(
        "key", (RUN, RUN)
    ),
    "the table by 'key' has rows for states and for temperature; use states and answers only, or "
    "values of one kind only": lambda: LimitTable(
        "key", (RUN, Row("cold", limit("0 °C to 25 °C"), RUN.limit))
    ),
    "a source of doubt about 1 V is named twice": lambda: Estimate(
        q("1 V"), (("u", D(1)), ("u", D(2)))
    ),
    "Infinity is no doubt that 'u' can bring": lambda: Estimate(q("1 V"), (("u", D("inf")),)),
    f"'furlong' is not a known unit; use one of {', '.join(KNOWN.values())}, "
    "mV, mA, kΩ, MΩ, kPa, bar, psi, ms, min, h, °F, :1": lambda: unit("furlong"),
    "'millivolts' is not a known unit; write mV, or use one of V": lambda: unit("millivolts"),
    f"'weight' is not a known quantity; use one of {', '.join(KNOWN)}": lambda: base_unit("weight"),
    "a wire of -1 m cannot be; give zero or more": lambda: copper_resistance(18, q("-1 m")),
    "there is no gauge 99; use -3 (for 4/0) to 40": lambda: copper_resistance(99, q("1 m")),
    "1.1 mm² is not a size of flexible wire; use one of 0.": lambda: copper_resistance(
        q("1.1 mm²"), q("1 m")
    ),
    "no wire is used at 300 °C; give -60 °C to 200 °C": lambda: copper_resistance(
        18, q("1 m"), q("300 °C")
    ),
}


@pytest.mark.parametrize("sentence", REFUSED)
def test_what_cannot_be_is_refused_with_what_would_do(sentence: str) -> None:
    with pytest.raises(MeasureError) as refused:
        REFUSED[sentence]()
    assert str(refused.value).startswith(sentence)
    assert not str(refused.value).endswith(".")


def test_a_formula_longer_than_anyone_reads_is_refused_with_what_would_do() -> None:
    with pytest.raises(MeasureError, match=r"; compute a part of it in a step of its own$"):
        limit("at least " + "1 V + " * 100 + "1 V")


def test_what_only_just_can_be_is_taken() -> None:
    assert Accuracy(D(0), 0).counts == 0
    assert Accuracy(D("99.9"), 0).percent == D("99.9")
    assert Limit(q("1 V"), q("1 V")).holds(q("1 V"))
    assert replace(SWEEP, least=2).least == 2
    assert replace(SWEEP, smallest_step=q("1 V"), largest_step=q("1 V")).largest_step == q("1 V")
    assert replace(VOLTS, socket=q("40 V")).socket == q("40 V")
    assert copper_resistance(18, q("0 m")).value == 0
    for temperature in ("-60 °C", "200 °C"):
        assert copper_resistance(18, q("1 m"), q(temperature)).value > 0
