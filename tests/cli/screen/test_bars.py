"""A reading on its limit, and the level of the microphone."""

import math
from decimal import Decimal

import pytest

from voiceassist.app.view import Level
from voiceassist.cli.screen.bars import CLOSE, INSIDE, OUTSIDE, level_bar, limit_bar
from voiceassist.cli.screen.level import heard_level
from voiceassist.cli.screen.parts import ScreenState
from voiceassist.record.scale import Scale

D = Decimal
WIDTH = 40


def scale(*values: str, guards: tuple[str, str] | None = None) -> Scale:
    """12 V to 14 V, so that the bar runs from 11 V to 15 V: ten columns a volt."""
    low, high = map(D, guards) if guards else (None, None)
    return Scale(tuple(map(D, values)), D(12), D(14), low, high, "12 V", "14 V")


def test_the_limit_is_solid_and_what_lies_outside_is_light() -> None:
    assert limit_bar(scale("13"), "13 V", WIDTH)[1] == OUTSIDE * 10 + INSIDE * 20 + OUTSIDE * 10


def test_between_guard_and_end_it_is_too_close_to_call_on_either_side() -> None:
    bar = limit_bar(scale("13", guards=("12.2", "13.7")), "13 V", WIDTH)[1]
    assert bar == OUTSIDE * 8 + CLOSE * 4 + INSIDE * 15 + CLOSE * 6 + OUTSIDE * 7


@pytest.mark.parametrize(
    ("values", "shown", "row"),
    [
        (("11.5",), "11.5 V", " " * 5 + "▼ 11.5 V"),
        (("13",), "13 V", " " * 20 + "▼ 13 V"),
        (("14.9",), "14.9 V", " " * 32 + "14.9 V ▼"),
        (("12", "13"), "12 V to 13 V", " " * 10 + "▼" + " " * 9 + "▼ 12 V to 13 V"),
        (("3",), "3 V", "◀ 3 V"),
        (("99",), "99 V", "99 V ▶".rjust(WIDTH)),
        ((), "over range", "over range ▶".rjust(WIDTH)),
    ],
)
def test_the_value_stands_over_its_place_or_points_beyond_the_bar(
    values: tuple[str, ...], shown: str, row: str
) -> None:
    assert limit_bar(scale(*values), shown, WIDTH)[0] == row


def test_the_ends_stand_under_their_places() -> None:
    marks = limit_bar(scale("13"), "13 V", WIDTH)[2]
    assert marks == " " * 10 + "└ 12 V" + " " * 8 + "14 V ┘"


@pytest.mark.parametrize("width", [8, 20, 39, 76])
@pytest.mark.parametrize("low", [None, D(12)])
@pytest.mark.parametrize("value", ["-5", "0", "12", "13.99", "14", "1000"])
def test_no_row_is_wider_than_the_bar_may_be(width: int, low: Decimal | None, value: str) -> None:
    of = Scale((D(value),), low, D(14), low_text="12 V" if low else "", high_text="14 V")
    pointer, bar, marks = limit_bar(of, "v", width)
    assert len(bar) == width
    assert len(marks) <= width
    assert len(pointer) <= width


def test_an_open_end_goes_on_to_the_end_of_the_bar() -> None:
    of = Scale((D(5),), None, D(10), high_text="10 Ω")  # from 5 Ω to 15 Ω
    assert limit_bar(of, "5 Ω", WIDTH)[1] == INSIDE * 20 + OUTSIDE * 20


@pytest.mark.parametrize(
    ("dbfs", "noise", "bar"),
    [
        (-80, -80, "|" + OUTSIDE * 7),
        (-40, -60, INSIDE * 2 + "|" + INSIDE + OUTSIDE * 4),
        (0, -60, INSIDE * 2 + "|" + INSIDE * 5),
        (-70, 0, INSIDE + OUTSIDE * 6 + "|"),
    ],
)
def test_the_level_is_a_bar_with_the_noise_marked(dbfs: int, noise: int, bar: str) -> None:
    assert level_bar(dbfs, noise, 8) == bar


@pytest.mark.parametrize(
    ("rms", "noise", "shown_as"),
    [(-29.4, -61.2, (-30, -62)), (-math.inf, -math.inf, (-80, -80)), (3.0, -0.4, (0, 0))],
)
def test_levels_come_in_steps_so_that_a_quiet_room_gives_a_quiet_screen(
    rms: float, noise: float, shown_as: tuple[int, int]
) -> None:
    sound = heard_level(ScreenState(), Level(-20.0, rms, noise, speech=False, clipped=False)).sound
    assert sound is not None
    assert (sound.rms_dbfs, sound.noise_dbfs) == shown_as
