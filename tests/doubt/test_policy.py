"""Accept, ask or reject."""

import pytest
from doubt.made import KEYS, beliefs, costs, volts
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.doubt.belief import Belief
from voiceassist.doubt.evidence import Key
from voiceassist.doubt.policy import ASIDE, Accept, AskAmong, Costs, Reject, decide, in_place

LOW, HIGH = volts("8.4"), volts("13.5")
COSTS = Costs(wrong_value=5, wrong_turn=50, none=0.5, worth=0.05)


def by_itself(key: Key) -> str:
    """Every understanding leads elsewhere."""
    return repr(key)


def nowhere_else(key: Key) -> str:
    """All lead to the same."""
    return "next"


@pytest.mark.parametrize(
    ("believed", "leads", "decision"),
    [
        (Belief(((LOW, 0.99), (HIGH, 0.01)), 0.0), by_itself, Accept(LOW, 0.99)),
        (Belief(((LOW, 0.9), (HIGH, 0.1)), 0.0), by_itself, AskAmong((LOW, HIGH), 0.9)),
        (Belief(((LOW, 0.9), (HIGH, 0.1)), 0.0), nowhere_else, Accept(LOW, 0.9, sure=True)),
        (Belief(((LOW, 0.9), (HIGH, 0.01)), 0.09), by_itself, AskAmong((LOW,), 0.9)),
        (Belief(((LOW, 0.3), (HIGH, 0.1)), 0.6), by_itself, Reject(0.6)),
        (Belief((), 1.0), by_itself, Reject(1.0)),
    ],
)
def test_doubt_costs_what_a_mistake_would(
    believed: Belief, leads: object, decision: object
) -> None:
    assert callable(leads)
    assert decide(believed, leads, COSTS) == decision


def test_what_is_not_worth_a_question_is_let_pass() -> None:
    assert decide(Belief(((LOW, 0.04), (HIGH, 0.04)), 0.4), by_itself, COSTS) == Reject(0.4)


@given(beliefs(), costs(), st.floats(1, 100), st.sampled_from([by_itself, nowhere_else]))
def test_a_dearer_wrong_turn_never_accepts_more(
    believed: Belief, cheap: Costs, factor: float, leads: object
) -> None:
    assert callable(leads)
    dear = Costs(cheap.wrong_value, cheap.wrong_turn * factor, cheap.none, cheap.worth)
    if isinstance(decide(believed, leads, dear), Accept):
        assert isinstance(decide(believed, leads, cheap), Accept)


@given(beliefs(), costs())
def test_only_the_likeliest_is_accepted_and_never_below_none(believed: Belief, cost: Costs) -> None:
    decision = decide(believed, by_itself, cost)
    if isinstance(decision, Accept):
        assert decision.probability > believed.none
        assert (decision.key, decision.probability) == believed.likely[0]


@given(beliefs(), costs())
def test_a_question_names_one_or_two_that_are_worth_it(believed: Belief, cost: Costs) -> None:
    decision = decide(believed, by_itself, cost)
    if isinstance(decision, AskAmong):
        assert 1 <= len(decision.keys) <= 2
        assert all(believed.of(key) >= cost.worth for key in decision.keys)


@given(costs(), st.sampled_from(KEYS))
def test_certainty_is_accepted_whatever_a_mistake_costs(cost: Costs, key: Key) -> None:
    assert decide(Belief(((key, 1.0),), 0.0), by_itself, cost) == Accept(key, 1.0, sure=True)


@pytest.mark.parametrize(
    "wrong",
    [
        {"wrong_value": 10.0, "wrong_turn": 5.0},
        {"wrong_value": 0.0},
        {"wrong_turn": float("inf")},
        {"wrong_turn": float("nan")},
        {"none": 0.0},
        {"none": 1.5},
        {"worth": 0.0},
        {"worth": 1.5},
        {"astray": 0.0},
        {"astray": float("inf")},
        {"read_back": 0.0},
        {"read_back": float("nan")},
    ],
)
def test_costs_that_make_no_sense_are_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(
        ValueError, match=r"^(a wrong turn must cost|none and worth|a wrong value that)"
    ):
        Costs(**wrong)


def test_a_value_that_is_only_read_back_is_worth_fewer_questions() -> None:
    """One in five may be another that comes to the same; what leads elsewhere costs as before."""
    costs = Costs(wrong_value=20, wrong_turn=80, none=0.5, worth=0.05)
    unsure = Belief(((LOW, 0.85), (HIGH, 0.15)), 0.0)
    assert decide(unsure, nowhere_else, costs) == AskAmong((LOW, HIGH), 0.85)
    assert decide(unsure, nowhere_else, costs.where_read_back()) == Accept(LOW, 0.85, sure=True)
    assert decide(unsure, by_itself, costs.where_read_back()) == AskAmong((LOW, HIGH), 0.85)
    other_talk = Belief(((LOW, 0.95),), 0.05)
    assert isinstance(decide(other_talk, nowhere_else, costs.where_read_back()), AskAmong)


