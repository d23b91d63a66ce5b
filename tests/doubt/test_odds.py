"""What one listener's scores are worth."""

import math
from dataclasses import replace
from decimal import Decimal

import pytest
from doubt.made import volts
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.app.loaded import shipped_odds
from voiceassist.doubt.evidence import Evidence, Guess
from voiceassist.doubt.odds import QUIET_DB, Odds, read_odds
from voiceassist.errors import DoubtError
from voiceassist.language.expectation import Expectation
from voiceassist.language.meanings import Reading
from voiceassist.measure.quantity import Quantity
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


def test_what_was_not_heard_is_not_likely_at_all() -> None:
    belief = Odds(1.0, 0.0).belief(heard(("8.4", -3.0)), STEP)
    assert belief.of(volts("13.5")) == 0.0
    assert belief.none == 0.0  # a listener that cannot tell of other talk
    assert belief.likely == ((volts("8.4"), 1.0),)


def test_a_bare_number_and_one_with_the_unit_of_the_step_are_added() -> None:
    bare = (Reading(Decimal("8.4")),)
    guesses = (
        Guess("eight point four", bare, math.log(0.3)),
        Guess("eight point four volts", volts("8.4"), math.log(0.3)),
        Guess("nine volts", volts("9"), math.log(0.4)),
    )
    belief = Odds(1.0, 0.0).belief(Evidence("ear", guesses), STEP)
    assert belief.of(bare) == pytest.approx(0.6)


def test_of_two_that_sound_alike_the_one_that_the_step_can_have_is_likelier() -> None:
    at_a_battery = replace(STEP, highest=Quantity.parse("20 V"))
    belief = Odds(1.0, 0.0).belief(heard(("84", -3.0), ("8.4", -3.0)), at_a_battery)
    assert belief.of(volts("8.4")) > 10 * belief.of(volts("84")) > 0


@given(st.floats(-6, 6), st.floats(0.1, 6))
def test_the_more_other_talk_there_is_the_likelier_it_was_that(other: float, more: float) -> None:
    found = heard(("8.4", -5.0), none=-5.0)
    less, most = (Odds(1.0, odds).belief(found, STEP).none for odds in (other, other + more))
    assert less < most


def test_noise_makes_a_listener_less_sure_down_to_where_it_drowns_speech() -> None:
    """In quiet its scores are worth their whole scale; with speech no louder, exp(-fade) of it."""
    found = heard(("8.4", 0.0), ("13.5", -3.0))
    levels = (40.0, QUIET_DB, 20.0, 10.0, 0.0, -10.0)
    shares = [Odds(1.0, 0.0, fade=1.5).belief(found, STEP, db).likely[0][1] for db in levels]
    plain = [Odds(scale, 0.0).belief(found, STEP).likely[0][1] for scale in (1.0, math.exp(-1.5))]
    assert shares[0] == shares[1] == plain[0]
    assert shares == sorted(shares, reverse=True)
    assert len(set(shares[1:5])) == 4
    assert shares[4] == shares[5] == pytest.approx(plain[1])


def test_a_table_is_read() -> None:
    odds = read_odds(TABLE)["ear"]
    assert (odds.scale, odds.other, odds.costs.wrong_turn) == (0.5, -2.0, 80.0)
    assert odds.fitted_on == "nothing: invented for these tests"
    assert odds.fade == 0.0


def test_a_table_may_tell_how_noise_counts_and_need_not_tell_what_it_is_from() -> None:
    bare = "\n".join(line for line in TABLE.splitlines() if not line.startswith("fitted-on"))
    odds = read_odds(bare + "\nfade = 0.7")["ear"]
    assert odds.fade == 0.7
    assert odds.fitted_on == ""


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("[ear", "odds.toml: this is not TOML: "),
        ("ear = 1", "odds.toml, ear: this is not a table of numbers"),
        (TABLE.replace("scale = 0.5", ""), "odds.toml, ear: scale is missing or not a number"),
        (TABLE.replace("-2.0", "nan"), "odds.toml, ear: other is not a number"),
        (TABLE.replace("-2.0", "true"), "odds.toml, ear: other is missing or not a number"),
        (TABLE.replace("= 80.0", "= 8.0"), "odds.toml, ear: a wrong turn must cost no less"),
    ],
)
def test_a_table_that_cannot_be_used_is_told_of_with_where_it_stands(text: str, found: str) -> None:
    with pytest.raises(DoubtError) as told:
        read_odds(text)
    assert str(told.value).startswith(found)


def test_the_shipped_odds_can_be_used() -> None:
    odds = shipped_odds()["ear"]
    assert 0 < odds.scale <= 1.5
    assert odds.fitted_on
