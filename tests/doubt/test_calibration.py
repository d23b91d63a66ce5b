"""From features to probabilities."""

import math
from dataclasses import replace

import pytest
from doubt.made import (
    KEYS,
    LOUD,
    NAMES,
    QUIET,
    VOLTAGE,
    calibrations,
    evidence,
    plain,
    positive,
    said,
    volts,
)
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.doubt.calibration import Belief, Calibration, Line, belief
from voiceassist.doubt.evidence import Evidence, Sound
from voiceassist.doubt.features import features
from voiceassist.doubt.prior import log_prior
from voiceassist.errors import DoubtError

LOW, HIGH = volts("8.4"), volts("13.5")
levels = st.floats(-10, 60)


def believed(calibration: Calibration, heard: list[Evidence], sound: Sound = QUIET) -> Belief:
    found = features(heard, sound, VOLTAGE)
    return belief(calibration, found, [log_prior(key, VOLTAGE) for key in found.keys])


@given(calibrations(), evidence("finch"), evidence("wren"), levels)
def test_probabilities_sum_to_one_with_the_likeliest_first(
    calibration: Calibration, finch: Evidence, wren: Evidence, snr_db: float
) -> None:
    found = believed(calibration, [finch, wren], Sound(snr_db, 2.0))
    shares = [share for _, share in found.likely]
    assert math.fsum([found.none, *shares]) == pytest.approx(1.0)
    assert shares == sorted(shares, reverse=True)


@given(calibrations(), evidence("finch", 1), evidence("wren"), levels, st.data())
def test_a_better_score_never_lowers_the_probability_of_an_understanding(
    calibration: Calibration, finch: Evidence, wren: Evidence, snr_db: float, data: st.DataObject
) -> None:
    raised = data.draw(st.sampled_from(finch.guesses))
    by = data.draw(st.floats(0, 50))
    guesses = [replace(g, score=g.score + by) if g is raised else g for g in finch.guesses]
    better = replace(finch, guesses=tuple(sorted(guesses, key=lambda g: -g.score)))
    sound = Sound(snr_db, 2.0)
    before = _share(believed(calibration, [finch, wren], sound), raised.meanings)
    after = _share(believed(calibration, [better, wren], sound), raised.meanings)
    assert after >= before - 1e-9


def _share(found: Belief, key: object) -> float:
    """Of an understanding, whether its unit was spoken or not."""
    same = {KEYS[0], KEYS[3]} if key in {KEYS[0], KEYS[3]} else {key}
    return math.fsum(share for each, share in found.likely if each in same)


@given(evidence("finch", 1), levels, levels, positive, positive, positive)
def test_more_noise_never_makes_a_lone_listener_surer_of_its_best(
    finch: Evidence, some_db: float, other_db: float, loss: float, quiet: float, gain: float
) -> None:
    """As long as noise takes weight from lying behind and gives it to "none of these"."""
    weights = replace(
        plain("finch"),
        behind={"finch": Line(quiet + loss, quiet + loss / 2, quiet)},
        outside={"finch": Line(0.5, 0.5, 0.5)},
        none=Line(-4.0, gain / 2 - 4.0, gain - 4.0),
        unexplained=Line(0.0, 0.0, 0.0),
        prior=0.0,
    )
    best = finch.guesses[0].meanings
    if any(g.meanings != best for g in finch.guesses):
        finch = replace(finch, guesses=(replace(finch.guesses[0], score=50.0), *finch.guesses[1:]))
    low, high = sorted((some_db, other_db))
    noisy = _share(believed(weights, [finch], Sound(low, 2.0)), best)
    clear = _share(believed(weights, [finch], Sound(high, 2.0)), best)
    assert noisy <= clear + 1e-9


def test_two_listeners_that_agree_are_surer_than_one() -> None:
    heard = (said(LOW, 0.0), said(HIGH, -4.0))
    alone = believed(plain("finch"), [Evidence("finch", heard)])
    both = believed(plain(*NAMES), [Evidence(name, heard) for name in NAMES])
    assert both.of(LOW) > alone.of(LOW) > 0.5


def test_the_prior_settles_what_the_listeners_cannot() -> None:
    finch = Evidence("finch", (said(volts("30.5"), 0.0), said(HIGH, 0.0)))
    found = believed(plain("finch"), [finch])
    assert found.likely[0][0] == HIGH


def test_an_understanding_that_nobody_had_is_not_likely_at_all() -> None:
    found = believed(plain("finch"), [Evidence("finch", (said(LOW, 0.0),))], LOUD)
    assert found.of(HIGH) == 0.0


def test_silence_of_all_leaves_only_none_of_these() -> None:
    found = believed(plain(*NAMES), [Evidence(name) for name in NAMES])
    assert found == Belief((), 1.0)


def test_a_calibration_for_other_listeners_is_refused() -> None:
    with pytest.raises(DoubtError, match="is for finch, not for wren"):
        believed(plain("finch"), [Evidence("wren", (said(LOW, 0.0),))])


@pytest.mark.parametrize("part", ["behind", "unlisted", "outside", "silent"])
def test_a_calibration_without_weights_for_a_listener_is_refused(part: str) -> None:
    weights = plain(*NAMES)
    lacking = {"finch": getattr(weights, part)["finch"]}
    with pytest.raises(DoubtError, match="lacks the listener 'wren'"):
        replace(weights, **{part: lacking})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("noise", "weight"), [(0.0, 3.0), (1 / 6, 2.5), (1 / 3, 2.0), (2 / 3, 1.0), (1.0, 0.0)]
)
def test_a_weight_goes_straight_from_knot_to_knot(noise: float, weight: float) -> None:
    assert Line(3.0, 2.0, 0.0).at(noise) == pytest.approx(weight)
