from contextlib import suppress
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.errors import MeasureError
from voiceassist.measure import grammar
from voiceassist.measure.expression import Expression, LimitExpression
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.uncertainty import Estimate
from voiceassist.measure.units import QUANTITIES, WRITTEN_ONLY, Unit, units_of

q = Quantity.parse
VALUES = {
    "battery": q("12.60 V"),
    "at-motor": q("11.9 V"),
    "share": q("50 %"),
    "current": q("10 A"),
    "length": q("6 m"),
    "size": q("1.5 mm²"),
    "warmth": q("85 °C"),
    "flashes": q("4 times"),
}
UNITS = [u for quantity in (*QUANTITIES, *WRITTEN_ONLY) for u in units_of(quantity)]


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("11.8 V to 12.9 V", "11.8 V", "12.9 V"),
        ("at least 5 V", "5 V", None),
        ("at most 0.1 V", None, "0.1 V"),
        ("about 5 V ± 0.25 V", "4.75 V", "5.25 V"),
        ("about 5 V +- 0.25 V", "4.75 V", "5.25 V"),
        ("about battery ± 10 %", "11.340 V", "13.860 V"),
        ("about share ± 2 %", "48 %", "52 %"),
        ("battery - 0.5 V to battery + 0.2 V", "12.10 V", "12.80 V"),
        ("battery-0.5 V to battery", "12.10 V", "12.60 V"),
        ("battery − 500 mV to battery", "12.100 V", "12.60 V"),
        ("at most 2 % of battery", None, "0.2520 V"),
        ("at most battery - at-motor", None, "0.70 V"),
        ("at least 0.5 * (battery - 0.6 V)", "6.000 V", None),
        ("-5 °C to 40 °C", "-5 °C", "40 °C"),
        ("at least 95 %", "95 %", None),
        ("54 ohm to 66 Ω", "54 Ω", "66 Ω"),
        ("2 bar to 36 psi", "2 bar", "36 psi"),
        ("at most 90 °F", None, "90 °F"),
        ("12 min to 1 h", "12 min", "1 h"),
        ("at least 40 Ah", "40 A·h", None),
        ("at most 0.05 V AC", None, "0.05 V AC"),
        ("0.97:1 to 1.03:1", "0.97:1", "1.03:1"),
        ("at most 3 times", None, "3 times"),
        ("3 times to 5 times", "3 times", "5 times"),
        ("at least 50 % of (battery - 0.6 V)", "6 V", None),
        ("at least battery * 0.5", "6.3 V", None),
        ("at least (battery + at-motor) / 2", "12.25 V", None),
        ("at least battery * share", "6.3 V", None),
        ("at most (battery - at-motor) / current", None, "70 mΩ"),
        ("at most battery * current", None, "126 W"),
        ("at least 2 A * 3 Ω", "6 V", None),
        ("at least (battery - 2.6 V) / current * 2", "2 Ω", None),
        ("at most (battery - at-motor) / (battery - 5.6 V)", None, "10 %"),
        # Drop in a 6 m wire of 1.5 mm²: 10 A through 13.3 Ω/km (IEC 60228, class 5).
        ("at most wire-drop(6 m, 1.5 mm², current)", None, "0.798 V"),
        ("at most 2 * wire-drop(length, size, 10 A) + 0.1 V", None, "1.696 V"),
    ],
)
def test_limits_read_as_a_technician_writes_them(
    text: str, low: str | None, high: str | None
) -> None:
    found = LimitExpression.parse(text).fill(VALUES)
    for end, wanted in ((found.low, low), (found.high, high)):
        assert (end is None) == (wanted is None)
        if end is not None and wanted is not None:
            assert end.same_as(q(wanted))


def test_a_limit_tells_the_readings_it_needs() -> None:
    limit = LimitExpression.parse("at most battery - at-motor")
    assert limit.names == {"battery", "at-motor"}


def test_a_missing_reading_is_named() -> None:
    with pytest.raises(MeasureError, match="'supply'"):
        LimitExpression.parse("at least supply").fill(VALUES)


