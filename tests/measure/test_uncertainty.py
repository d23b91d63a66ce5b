"""Doubt and how it travels. Examples: JCGM 100:2008 (GUM); reference: the uncertainties package."""

import math
import random
from collections.abc import Mapping
from decimal import Decimal
from functools import partial

import pytest
import uncertainties
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import umath

from voiceassist.errors import MeasureError
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.uncertainty import Estimate, difference, estimate_of
from voiceassist.measure.units import base_unit, unit

q = Quantity.parse
D = Decimal
sizes = st.decimals(-10, 10, places=4)
sources = st.dictionaries(st.sampled_from("abcdef"), sizes).map(lambda d: tuple(d.items()))
estimates = st.builds(
    Estimate,
    st.builds(
        Quantity, st.decimals(-1000, 1000, places=3), st.sampled_from([unit("V"), unit("mV")])
    ),
    sources,
)


def alone(text: str, doubt: str, source: str) -> Estimate:
    return Estimate(q(text), ((source, D(doubt)),))


def test_an_exact_value_has_no_doubt() -> None:
    exact = Estimate.exact(q("12.60 V"))
    assert exact.standard == 0


def test_independent_parts_add_as_squares() -> None:
    # A 3-4-5 triangle, by hand.
    assert Estimate(q("1 V"), (("a", D("0.3")), ("b", D("-0.4")))).standard == D("0.5")


def test_a_source_named_twice_is_refused() -> None:
    with pytest.raises(MeasureError, match="twice"):
        Estimate(q("1 V"), (("a", D(1)), ("a", D(2))))


def test_a_part_is_a_finite_decimal() -> None:
    with pytest.raises(MeasureError, match="NaN"):
        Estimate(q("1 V"), (("a", D("NaN")),))
    with pytest.raises(TypeError, match="Decimal"):
        Estimate(q("1 V"), (("a", 0.1),))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("shared", "doubt"),
    [
        # JCGM 100 5.2.2, example: ten resistors of 1000 Ω, each with u = 0.1 Ω, in series.
        (True, "1.0"),
        (False, "0.32"),
    ],
)
def test_ten_resistors_calibrated_alike_are_less_sure_than_ten_unlike(
    shared: bool, doubt: str
) -> None:
    inputs = {
        f"r{i}": alone("1000 Ω", "0.1", "standard" if shared else f"standard {i}")
        for i in range(10)
    }

    def series(values: Mapping[str, Quantity]) -> Quantity:
        return sum(list(values.values())[1:], next(iter(values.values())))

    found = estimate_of(series, inputs)
    assert found.quantity == q("10000 Ω")
    assert found.standard.quantize(D(doubt)) == D(doubt)


@pytest.mark.parametrize(
    ("one", "other", "sign", "value", "doubt"),
    [
        # Computed with the uncertainties package; the test below repeats it.
        (("0.350 V", "0.003"), ("10.0 A", "0.1"), "/", "0.0350 Ω", "0.00046"),
        (("12.6 V", "0.05"), ("5.00 A", "0.06"), "*", "63.0 W", "0.8"),
    ],
)
def test_ohms_law_carries_the_doubt_of_both_readings(
    one: tuple[str, str], other: tuple[str, str], sign: str, value: str, doubt: str
) -> None:
    inputs = {"one": alone(*one, "v"), "other": alone(*other, "a")}
    found = estimate_of(
        lambda v: v["one"] / v["other"] if sign == "/" else v["one"] * v["other"], inputs
    )
    a, b = (
        uncertainties.ufloat(float(e.quantity.value), float(e.standard)) for e in inputs.values()
    )
    reference = a / b if sign == "/" else a * b
    assert found.quantity.same_as(q(value))
    assert found.standard.quantize(D(doubt)) == D(doubt)
    assert float(found.standard) == pytest.approx(reference.std_dev, rel=1e-3)


# JCGM 100 table H.2: five simultaneous observations of V in V, I in mA, φ in rad.
ROWS = (
    ("5.007", "19.663", "1.0456"),
    ("4.994", "19.639", "1.0438"),
    ("5.005", "19.640", "1.0468"),
    ("4.990", "19.685", "1.0428"),
    ("4.999", "19.678", "1.0433"),
)


def _means() -> dict[str, Estimate]:
    """Means of the columns; each row is a source they share, so that they are correlated."""
    kinds = {"v": (unit("V"), D(1)), "i": (unit("A"), D("0.001")), "phi": (unit("%"), D(1))}
    found = {}
    for (name, (its_unit, factor)), column in zip(
        kinds.items(), zip(*ROWS, strict=True), strict=True
    ):
        seen = [D(text) * factor for text in column]
        mean = sum(seen) / D(5)
        # variance of a mean of n: the squares over n (n - 1), JCGM 100 4.2.3
        parts = ((f"row {k}", (value - mean) / D(20).sqrt()) for k, value in enumerate(seen))
        found[name] = Estimate(Quantity(mean, its_unit), tuple(parts))
    return found


