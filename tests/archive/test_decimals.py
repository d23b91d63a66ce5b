"""Decimals are kept digit for digit, and sort as numbers do."""

import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import insert, select

from voiceassist.archive.decimals import sort_key
from voiceassist.archive.engine import address, make_engine, reading, writing
from voiceassist.archive.find import Wanted
from voiceassist.archive.rows import TakenSession, reading_row
from voiceassist.archive.store import Archive
from voiceassist.archive.tables import readings, sessions
from voiceassist.errors import ArchiveError
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import unit
from voiceassist.record.summary import Measured, SessionSummary

DECIMALS = st.decimals(allow_nan=False, allow_infinity=False) | st.decimals(
    min_value=-100, max_value=100, places=3
)
#: Values whose digits a database that takes them for numbers would change.
DELICATE = ["12.60", "0.000", "1E-7", "-0.50", "100", "1E+3", "0.1", "-1.10E-30"]
DELICATE += ["123456789012345678901234567890.10", "0E-5"]


@given(DECIMALS, DECIMALS)
def test_keys_sort_as_the_numbers_do(one: Decimal, other: Decimal) -> None:
    keys = sort_key(one), sort_key(other)
    assert (keys[0] < keys[1]) == (one < other)
    assert (keys[0] == keys[1]) == (one == other)


@pytest.mark.parametrize("value", ["NaN", "Infinity", "1E+60000", "1E-60000"])
def test_what_has_no_place_among_readings_is_refused(value: str) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(value)} "):
        sort_key(Decimal(value))


def with_values(values: list[str]) -> TakenSession:
    volt = unit("V")
    measured = [
        Measured(n, "2026-01-02T08:00:00Z", "feed", v, Quantity(Decimal(v), volt))
        for n, v in enumerate(values, 1)
    ]
    return TakenSession("a", SessionSummary(readings=tuple(measured)), ["00"])


def test_every_digit_comes_back(archive: Archive) -> None:
    archive.put([with_values(DELICATE)])
    (row,) = archive.find(Wanted())
    values = [reading["value"] for reading in archive.readings(row["number"])]
    assert [str(value) for value in values] == [str(Decimal(v)) for v in DELICATE]


def test_the_database_itself_puts_them_in_order(where: str) -> None:
    with Archive.open(where) as archive:
        archive.put([with_values(DELICATE)])
    engine = make_engine(address(where))
    with reading(engine) as connection:
        found = list(connection.scalars(select(readings.c.value).order_by(readings.c.base_key)))
    engine.dispose()
    assert found == sorted(found)
    assert len(found) == len(DELICATE)


def test_a_reading_without_its_session_is_refused(where: str) -> None:
    with Archive.open(where):
        pass
    engine = make_engine(address(where))
    row = reading_row(Measured(1, "", "feed", "dim")) | {"session": 7, "place": 1}
    with pytest.raises(ArchiveError, match=r"(?i)foreign key"), writing(engine) as connection:
        connection.execute(insert(readings), [row])
    with reading(engine) as connection:
        assert list(connection.scalars(select(sessions.c.number))) == []
    engine.dispose()
