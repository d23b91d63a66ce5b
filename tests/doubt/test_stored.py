"""Calibrations as text, and those that are shipped."""

from collections.abc import Mapping
from dataclasses import astuple
from decimal import Decimal
from importlib.resources import files

import pytest
from benchmarks.hearing.steps import STEPS
from doubt.made import calibrations, plain, volts
from doubt.recorded import (
    FIFTY_MILLIAMPS,
    SCREWDRIVER,
    THIRTEEN_POINT_NINE,
    TWELVE_POINT_FOUR_IN_BABBLE,
    Recorded,
)
from hypothesis import given

from voiceassist.doubt.calibration import KNOTS, Belief, Calibration, belief
from voiceassist.doubt.features import features
from voiceassist.doubt.policy import Accept, Reject, decide
from voiceassist.doubt.prior import log_prior
from voiceassist.doubt.stored import read, written
from voiceassist.errors import DoubtError
from voiceassist.language.meanings import Reading
from voiceassist.measure.units import unit

#: Alone and together, as a user may choose them.
OFFERED = {
    "sphinx",
    "moonshine",
    "whisper",
    "moonshine+sphinx",
    "moonshine+whisper",
    "moonshine+sphinx+whisper",
}


@given(calibrations())
def test_what_is_written_is_read_back(calibration: Calibration) -> None:
    again = read(written({"finch+wren": calibration}))["finch+wren"]
    assert again.fitted_on == calibration.fitted_on
    assert again.listeners == calibration.listeners
    for part in ("behind", "outside"):
        for name in calibration.listeners:
            before, after = getattr(calibration, part)[name], getattr(again, part)[name]
            assert astuple(after) == pytest.approx(astuple(before), abs=1e-4)
    for part in ("unlisted", "silent"):
        assert getattr(again, part) == pytest.approx(getattr(calibration, part), abs=1e-4)
    for part in ("none", "crowd", "agreement"):
        before, after = getattr(calibration, part), getattr(again, part)
        assert astuple(after) == pytest.approx(astuple(before), abs=1e-4)
    assert again.prior == pytest.approx(calibration.prior, abs=1e-4)
    assert again.costs == calibration.costs


GOOD = written({"finch": plain("finch")})


@pytest.mark.parametrize(
    ("fault", "text"),
    [
        ("this is not TOML", "finch = ["),
        ("no table of weights", "finch = 3"),
        ("'prior' is missing", GOOD.replace("prior =", "pryor =")),
        ("'behind-finch' is missing", GOOD.replace("behind-finch", "behind-wren")),
        ("not three numbers", GOOD.replace("none = [-4.0000, -3.0000, -2.0000]", "none = [1.0]")),
        ("'much' is no number", GOOD.replace("prior = 0.5000", 'prior = "much"')),
        ("nan is no number", GOOD.replace("prior = 0.5000", "prior = nan")),
        ("True is no number", GOOD.replace("prior = 0.5000", "prior = true")),
        ("probabilities", GOOD.replace("ask-above = 0.0500", "ask-above = 7.0")),
    ],
)
def test_a_text_with_a_fault_is_refused_with_its_file_and_what_was_found(
    fault: str, text: str
) -> None:
    assert text != GOOD
    with pytest.raises(DoubtError, match=fault) as error:
        read(text, "weights.toml")
    assert error.value.place.startswith("weights.toml")


@pytest.fixture(scope="module")
def shipped() -> Mapping[str, Calibration]:
    return read(files("voiceassist.doubt").joinpath("calibration.toml").read_text(encoding="utf-8"))


def test_the_shipped_calibrations_are_for_every_set_that_is_offered(
    shipped: Mapping[str, Calibration],
) -> None:
    assert set(shipped) == OFFERED
    assert all(each.fitted_on for each in shipped.values())


@pytest.mark.parametrize("name", sorted(OFFERED))
def test_no_shipped_weight_lets_evidence_speak_against_itself(
    shipped: Mapping[str, Calibration], name: str
) -> None:
    each = shipped[name]
    lines = [*each.behind.values(), *each.outside.values(), each.agreement]
    assert all(line.at(noise) >= -1e-3 for line in lines for noise in KNOTS)
    assert min(*each.unlisted.values(), each.prior, 0.0) == 0.0


@pytest.mark.parametrize("name", sorted(OFFERED))
def test_a_plain_phrase_in_quiet_is_believed(shipped: Mapping[str, Calibration], name: str) -> None:
    found = believed(shipped[name], THIRTEEN_POINT_NINE)
    assert found.likely[0][0] == volts("13.9")
    assert found.of(volts("13.9")) > 0.85


@pytest.mark.parametrize("name", sorted(OFFERED))
def test_other_talk_in_quiet_is_let_pass(shipped: Mapping[str, Calibration], name: str) -> None:
    found = believed(shipped[name], SCREWDRIVER)
    assert isinstance(decide(found, repr, shipped[name].costs), Reject)


@pytest.mark.parametrize("name", sorted(OFFERED))
def test_a_reading_that_no_listener_lists_is_never_taken_for_another(
    shipped: Mapping[str, Calibration], name: str
) -> None:
    found = believed(shipped[name], TWELVE_POINT_FOUR_IN_BABBLE)
    assert not isinstance(decide(found, repr, shipped[name].costs), Accept)


def test_a_listener_that_mishears_alone_is_outvoted(shipped: Mapping[str, Calibration]) -> None:
    fifty = (Reading(Decimal(50), unit("mA")),)
    assert believed(shipped["sphinx"], FIFTY_MILLIAMPS).likely[0][0] != fifty
    assert believed(shipped["moonshine+sphinx+whisper"], FIFTY_MILLIAMPS).likely[0][0] == fifty


def test_more_listeners_are_surer_in_quiet(shipped: Mapping[str, Calibration]) -> None:
    alone = believed(shipped["sphinx"], THIRTEEN_POINT_NINE).of(volts("13.9"))
    joint = believed(shipped["moonshine+sphinx+whisper"], THIRTEEN_POINT_NINE).of(volts("13.9"))
    assert joint > alone


def believed(calibration: Calibration, recorded: Recorded) -> Belief:
    expectation = STEPS[recorded.step]
    heard = [recorded.evidence(name) for name in calibration.listeners]
    found = features(heard, recorded.sound, expectation)
    return belief(calibration, found, [log_prior(key, expectation) for key in found.keys])