@pytest.mark.parametrize(
    ("text", "stopped"),
    [
        ("", "its end"),
        ("12 V", "column"),
        ("at least", "at least"),
        ("11 V to", "to"),
        ("12 V to 11 X", "'X'"),
        ("between 11 V and 12 V", "between"),
        ("battery - to 12 V", "to 12 V"),
    ],
)
def test_a_limit_that_cannot_be_read_says_where(text: str, stopped: str) -> None:
    with pytest.raises(MeasureError, match="write it like") as caught:
        LimitExpression.parse(text)
    assert stopped in str(caught.value)


def test_volts_and_amperes_do_not_add_up_in_a_limit() -> None:
    with pytest.raises(MeasureError, match="current"):
        LimitExpression.parse("battery - 2 A to battery").fill(VALUES)


@pytest.mark.parametrize(
    ("text", "names", "value"),
    [
        ("battery - at-motor", {"battery", "at-motor"}, "0.70 V"),
        ("(battery - at-motor) / current", {"battery", "at-motor", "current"}, "0.07 Ω"),
        ("battery * 0.5", {"battery"}, "6.3 V"),
        ("0.5 * battery", {"battery"}, "6.3 V"),
        ("battery / 2", {"battery"}, "6.3 V"),
        ("battery * 2 / 3", {"battery"}, "8.4 V"),
        ("battery - 1 V - 2 V", {"battery"}, "9.6 V"),
        ("2 V * 6 / 3", set(), "4 V"),
        ("flashes + 1 times", {"flashes"}, "5 times"),
        ("wire-drop(6 m, 1.5 mm2, current)", {"current"}, "0.798 V"),
        # 1.255 times as much at 85 °C: 1 + 0.00393 * 65 (IEC 60028).
        ("wire-drop(length, size, 10 A, warmth)", {"length", "size", "warmth"}, "1.0018491 V"),
    ],
)
def test_formulas_are_computed_as_written(text: str, names: set[str], value: str) -> None:
    formula = Expression.parse(text)
    assert formula.names == names
    assert formula.compute(VALUES).same_as(q(value))
    assert formula.text == text


@pytest.mark.parametrize(
    "text",
    [
        "",
        "0.5",
        "battery *",
        "* 2",
        "battery to at-motor",
        "(battery",
        "2 - battery",
        "at least 5 V",
    ],
)
def test_a_formula_that_cannot_be_read_says_where(text: str) -> None:
    with pytest.raises(MeasureError, match=r"the formula .* cannot be read from .*; write it like"):
        Expression.parse(text)


def test_a_text_longer_than_anyone_reads_aloud_is_refused() -> None:
    with pytest.raises(MeasureError, match="longer than 300 characters"):
        Expression.parse("(" * 200 + "battery" + ")" * 200)


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("battery / (at-motor - at-motor)", "divided by zero"),
        ("battery / 0", "divided by zero"),
        ("battery * battery", "voltage times voltage"),
        ("wire-drop(6 m, 1.4 mm², current)", "not a size"),
        ("wire-drop(6 V, 1.5 mm², current)", "length"),
        ("wire-drop(6 m, 1.5 mm², battery)", "current"),
    ],
)
def test_a_formula_that_has_no_value_says_why(text: str, fault: str) -> None:
    with pytest.raises(MeasureError, match=fault):
        Expression.parse(text).compute(VALUES)


@pytest.mark.parametrize("unit", UNITS, ids=lambda unit: f"{unit.quantity} {unit.exponent}")
def test_every_unit_can_stand_in_a_limit(unit: Unit) -> None:
    limit = LimitExpression.parse(f"at least 1.5 {unit}").fill({})
    assert limit.low == Quantity(Decimal("1.5"), unit)


def test_the_ends_of_a_limit_keep_their_brackets() -> None:
    limit = LimitExpression.parse("0.5 * (battery - 0.6 V) to (battery + at-motor) / 2")
    assert limit.low is not None
    assert limit.high is not None
    assert (limit.low.text, limit.high.text) == (
        "0.5 * (battery - 0.6 V)",
        "(battery + at-motor) / 2",
    )


