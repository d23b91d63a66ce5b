"""What the calibration weighs."""

from decimal import Decimal

import pytest
from doubt.made import LOUD, QUIET, VOLTAGE, said, volts

from voiceassist.doubt.evidence import Evidence, Guess, Sound
from voiceassist.doubt.features import features
from voiceassist.language.meanings import Command, Reading

LOW, HIGH, REPEAT = volts("8.4"), volts("13.5"), (Command("repeat"),)


def test_understandings_of_all_listeners_are_gathered_once() -> None:
    finch = Evidence("finch", (said(LOW, 0.0), said(HIGH, -4.0)))
    wren = Evidence("wren", (said(HIGH, 0.0), said(REPEAT, -1.0)))
    assert features([finch, wren], QUIET).keys == (LOW, HIGH, REPEAT)


def test_lying_behind_counts_by_the_square_root() -> None:
    found = features([Evidence("finch", (said(LOW, -10.0), said(HIGH, -26.0)))], QUIET)
    assert found.behind["finch"] == (0.0, 4.0)


def test_what_a_listener_did_not_list_lies_with_its_last_and_is_marked() -> None:
    finch = Evidence("finch", (said(LOW, 0.0), said(HIGH, -4.0)))
    found = features([finch, Evidence("wren", (said(REPEAT, 0.0),))], QUIET)
    assert found.behind["finch"] == (0.0, 2.0, 2.0)
    assert found.unlisted["finch"] == (0.0, 0.0, 1.0)
    assert found.unlisted["wren"] == (1.0, 1.0, 0.0)


def test_word_strings_that_mean_the_same_are_summed() -> None:
    # two chances of one half each make one, and its logarithm is 0
    half = -0.6931471805599453
    finch = Evidence("finch", (said(HIGH, 0.0), said(LOW, half), said(LOW, half)))
    assert features([finch], QUIET).behind["finch"] == pytest.approx((0.0, 0.0), abs=1e-6)


def test_a_bare_number_and_one_with_the_unit_of_the_step_are_one_understanding() -> None:
    bare = (Reading(Decimal("8.4")),)
    finch = Evidence("finch", (said(bare, 0.0), said(LOW, -1.0)))
    assert features([finch], QUIET, VOLTAGE).keys == (bare,)
    assert features([finch], QUIET).keys == (bare, LOW)


def test_none_of_these_counts_by_how_far_it_lies_above_the_best() -> None:
    assert features([Evidence("finch", (said(LOW, -5.0),), -3.0)], QUIET).outside == {"finch": 2.0}


@pytest.mark.parametrize("evidence", [Evidence("finch", (), -3.0), Evidence("finch", ())])
def test_a_listener_that_heard_nothing_is_silent_and_says_nothing_else(evidence: Evidence) -> None:
    wren = Evidence("wren", (said(LOW, 0.0),))
    found = features([evidence, wren], QUIET)
    assert found.silent == {"finch": 1.0, "wren": 0.0}
    assert found.outside["finch"] == 0.0
    assert found.behind["finch"] == found.unlisted["finch"] == (0.0,)


def test_agreement_counts_the_further_listeners_with_the_same_best() -> None:
    heard = [Evidence(name, (said(LOW, 0.0),)) for name in ("finch", "wren")]
    other = Evidence("tit", (said(HIGH, 0.0), said(LOW, -1.0)))
    assert features([*heard, other], QUIET).agreement == (1.0, 0.0)


@pytest.mark.parametrize(
    ("snr_db", "noise"), [(45.0, 0.0), (30.0, 0.0), (15.0, 0.5), (0.0, 1.0), (-9.0, 1.0)]
)
def test_noise_runs_from_none_in_quiet_to_one_where_it_is_as_loud_as_speech(
    snr_db: float, noise: float
) -> None:
    assert features([], Sound(snr_db, 1.0)).noise == noise


def test_nothing_heard_by_nobody_has_no_understandings() -> None:
    found = features([], LOUD)
    assert found.keys == ()
    assert found.agreement == ()


def test_a_second_look_takes_the_place_of_the_first() -> None:
    finch = Evidence("finch", (said(LOW, 0.0), said(HIGH, -4.0)), -3.0, (said(HIGH, 0.0),))
    wren = Evidence("wren", (said(LOW, 0.0),), None, (said(HIGH, -7.0), said(LOW, -16.0)))
    found = features([finch, wren], QUIET)
    assert found.keys == (LOW, HIGH)
    assert found.behind["wren"] == (3.0, 0.0)
    assert found.unlisted["finch"] == (1.0, 0.0)
    assert found.agreement == (0.0, 1.0)


def test_none_of_these_and_silence_are_those_of_the_first_look() -> None:
    finch = Evidence("finch", (said(LOW, -5.0),), -3.0, (said(LOW, -500.0), said(HIGH, -600.0)))
    silent = Evidence("wren", (), None, (said(LOW, -10.0), said(HIGH, -20.0)))
    found = features([finch, silent], QUIET)
    assert found.outside["finch"] == 2.0
    assert found.silent == {"finch": 0.0, "wren": 1.0}


def test_what_a_guess_leaves_over_of_the_clip_is_counted() -> None:
    """Other talk that begins with "yes" is longer than a yes."""
    short = Evidence("finch", (Guess("yes", LOW, 0.0),))
    longer = Evidence("wren", (Guess("eight point four volts", HIGH, -4.0),))
    assert features([short], Sound(45.0, 2.3)).unexplained == pytest.approx(1.0)
    assert features([short, longer], Sound(45.0, 2.3)).unexplained == 0.0
    assert features([short], Sound(45.0, 1.2)).unexplained == 0.0
    assert features([short], Sound(45.0, 60.0)).unexplained == 3.0
