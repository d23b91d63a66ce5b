"""What one listener's scores are worth."""

import math

import pytest
from doubt.made import volts
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.app.build import shipped_odds
from voiceassist.doubt.evidence import Evidence, Guess
from voiceassist.doubt.odds import Odds, read_odds
from voiceassist.errors import DoubtError
from voiceassist.language.expectation import Expectation
from voiceassist.measure.units import unit

STEP = Expectation(("voltage",), unit("V"))
TABLE = """
[ear]
fitted-on = "nothing: invented for these tests"
scale = 0.5
other = -2.0
cost-wrong-value = 20.0
cost-wrong-turn = 80.0
let-pass-above = 0.5
ask-above = 0.05
"""


def heard(
    *scores: tuple[str, float], none: float | None = None, rest: float = -math.inf
) -> Evidence:
    guesses = tuple(Guess(f"{value} volts", volts(value), score) for value, score in scores)
    return Evidence("ear", guesses, none, rest=rest)


def test_a_listener_that_is_believed_as_it_is_gives_its_own_shares() -> None:
    found = heard(("8.4", math.log(0.6)), ("13.5", math.log(0.2)), rest=math.log(0.2))
    belief = Odds(1.0, 0.0).belief(found, STEP)
    assert belief.of(volts("8.4")) == pytest.approx(0.6)
    assert belief.of(volts("13.5")) == pytest.approx(0.2)
    assert belief.none == pytest.approx(0.2)


def test_words_that_come_to_the_same_are_added() -> None:
    guesses = (
        Guess("eight point four volts", volts("8.4"), math.log(0.3)),
        Guess("eight point four volt", volts("8.4"), math.log(0.3)),
        Guess("nine point four volts", volts("9.4"), math.log(0.4)),
    )
    belief = Odds(1.0, 0.0).belief(Evidence("ear", guesses), STEP)
    assert belief.likely[0][0] == volts("8.4")
    assert belief.likely[0][1] == pytest.approx(0.6)


def test_a_smaller_scale_is_less_sure() -> None:
    found = heard(("8.4", 0.0), ("13.5", -6.0))
    sure = [Odds(scale, 0.0).belief(found, STEP).likely[0][1] for scale in (1.0, 0.5, 0.1)]
    assert sure == sorted(sure, reverse=True)
    assert sure[0] == pytest.approx(1 / (1 + math.exp(-6)))


def test_what_fits_free_letters_far_better_is_other_talk() -> None:
    assert Odds(1.0, -4.0).belief(heard(("8.4", -30.0), none=-20.0), STEP).none > 0.99
    assert Odds(1.0, -4.0).belief(heard(("8.4", -5.0), none=-20.0), STEP).none < 0.01


@given(
    st.lists(st.floats(-200, 0), min_size=1, max_size=4),
    st.floats(-200, 0),
    st.floats(-300, 0),
    st.floats(0.1, 2),
    st.floats(-20, 20),
)
def test_all_probabilities_sum_to_one(
    scores: list[float], none: float, rest: float, scale: float, other: float
) -> None:
    found = heard(*((f"1{n}.5", score) for n, score in enumerate(scores)), none=none, rest=rest)
    belief = Odds(scale, other).belief(found, STEP)
    assert belief.none + sum(p for _, p in belief.likely) == pytest.approx(1)
    assert [p for _, p in belief.likely] == sorted((p for _, p in belief.likely), reverse=True)


def test_a_table_is_read() -> None:
    odds = read_odds(TABLE)["ear"]
    assert (odds.scale, odds.other, odds.costs.wrong_turn) == (0.5, -2.0, 80.0)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("[ear", "no[t]? TOML|not TOML"),
        ("ear = 1", "no table"),
        (TABLE.replace("scale = 0.5", ""), "scale is missing"),
        (TABLE.replace("-2.0", "nan"), "other is no number"),
        (TABLE.replace("-2.0", "true"), "other is missing or no number"),
        (TABLE.replace("= 80.0", "= 8.0"), "wrong turn must cost no less"),
    ],
)
def test_a_table_that_cannot_be_used_is_told_of(text: str, found: str) -> None:
    with pytest.raises(DoubtError, match=found):
        read_odds(text)


def test_the_shipped_odds_can_be_used() -> None:
    odds = shipped_odds()["ear"]
    assert 0 < odds.scale <= 1.5
    assert odds.fitted_on