def test_what_is_written_the_same_is_equal() -> None:
    assert LimitExpression.parse("at least battery") == LimitExpression.parse("at least battery")
    assert Expression.parse("battery") != Expression.parse("current")


# --- other names ---


def test_a_formula_keeps_its_value_under_other_names() -> None:
    formula = Expression.parse("battery - 0.5 * at-motor").renamed({"battery": "cab-battery"})
    assert formula.text == "cab-battery - 0.5 * at-motor"
    assert formula.names == {"cab-battery", "at-motor"}
    values = {"cab-battery": q("24 V"), "at-motor": q("10 V"), "battery": q("1 V")}
    assert formula.compute(values).same_as(q("19 V"))


def test_two_names_can_change_places() -> None:
    swapped = Expression.parse("battery - at-motor").renamed(
        {"battery": "at-motor", "at-motor": "battery"}
    )
    assert swapped.text == "at-motor - battery"
    assert swapped.compute(VALUES).same_as(q("-0.7 V"))


def test_units_and_words_of_the_language_are_not_renamed() -> None:
    limit = LimitExpression.parse("wire-drop(6 m, 1.5 mm², m) to 5 % of s")
    renamed = limit.renamed({"m": "motor", "s": "supply", "of": "x", "to": "y", "wire-drop": "z"})
    assert renamed.text == "wire-drop(6 m, 1.5 mm², motor) to 5 % of supply"
    assert renamed.names == {"motor", "supply"}


def test_both_ends_of_a_limit_are_renamed() -> None:
    limit = LimitExpression.parse("about battery ± 10 %").renamed({"battery": "b2"})
    assert limit.text == "about b2 ± 10 %"
    filled = limit.fill({"b2": q("10 V")})
    assert filled.low is not None
    assert filled.high is not None
    assert filled.low.same_as(q("9 V"))
    assert filled.high.same_as(q("11 V"))


def test_a_missing_reading_is_named_by_its_new_name() -> None:
    with pytest.raises(MeasureError, match="'cab-battery'"):
        Expression.parse("battery").renamed({"battery": "cab-battery"}).compute(VALUES)


@pytest.mark.parametrize(
    "text", ["battery - at-motor", "wire-drop(6 m, size, battery)", "2 * size"]
)
def test_renaming_there_and_back_changes_nothing(text: str) -> None:
    formula = Expression.parse(text)
    there = {name: f"{name}-x" for name in formula.names}
    back = {new: old for old, new in there.items()}
    assert formula.renamed(there).renamed(back) == formula


# --- doubt ---


def test_doubt_that_an_end_shares_with_itself_cancels() -> None:
    limit = LimitExpression.parse("at least battery - battery + 1 V")
    low, high = limit.estimate({"battery": Estimate(q("12 V"), (("gain", Decimal("0.1")),))})
    assert low is not None
    assert high is None
    assert low.quantity.same_as(q("1 V"))
    assert low.standard == 0


def test_an_estimate_names_the_reading_that_is_missing() -> None:
    with pytest.raises(MeasureError, match="'at-motor'"):
        Expression.parse("battery - at-motor").estimate({"battery": Estimate.exact(q("12 V"))})


# --- any text ---

_WORDS = ["battery", "to", "at least", "about", "of", "times", "wire-drop("]
_VALUES = ["5", "0", "5 V", "-2 mA", "1.5 mm²", "3 times", "6 m", "٣ V"]
_PIECES = st.sampled_from([*_WORDS, *_VALUES, *"±%(),+-*/\n"])


@given(st.text() | st.lists(_PIECES, max_size=12).map(" ".join) | st.lists(_PIECES).map("".join))
def test_any_text_is_read_or_refused_in_one_sentence(text: str) -> None:
    with suppress(MeasureError):
        LimitExpression.parse(text)
    with suppress(MeasureError):
        Expression.parse(text)


def test_a_unit_with_a_slash_in_it_could_be_read(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(grammar, "written_symbols", lambda: ("km/h", "V"))
    tree = grammar._parser.__wrapped__().parse("at most 50 km/h", start="limit")
    assert [str(token) for token in tree.scan_values(lambda _: True)] == ["50 km/h"]
