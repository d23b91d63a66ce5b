"""How current goes with voltage: values found by hand, and each slope as its law really grows."""

import math
from itertools import pairwise

import pytest

from voiceassist.circuit.driven import driven
from voiceassist.circuit.laws import Fan, Filament, Friction, Junction, Law, Target, saturation

FILAMENT = Filament(hot=10.0, rated=12.0)
FAN = Fan.rated(12.0, 7.0, 0.4)
FRICTION = Friction.rated(12.0, 7.0, 0.4)
JUNCTION = Junction(saturation(0.7, 1.0, 1.0), 1.0)
LAWS: dict[str, Law] = {
    "filament": FILAMENT,
    "fan": FAN,
    "friction": FRICTION,
    "junction": JUNCTION,
}


@pytest.mark.parametrize("name", LAWS)
@pytest.mark.parametrize("volt", [-11.0, -1.3, 0.2, 0.65, 1.0, 2.45, 2.6, 7.0, 13.0])
def test_the_slope_of_a_law_is_how_its_current_grows(name: str, volt: float) -> None:
    law, step = LAWS[name], 1e-6
    grows = (law(volt + step)[0] - law(volt - step)[0]) / (2 * step)
    assert law(volt)[1] == pytest.approx(grows, rel=1e-4, abs=1e-9)


@pytest.mark.parametrize("law", [FAN, FRICTION])
def test_a_motor_takes_its_rated_current_at_its_rated_voltage_either_way_round(law: Law) -> None:
    assert law(12.0)[0] == pytest.approx(7.0)
    assert law(-12.0)[0] == pytest.approx(-7.0)
    assert law(0.0)[0] == 0


def test_a_filament_has_its_hot_resistance_at_its_rating_and_a_tenth_when_cold() -> None:
    assert FILAMENT(12.0)[0] == pytest.approx(1.2)
    assert FILAMENT(0.0) == pytest.approx((0.0, 1.0))
    assert FILAMENT(-12.0)[0] == pytest.approx(-1.2)


def test_a_steady_load_stands_until_its_winding_carries_nine_tenths_of_its_current() -> None:
    """0.9 x 7 A through 0.4 Ω are 2.52 V; up to there it is a plain resistance."""
    assert FRICTION(2.52)[0] == pytest.approx(6.3)
    assert FRICTION(1.0) == pytest.approx((2.5, 2.5))
    assert FRICTION(7.26)[0] == pytest.approx(6.65)  # half of the way to 12 V


def test_a_diode_drops_its_voltage_at_its_current_and_lets_next_to_nothing_back() -> None:
    assert JUNCTION(0.7)[0] == pytest.approx(1.0)
    assert JUNCTION(-5.0)[0] == pytest.approx(-JUNCTION.saturation - 5e-12)
    grown = [JUNCTION(volt)[0] for volt in (2.0, 2.0687, 2.07, 2.1, 3.0)]  # where it goes straight
    assert all(0 < after - before < math.inf for before, after in pairwise(grown))


def test_a_step_of_a_diode_is_held_where_the_exponential_would_run_away() -> None:
    """The usual rule of circuit simulators: see L. W. Nagel, SPICE2, 1975, from memory."""
    small = Junction(1e-14, 1.0)
    volt, critical = small.volt, small.critical
    assert critical == pytest.approx(volt * math.log(volt / (math.sqrt(2) * 1e-14)))
    assert small.limited(critical, 0.0) == critical
    assert small.limited(0.9, 0.9 - 1.9 * volt) == 0.9
    assert small.limited(5.0, 0.7) == pytest.approx(0.7 + volt * math.log1p(4.3 / volt))
    assert small.limited(5.0, 0.0) == pytest.approx(volt * math.log(5.0 / volt))
    assert small.limited(5.0, -3.0) == small.limited(5.0, 0.0)
    assert small.limited(critical + 0.01, 5.0) == critical


# --- drivers ---

RISING = ((2.0, 0.0), (10.0, 1.0))
HIGH = Target(RISING, None, 0.05)
LOW = Target(RISING, None, 0.05, sink=True)
STEADY = Target(((0.0, 1.0),), 5.0, 1.0, limit=0.1)