def _turned(function: str, v: Mapping[str, Quantity]) -> Quantity:
    """V / I, times a function of φ for the resistance and the reactance."""
    angle = float(v["phi"].value)
    share = {"R": math.cos(angle), "X": math.sin(angle), "Z": 1.0}[function]
    return (v["v"] / v["i"]).times(D(repr(share)))


def test_correlated_inputs_make_correlated_results() -> None:
    """JCGM 100 H.2, tables H.3 and H.4; the reactance's 0.2956 is printed there as 0.295."""
    inputs = _means()
    found = {name: estimate_of(partial(_turned, name), inputs) for name in "RXZ"}
    expected = {"R": ("127.732", 0.071), "X": ("219.847", 0.2956), "Z": ("254.260", 0.236)}
    for name, (value, doubt) in expected.items():
        assert found[name].quantity.value.quantize(D("0.001")) == D(value)
        assert float(found[name].standard) == pytest.approx(doubt, abs=0.0005)
    for pair, correlation in (("RX", -0.588), ("RZ", -0.485), ("XZ", 0.993)):
        one, other = (found[name] for name in pair)
        shared = sum((size * dict(other.parts)[source] for source, size in one.parts), D(0))
        found_correlation = float(shared / (one.standard * other.standard))
        assert found_correlation == pytest.approx(correlation, abs=0.0006)


def test_correlated_inputs_agree_with_the_uncertainties_package() -> None:
    inputs = _means()
    covariance = [
        [float(sum((s * dict(b.parts)[n] for n, s in a.parts), D(0))) for b in inputs.values()]
        for a in inputs.values()
    ]
    nominal = [float(each.quantity.value) for each in inputs.values()]
    v, i, phi = uncertainties.correlated_values(nominal, covariance)
    for name, reference in (
        ("R", v / i * umath.cos(phi)),
        ("X", v / i * umath.sin(phi)),
        ("Z", v / i),
    ):
        found = estimate_of(partial(_turned, name), inputs)
        assert float(found.quantity.value) == pytest.approx(reference.nominal_value, rel=1e-9)
        assert float(found.standard) == pytest.approx(reference.std_dev, rel=1e-4)


def test_what_two_readings_share_cancels_in_their_difference() -> None:
    one = Estimate(q("12.60 V"), (("gain", D("0.03")), ("one", D("0.003"))))
    two = Estimate(q("12100 mV"), (("gain", D("0.03")), ("two", D("0.004"))))
    apart = difference(one, two)
    assert apart.quantity.same_as(q("0.5 V"))
    assert apart.standard == D("0.005")


def test_volts_and_amperes_have_no_difference() -> None:
    with pytest.raises(MeasureError, match="current"):
        difference(Estimate.exact(q("1 V")), Estimate.exact(q("1 A")))


@given(estimates)
def test_a_value_less_itself_is_surely_nothing(each: Estimate) -> None:
    nothing = difference(each, each)
    assert nothing.quantity.in_base == 0
    assert nothing.standard == 0


@given(estimates, estimates)
def test_a_difference_is_what_propagation_makes_of_it(a: Estimate, b: Estimate) -> None:
    found = estimate_of(lambda v: v["a"] - v["b"], {"a": a, "b": b})
    assert found == difference(a, b)


@given(sources, st.randoms())
def test_the_order_of_the_parts_does_not_matter(
    parts: tuple[tuple[str, Decimal], ...], rng: random.Random
) -> None:
    shuffled = list(parts)
    rng.shuffle(shuffled)
    one, two = (Estimate(q("1 V"), tuple(order)) for order in (parts, shuffled))
    assert one == two
    assert one.standard == two.standard


@given(estimates, st.decimals(1, 10, places=2))
def test_twice_the_value_has_twice_the_doubt(each: Estimate, factor: Decimal) -> None:
    found = estimate_of(lambda v: v["x"].times(factor), {"x": each})
    assert abs(found.standard - each.standard * factor) <= D("1E-20")


def test_a_formula_that_cannot_be_computed_says_so() -> None:
    inputs = {
        "v": Estimate.exact(q("1 V")),
        "a": Estimate.exact(Quantity(D(0), base_unit("current"))),
    }
    with pytest.raises(MeasureError, match="divided by zero"):
        estimate_of(lambda v: v["v"] / v["a"], inputs)
