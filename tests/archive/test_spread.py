"""Median, quartiles and outliers, beside a library that nobody here wrote; and the drawing."""

import xml.etree.ElementTree as ET
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.archive.plot import drawing
from voiceassist.archive.spread import spread
from voiceassist.archive.trend import Sample, Trend
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.units import unit

VALUES = st.lists(st.decimals(-100, 100, places=2), min_size=1, max_size=40)


@given(VALUES)
def test_quartiles_are_those_of_numpy(values: list[Decimal]) -> None:
    found = spread(values)
    expected = np.percentile([float(v) for v in values], [0, 25, 50, 75, 100])  # "linear": type 7
    mine = [found.least, found.lower, found.median, found.upper, found.most]
    assert [float(v) for v in mine] == pytest.approx(list(expected), abs=1e-9)
    assert found.count == len(values)


def test_a_reading_far_from_the_others_lies_apart() -> None:
    # By hand: quartiles 2 and 4, so the fences are at 2 - 1.5 * 2 = -1 and 4 + 1.5 * 2 = 7.
    found = spread([Decimal(n) for n in (1, 2, 3, 4, 50)])
    assert [found.lower, found.upper, *found.fences] == [Decimal(n) for n in (2, 4, -1, 7)]
    assert [n for n in (-2, -1, 7, 8) if found.lies_apart(Decimal(n))] == [-2, 8]


def test_no_values_have_no_spread() -> None:
    with pytest.raises(ValueError, match="no values"):
        spread([])


def trend(values: list[str], step: str = "feed") -> Trend:
    volt = unit("V")
    samples = [
        Sample(f"s{n}", f"2026-01-{n:02}T08:00:00Z", Quantity(Decimal(v), volt), "pass")
        for n, v in enumerate(values, 1)
    ]
    return Trend("lamp", step, tuple(samples))


SVG = "{http://www.w3.org/2000/svg}"


def test_the_drawing_has_a_mark_for_each_reading_and_another_for_outliers() -> None:
    root = ET.fromstring(drawing([trend(["1", "2", "3", "4", "50"])]))
    assert len(root.findall(f"{SVG}circle")) == 4
    assert len(root.findall(f"{SVG}path")) == 1
    heights = [float(c.attrib["cy"]) for c in root.findall(f"{SVG}circle")]
    assert heights == sorted(heights, reverse=True)  # paper is measured from its top
    texts = "".join(t.text or "" for t in root.findall(f"{SVG}text"))
    for told in ("5 readings of 5 jobs, in V", "3 V", "2026-01-01", "2026-01-05"):
        assert told in texts


@pytest.mark.parametrize("values", [["12.6"], ["0", "0"], ["-1", "1"], ["1E-9", "2E-9"]])
def test_every_mark_is_on_the_paper(values: list[str]) -> None:
    root = ET.fromstring(drawing([trend(values), trend(values, 'a < "b" & c')]))
    width, height = (float(root.attrib[name]) for name in ("width", "height"))
    circles = root.findall(f"{SVG}circle")
    assert len(circles) == 2 * len(values)
    assert all(0 < float(c.attrib["cx"]) < width for c in circles)
    assert all(0 < float(c.attrib["cy"]) < height for c in circles)


def test_nothing_to_draw_is_said() -> None:
    assert "no readings" in drawing([])
