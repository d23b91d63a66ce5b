"""The fit weighs just what the policy weighs."""

from dataclasses import replace

import numpy as np
import pytest
from benchmarks.hearing.evidence import Sample
from benchmarks.hearing.fit import FOLDS, chosen, folds
from benchmarks.hearing.judge import Outcome, judge
from benchmarks.hearing.model import (
    Weight,
    calibration,
    likeliest,
    log_likelihood,
    log_shares,
    table,
    weights,
)
from benchmarks.hearing.steps import STEPS, grammar
from doubt import recorded
from doubt.made import volts
from doubt.recorded import Recorded

from voiceassist.doubt.calibration import Belief, Line, belief
from voiceassist.doubt.policy import Costs
from voiceassist.doubt.prior import log_prior

ALL = ("moonshine", "sphinx", "whisper")
SETS = (("sphinx",), ("moonshine", "sphinx"), ALL)


def sample(name: str, sound: Recorded) -> Sample:
    meanings = grammar(sound.step).parse(sound.said).meanings
    return Sample(
        id=name,
        part="fit",
        source="phrase",
        level="quiet",
        noise="room",
        voice="flite rms",
        kind="reading",
        step=sound.step,
        words=sound.said,
        evidence={each: sound.evidence(each) for each in ALL},
        hearing_s=dict.fromkeys(ALL, 0.1),
        weigh_s=dict.fromkeys(ALL, 0.0),
        sound=sound.sound,
        expectation=STEPS[sound.step],
        truth=meanings[0] if meanings else None,
    )


SAMPLES = [sample(name, each) for name, each in vars(recorded).items() if name.isupper()]


def test_four_sounds_were_recorded_and_one_means_nothing() -> None:
    assert [each.truth is None for each in SAMPLES] == [False, False, False, True]


@pytest.mark.parametrize("listeners", SETS)
def test_the_matrix_of_the_fit_gives_the_probabilities_of_the_policy(
    listeners: tuple[str, ...],
) -> None:
    rng = np.random.RandomState(3)
    vector = rng.uniform(0, 1, len(weights(listeners)))
    of = table(SAMPLES, listeners)
    rows, _ = log_shares(of, vector)
    weighed = calibration(listeners, vector.tolist())
    for number, each in enumerate(SAMPLES):
        found = of.found[number]
        whole = belief(weighed, found, [log_prior(key, each.expectation) for key in found.keys])
        expected = [*(whole.of(key) for key in found.keys), whole.none]
        assert np.exp(rows[of.sample == number]).tolist() == pytest.approx(expected)


def test_a_line_is_fitted_in_quiet_in_some_noise_and_in_full_noise() -> None:
    names = weights(("sphinx",))
    vector = [0.0] * len(names)
    vector[names.index(Weight("behind", "sphinx", "quiet"))] = 2.0
    vector[names.index(Weight("behind", "sphinx", "some"))] = 1.5
    vector[names.index(Weight("behind", "sphinx", "full"))] = 0.5
    assert calibration(("sphinx",), vector).behind["sphinx"] == Line(2.0, 1.5, 0.5)


@pytest.mark.parametrize("listeners", SETS)
def test_fitted_weights_explain_the_sounds_better_than_guessed_ones(
    listeners: tuple[str, ...],
) -> None:
    of = table(SAMPLES, listeners)
    fitted = likeliest(of, listeners)
    guessed = np.array([1.0 if w.part == "behind" else 0.0 for w in weights(listeners)])
    assert log_likelihood(of, fitted) > log_likelihood(of, guessed)
    evidence = ("behind", "unlisted", "outside", "agreement", "prior")
    pairs = zip(weights(listeners), fitted.tolist(), strict=True)
    assert all(value >= 0 for each, value in pairs if each.part in evidence)


def test_a_sample_left_out_takes_its_rows_along() -> None:
    of = table(SAMPLES, ALL)
    fewer = of.only(np.array([False, True, True, True]))
    vector = np.linspace(0, 1, len(weights(ALL)))
    again = table(SAMPLES[1:], ALL)
    assert log_likelihood(fewer, vector) == pytest.approx(log_likelihood(again, vector))


def test_sounds_of_the_same_words_are_judged_together() -> None:
    others = [replace(SAMPLES[0], id=f"other {n}", words=f"words {n}") for n in range(20)]
    twice = [*SAMPLES, *others, *(replace(each, level="5") for each in SAMPLES)]
    fold = folds(twice)
    assert fold[: len(SAMPLES)].tolist() == fold[-len(SAMPLES) :].tolist()
    assert set(fold.tolist()) == set(range(FOLDS))


RIGHT, WRONG = volts("13.9"), volts("30.9")


@pytest.mark.parametrize(
    ("believed", "outcome"),
    [
        (Belief(((RIGHT, 1.0),), 0.0), Outcome.RIGHT),
        (Belief(((volts("13.5"), 1.0),), 0.0), Outcome.WRONG),
        (Belief(((WRONG, 1.0),), 0.0), Outcome.ASKED),
        (Belief(((RIGHT + WRONG, 1.0),), 0.0), Outcome.ASKED),
        (Belief(((RIGHT, 0.5), (WRONG, 0.5)), 0.0), Outcome.ASKED),
        (Belief(((RIGHT, 0.1),), 0.9), Outcome.REJECTED),
        (Belief((), 1.0), Outcome.REJECTED),
    ],
)
def test_an_outcome_is_what_the_technician_would_meet(believed: Belief, outcome: Outcome) -> None:
    """Implausible and two-fold understandings are asked about however sure the listeners are."""
    assert judge(SAMPLES[0], believed, Costs()).outcome is outcome


def test_chosen_costs_ask_no_more_than_they_must() -> None:
    """Fair beliefs that are right are taken; if one in ten is not, they are asked about."""
    fair = Belief(((RIGHT, 0.96), (volts("13.5"), 0.04)), 0.0)
    wrong = Belief(((volts("13.5"), 0.96), (RIGHT, 0.04)), 0.0)
    judged = chosen([SAMPLES[0]] * 100, [fair] * 100)
    assert judge(SAMPLES[0], fair, judged).outcome is Outcome.RIGHT
    stricter = chosen([SAMPLES[0]] * 100, [fair] * 90 + [wrong] * 10)
    assert judge(SAMPLES[0], fair, stricter).outcome is Outcome.ASKED


def test_what_the_speech_detector_holds_back_is_let_pass() -> None:
    sure = Belief(((RIGHT, 1.0),), 0.0)
    cough = replace(SAMPLES[0], truth=None, detected=False)
    assert judge(cough, sure, Costs()).outcome is Outcome.REJECTED


def test_weights_for_one_listener_hold_no_agreement() -> None:
    assert not any(each.part == "agreement" for each in weights(("sphinx",)))
