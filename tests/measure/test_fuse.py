"""Colours of ISO 8820-3 and SAE J1284; 35 A and 40 A from memory."""

import pytest

from voiceassist.errors import MeasureError
from voiceassist.measure.fuse import FUSE_COLOURS, fuse_colour
from voiceassist.measure.quantity import Quantity

q = Quantity.parse


@pytest.mark.parametrize(
    ("rating", "colour"),
    [
        ("1 A", "black"),
        ("2 A", "grey"),
        ("3 A", "violet"),
        ("4 A", "pink"),
        ("5 A", "tan"),
        ("7.5 A", "brown"),
        ("10 A", "red"),
        ("15 A", "blue"),
        ("20 A", "yellow"),
        ("25 A", "clear"),
        ("30 A", "green"),
        ("35 A", "blue-green"),
        ("40 A", "amber"),
        ("7500 mA", "brown"),
        ("10.0 A", "red"),
        ("11 A", None),
        ("50 A", None),
    ],
)
def test_a_fuse_has_the_colour_of_its_rating(rating: str, colour: str | None) -> None:
    assert fuse_colour(q(rating)) == colour


def test_no_two_fuses_of_one_size_share_a_colour() -> None:
    assert len(set(FUSE_COLOURS.values())) == len(FUSE_COLOURS)


def test_a_fuse_is_rated_in_amperes() -> None:
    with pytest.raises(MeasureError, match="current"):
        fuse_colour(q("10 V"))