@pytest.mark.parametrize(
    ("command", "share", "slope"),
    [(0.0, 0.0, 0.0), (2.0, 0.0, 0.0), (4.0, 0.25, 0.125), (10.0, 1.0, 0.125), (12.0, 1.0, 0.0)],
)
def test_a_command_asks_for_a_share_straight_between_and_level_outside(
    command: float, share: float, slope: float
) -> None:
    assert HIGH.share(command) == (share, slope)


@pytest.mark.parametrize(
    ("target", "at", "ampere"),
    [
        (HIGH, (12.5, 0.5, 6.5, 3.5), (0.5 * 12 - 3) / 0.05),
        (HIGH, (12.5, 0.5, 6.5, 7.0), 0.0),  # what feeds takes nothing
        (HIGH, (0.0, 1.0, 9.0, 0.0), 1 / 0.05),  # no supply: its output is at its earth
        (LOW, (12.0, 0.0, 6.0, 8.0), -2 / 0.05),
        (LOW, (12.0, 0.0, 6.0, 5.0), 0.0),  # what earths gives nothing
        (LOW, (0.25, 0.0, 6.0, 8.0), 0.25 * (0.125 - 8.0) / 0.05),  # hardly awake
        (LOW, (0.0, 0.0, 6.0, 8.0), 0.0),
        (STEADY, (12.0, 0.0, 0.0, 4.95), 0.05),
        (STEADY, (12.0, 0.0, 0.0, 0.0), 0.1),  # shorted: no more than its limit
        (STEADY, (12.0, 0.0, 0.0, 4.9), 0.1),
        (STEADY, (4.0, 0.0, 0.0, 3.95), 0.05),  # it reaches no further than its supply
    ],
)
def test_a_driver_gives_what_its_output_lacks_and_never_the_wrong_way(
    target: Target, at: tuple[float, ...], ampere: float
) -> None:
    assert driven(target, at).current == pytest.approx(ampere, abs=2e-8)


@pytest.mark.parametrize(
    ("target", "at"),
    [
        (HIGH, (12.5, 0.5, 6.5, 3.5)),
        (HIGH, (12.5, 0.5, 6.5, 7.5)),
        (HIGH, (12.5, 0.5, 12.0, 3.5)),
        (HIGH, (0.0, 1.0, 9.0, 0.5)),
        (LOW, (12.0, 0.3, 6.0, 8.0)),
        (LOW, (0.6, 0.1, 6.0, 8.0)),
        (LOW, (12.0, 0.0, 6.0, 5.0)),
        (STEADY, (12.0, 0.0, 0.0, 4.95)),
        (STEADY, (12.0, 0.0, 0.0, 1.0)),
        (STEADY, (4.0, 0.0, 0.0, 3.95)),
        (Target(RISING, None, 0.05, pulsed=True), (12.5, 0.5, 6.5, 3.5)),
    ],
)
def test_the_slopes_of_a_driver_are_how_its_current_and_its_share_grow(
    target: Target, at: tuple[float, ...]
) -> None:
    flow, step = driven(target, at), 1e-6
    for n, (slope, share_slope) in enumerate(zip(flow.slopes, flow.share_slopes, strict=True)):
        below, above = (
            driven(target, tuple(volt + (way if n == i else 0) for i, volt in enumerate(at)))
            for way in (-step, step)
        )
        assert slope == pytest.approx((above.current - below.current) / (2 * step), abs=1e-5)
        assert share_slope == pytest.approx((above.share - below.share) / (2 * step), abs=1e-5)


def test_only_pulses_draw_a_share_from_the_supply_and_what_earths_draws_none() -> None:
    at = (12.5, 0.5, 6.5, 3.5)
    assert driven(HIGH, at).share == 1.0
    assert driven(LOW, (12.0, 0.0, 6.0, 8.0)).share == 0.0
    assert driven(Target(RISING, None, 0.05, pulsed=True), at).share == 0.5
