"""Meter files: what they say, and every fault at once."""

from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.measure.accuracy import Accuracy
from voiceassist.measure.quantity import Quantity
from voiceassist.procedure.faults import ProcedureFaultsError, Severity
from voiceassist.procedure.meter_file import inspect_meter, is_meter_file, read_meter

HOUSE = Path(__file__).parents[2]
ORDINARY = (HOUSE / "procedures" / "meters" / "ordinary.yaml").read_text(encoding="utf-8")
SMALL = """\
meter: mine
title: my own meter
source: maker's data sheet 7
input-resistance: 10 MΩ
ranges:
  - {top: 6 V, resolution: 1 mV, accuracy: 0.5 % + 2}
  - {top: 60 V, resolution: 0.01 V, accuracy: ±(0.5 % + 2)}
"""


def test_a_meter_is_read_with_its_ranges() -> None:
    meter = read_meter(SMALL, "mine.yaml")
    assert meter.name == "mine"
    assert meter.input_resistance == Quantity.parse("10 MΩ")
    assert [str(one.top) for one in meter.ranges] == ["6 V", "60 V"]
    assert {one.accuracy for one in meter.ranges} == {Accuracy(Decimal("0.5"), 2)}


def test_the_ordinary_meter_knows_all_that_a_workshop_measures() -> None:
    meter = read_meter(ORDINARY, "ordinary.yaml")
    assert {one.quantity for one in meter.ranges} == {
        "voltage",
        "ac-voltage",
        "current",
        "resistance",
        "frequency",
        "ratio",
        "capacitance",
        "temperature",
    }
    # common practice, no source: a hand meter of 6000 counts shows 12.60 V on its 60 V range
    shown = meter.range_for(Quantity.parse("12.60 V"))
    assert shown is not None
    assert (str(shown.top), str(shown.resolution)) == ("60 V", "0.01 V")
    assert "enter your own meter's data sheet" in ORDINARY


@given(
    percent=st.decimals("0", "10", places=2),
    counts=st.integers(0, 50),
    top=st.sampled_from(["6 V", "600 mV", "10 A", "60 kΩ", "600 Hz"]),
)
def test_what_is_written_is_what_is_read(percent: Decimal, counts: int, top: str) -> None:
    value, symbol = top.split()
    line = f"{{top: {top}, resolution: 0.001 {symbol}, accuracy: {percent} % + {counts}}}"
    text = f"meter: m\ntitle: t\nsource: general rule of thumb\nranges:\n  - {line}\n"
    (one,) = read_meter(text, "m.yaml").ranges
    assert one.accuracy == Accuracy(percent, counts)
    assert one.top == Quantity.parse(f"{value} {symbol}")
    assert read_meter(text, "m.yaml").input_resistance is None


@pytest.mark.parametrize(
    ("old", "new", "line", "message"),
    [
        ("meter: mine", "meter: My Meter", 1, "'My Meter' is not a name"),
        ("title: my own meter\n", "", 1, "'title' is missing; add it"),
        ("maker's data sheet 7", "a friend", 3, "is no source"),
        ("10 MΩ", "10 V", 4, "10 V is a voltage; give a resistance"),
        ("ranges:", "range:", 5, "'range' is not a key here; did you mean 'ranges'?"),
        ("top: 6 V", "top: six", 6, "'six' is not a number with a unit"),
        ("top: 6 V", "tpo: 6 V", 6, "'tpo' is not a key here; did you mean 'top'?"),
        ("top: 6 V", "top: -6 V", 6, "-6 V is not above zero"),
        ("1 mV", "1 mA", 6, "use the same kind of unit"),
        ("1 mV", "7 V", 6, "cannot show steps of 7 V"),
        ("0.5 % + 2}", "good}", 6, "write it like 0.5 % + 2"),
        ("top: 60 V", "top: 6 V", 5, "two ranges with the same top"),
        ("accuracy: 0.5 % + 2", "accuracy: 500 % + 2", 6, "leaves nothing of a reading"),
        ("  - {top: 6 V, resolution: 1 mV, accuracy: 0.5 % + 2}", "  - 6 V", 6, "a block"),
    ],
)
def test_a_fault_in_a_meter_has_its_line(old: str, new: str, line: int, message: str) -> None:
    assert old in SMALL
    meter, faults = inspect_meter(SMALL.replace(old, new, 1))
    assert meter is None
    assert any(f.line == line and message in f.message for f in faults), [str(f) for f in faults]


def test_every_fault_of_a_meter_is_told_at_once() -> None:
    text = SMALL
    for old, new in [
        ("mine", "My Own"),
        ("maker's data", "uncle's data"),
        ("10 MΩ", "ten"),
        ("1 mV", "a little"),
        ("±(0.5 % + 2)", "fine"),
    ]:
        text = text.replace(old, new, 1)
    _, faults = inspect_meter(text)
    assert {fault.line for fault in faults} == {1, 3, 4, 6, 7}
    assert all(fault.level is Severity.ERROR for fault in faults)


@pytest.mark.parametrize("text", ["", "just words", "[1, 2]", "meter: [", "a: &x 1\nb: *x"])
def test_what_is_no_meter_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(ProcedureFaultsError, match=r"^mine\.yaml: line \d"):
        read_meter(text, "mine.yaml")


def test_a_meter_file_is_told_by_its_first_key() -> None:
    assert is_meter_file(SMALL)
    assert is_meter_file("# words\n\nmeter: x\n")
    assert not is_meter_file("procedure: a\nmeter: b\n")
    assert not is_meter_file("meter")
