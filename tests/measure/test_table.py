import pytest

from voiceassist.errors import MeasureError
from voiceassist.measure.expression import LimitExpression
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.table import LimitTable, Row

q = Quantity.parse
parse = LimitExpression.parse


def words(*rows: tuple[str, str], by: str = "key") -> LimitTable:
    return LimitTable(by, tuple(Row(key, None, parse(limit)) for key, limit in rows))


def values(*rows: tuple[str, str], by: str = "outside") -> LimitTable:
    return LimitTable(by, tuple(Row(key, parse(key), parse(limit)) for key, limit in rows))


BY_STATE = words(("off", "at most 0.1 V"), ("run", "battery - 0.5 V to battery"))
BY_WARMTH = values(
    ("at most 0 °C", "at least 9 V"),
    ("0 °C to 25 °C", "at least 10 V"),
    ("25 °C to 40 °C", "at least battery - 2 V"),
)


@pytest.mark.parametrize(
    ("state", "limit"),
    [("off", "at most 0.1 V"), ("run", "battery - 0.5 V to battery"), ("crank", None)],
)
def test_a_state_picks_its_row(state: str, limit: str | None) -> None:
    picked = BY_STATE.pick(state)
    assert (picked.text if picked else None) == limit


@pytest.mark.parametrize(
    ("value", "limit"),
    [
        ("-12 °C", "at least 9 V"),
        ("0 °C", "at least 9 V"),
        ("0.5 °C", "at least 10 V"),
        ("25.0 °C", "at least 10 V"),
        ("40 °C", "at least battery - 2 V"),
        ("40.1 °C", None),
    ],
)
def test_a_value_picks_the_first_row_that_holds_it(value: str, limit: str | None) -> None:
    picked = BY_WARMTH.pick(q(value), {"battery": q("12 V")})
    assert (picked.text if picked else None) == limit


def test_a_value_picks_its_row_in_any_unit_of_its_kind() -> None:
    table = values(("at most 50 mA", "at least 12.4 V"), by="draw")
    assert table.pick(q("0.05 A")) is not None
    assert table.pick(q("0.051 A")) is None


def test_a_table_by_value_needs_that_value_and_those_of_its_limits() -> None:
    assert BY_WARMTH.names == {"outside", "battery"}
    assert not BY_WARMTH.conditional


def test_a_table_by_state_needs_the_readings_of_its_limits_only() -> None:
    assert BY_STATE.names == {"battery"}
    assert BY_STATE.conditional


def test_a_table_can_be_asked_under_other_names() -> None:
    table = BY_WARMTH.renamed({"outside": "cab-outside", "battery": "cab-battery"})
    assert table.by == "cab-outside"
    assert table.names == {"cab-outside", "cab-battery"}
    picked = table.pick(q("30 °C"))
    assert picked is not None
    assert picked.text == "at least cab-battery - 2 V"


def test_a_table_by_state_follows_its_question_to_another_name() -> None:
    assert BY_STATE.renamed({"key": "cab-key"}).by == "cab-key"


def test_a_table_without_rows_is_refused() -> None:
    with pytest.raises(MeasureError, match="'key' has no rows"):
        LimitTable("key", ())


def test_a_row_written_twice_is_refused() -> None:
    with pytest.raises(MeasureError, match="'run' twice"):
        words(("run", "at least 5 V"), ("run", "at least 6 V"))


def test_rows_of_words_and_of_values_do_not_mix() -> None:
    mixed = (*BY_STATE.rows, *BY_WARMTH.rows)
    with pytest.raises(MeasureError, match="states and for temperature"):
        LimitTable("key", mixed)


def test_rows_in_volts_and_in_degrees_do_not_mix() -> None:
    with pytest.raises(MeasureError, match="temperature and for voltage"):
        values(("at most 0 °C", "at least 9 V"), ("at least 3 V", "at least 9 V"))


def test_a_row_has_fixed_values() -> None:
    with pytest.raises(MeasureError, match="depends on battery"):
        values(("at least battery", "at least 9 V"))


def test_a_value_of_another_kind_is_refused() -> None:
    with pytest.raises(MeasureError, match="temperature"):
        BY_WARMTH.pick(q("12 V"))


def test_a_table_is_not_asked_with_the_other_sort_of_value() -> None:
    with pytest.raises(TypeError, match="outside"):
        BY_WARMTH.pick("cold")
    with pytest.raises(TypeError, match="key"):
        BY_STATE.pick(q("12 V"))
