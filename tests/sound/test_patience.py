"""A speaker who pauses is waited for, and one who does not is answered quickly again."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.errors import SoundError
from voiceassist.sound.patience import Patience


def after(*pauses_s: float) -> float:
    """How long it waits after phrases with such pauses."""
    patience = Patience(0.6, 1.2)
    for pause_s in pauses_s:
        patience.learn(pause_s)
    return patience.quiet_s


def test_at_first_it_is_quick() -> None:
    assert after() == 0.6


def test_short_pauses_change_nothing() -> None:
    assert after(0.0, 0.1, 0.3) == 0.6


def test_a_long_pause_is_waited_for_from_then_on() -> None:
    assert after(0.55) == pytest.approx(0.75)
    assert after(0.8) == pytest.approx(1.0)


def test_it_waits_no_longer_than_its_bound() -> None:
    assert after(5.0, 5.0) == pytest.approx(1.2)


def test_phrases_without_pauses_make_it_quick_again() -> None:
    waits = [after(0.8, *[0.0] * count) for count in range(12)]
    assert waits == sorted(waits, reverse=True)
    assert waits[-1] < 0.65


@given(st.lists(st.floats(0, 100)))
def test_it_never_leaves_its_bounds(pauses_s: list[float]) -> None:
    assert 0.6 <= after(*pauses_s) <= 1.2 + 1e-9


@pytest.mark.parametrize("bounds", [(0.0, 1.0), (1.0, 0.5)])
def test_bounds_that_cross_are_refused(bounds: tuple[float, float]) -> None:
    with pytest.raises(SoundError):
        Patience(*bounds)