@given(costs())
def test_it_never_costs_more_than_one_that_something_rests_on(cost: Costs) -> None:
    read_back = cost.where_read_back()
    assert read_back.wrong_value <= cost.wrong_value
    assert (read_back.wrong_turn, read_back.none) == (cost.wrong_turn, cost.none)


def test_what_moves_nothing_costs_five_questions_when_it_was_not_meant() -> None:
    """So it is done when it is likelier than four in five, and else asked about."""
    likely = Belief(((LOW, 0.85), (HIGH, 0.15)), 0.0)
    unsure = Belief(((LOW, 0.75), (HIGH, 0.25)), 0.0)
    assert decide(likely, lambda _: ASIDE, COSTS) == Accept(LOW, 0.85, sure=True)
    assert decide(unsure, lambda _: ASIDE, COSTS) == AskAmong((LOW, HIGH), 0.75)


@pytest.mark.parametrize(
    ("elsewhere", "none", "sure"),
    [(0.0009, 0.0, True), (0.002, 0.0, False), (0.0005, 0.0007, False), (0.0, 0.0012, False)],
)
def test_what_leads_elsewhere_or_nowhere_is_added_up_before_one_is_sure(
    elsewhere: float, none: float, sure: bool
) -> None:
    """Once in a thousand is the limit, as a wrong value that turns the job costs a thousand."""
    leads = {LOW: "next", HIGH: "next", KEYS[2]: "finding"}
    rest = 0.9 - elsewhere - none
    likely = Belief(((LOW, 0.6), (HIGH, rest), (KEYS[2], elsewhere)), none)
    cheap = Costs(wrong_value=1, wrong_turn=1, none=0.5, worth=0.05)
    decision = decide(likely, leads.__getitem__, cheap)
    assert decision == Accept(LOW, 0.6, sure=sure)


def test_what_is_as_likely_as_nothing_is_asked_about() -> None:
    even = Belief(((LOW, 0.5),), 0.5)
    cheap = Costs(wrong_value=1, wrong_turn=1, none=0.5, worth=0.05)
    assert decide(even, by_itself, cheap) == AskAmong((LOW,), 0.5)


def test_where_a_mistake_costs_just_as_much_as_a_question_it_is_asked_about() -> None:
    cheap = Costs(wrong_value=4, wrong_turn=4, none=0.5, worth=0.05)
    believed = Belief(((LOW, 0.75), (HIGH, 0.25)), 0.0)
    assert decide(believed, by_itself, cheap) == AskAmong((LOW, HIGH), 0.75)


def test_what_is_just_worth_a_question_gets_one_and_never_more_than_two_are_named() -> None:
    costs = Costs(wrong_value=50, wrong_turn=50, none=0.5, worth=0.25)
    believed = Belief(((LOW, 0.375), (HIGH, 0.25), (KEYS[2], 0.25)), 0.125)
    assert decide(believed, by_itself, costs) == AskAmong((LOW, HIGH), 0.375)


def test_another_value_costs_little_where_it_leads_to_the_same_and_much_where_it_does_not() -> None:
    leads = {LOW: "next", HIGH: "next", KEYS[2]: "finding"}
    costs = Costs(wrong_value=5, wrong_turn=50, none=0.5, worth=0.05)
    near = Belief(((LOW, 0.9), (HIGH, 0.1)), 0.0)
    far = Belief(((LOW, 0.9), (KEYS[2], 0.1)), 0.0)
    assert decide(near, leads.__getitem__, costs) == Accept(LOW, 0.9, sure=True)
    assert decide(far, leads.__getitem__, costs) == AskAmong((LOW, KEYS[2]), 0.9)


def test_what_is_rarer_here_leaves_its_probability_to_the_others_and_none_as_it_was() -> None:
    shares = {LOW: 0.1, HIGH: 1.0, KEYS[2]: 1.0}
    believed = Belief(((LOW, 0.5), (HIGH, 0.2), (KEYS[2], 0.2)), 0.1)
    placed = in_place(believed, shares.__getitem__)
    assert placed.none == 0.1
    assert [key for key, _ in placed.likely] == [HIGH, KEYS[2], LOW]
    assert placed.of(HIGH) == pytest.approx(0.4)
    assert placed.of(LOW) == pytest.approx(0.1)
    assert sum(p for _, p in placed.likely) == pytest.approx(0.9)


def test_where_nothing_else_was_heard_what_is_rare_stays_as_likely() -> None:
    believed = Belief(((LOW, 0.9),), 0.1)
    assert in_place(believed, lambda _: 0.02).of(LOW) == pytest.approx(0.9)
    assert in_place(believed, lambda _: 0.0) == believed
