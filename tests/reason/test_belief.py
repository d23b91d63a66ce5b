"""Beliefs follow Bayes, and tell in bits what is not known; checked against worked examples."""

from collections.abc import Callable, Iterator, Mapping
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reason.worth import entropy

from voiceassist.errors import ReasonError
from voiceassist.reason.belief import Suspects

World = Mapping[str, bool]


def share(chance: float, there: bool) -> float:
    return chance if there else 1 - chance


def asia(w: World) -> float:
    """The chest clinic of Lauritzen and Spiegelhalter 1988; tables as printed there."""
    either = w["T"] or w["L"]
    dyspnoea = {(True, True): 0.9, (True, False): 0.7, (False, True): 0.8, (False, False): 0.1}
    return (
        share(0.01, w["A"])
        * share(0.5, w["S"])
        * share(0.05 if w["A"] else 0.01, w["T"])
        * share(0.10 if w["S"] else 0.01, w["L"])
        * share(0.60 if w["S"] else 0.30, w["B"])
        * share(0.98 if either else 0.05, w["X"])
        * share(dyspnoea[either, w["B"]], w["D"])
    )


def alarm(w: World) -> float:
    """The burglary network of Russell and Norvig, "Artificial Intelligence" (from memory)."""
    rings = {(True, True): 0.95, (True, False): 0.94, (False, True): 0.29, (False, False): 0.001}
    return (
        share(0.001, w["B"])
        * share(0.002, w["E"])
        * share(rings[w["B"], w["E"]], w["A"])
        * share(0.90 if w["A"] else 0.05, w["J"])
        * share(0.70 if w["A"] else 0.01, w["M"])
    )


def worlds(names: str) -> Iterator[dict[str, bool]]:
    for values in product((True, False), repeat=len(names)):
        yield dict(zip(names, values, strict=True))


def belief_of(joint: Callable[[World], float], names: str) -> Suspects:
    return Suspects.of({key(w): joint(w) for w in worlds(names)})


def key(world: World) -> str:
    return "".join(name if there else name.lower() for name, there in world.items())


def seeing(belief: Suspects, letters: str) -> Suspects:
    return belief.given({name: float(all(c in name for c in letters)) for name in belief.shares})


def chance(belief: Suspects, letter: str) -> float:
    return belief.grouped(lambda name: letter if letter in name else "-").share(letter)


@pytest.mark.parametrize(
    ("seen", "expected"),
    [
        # Lauritzen and Spiegelhalter 1988; posteriors counted with pyAgrum and by brute force
        ("", {"T": 0.0104, "L": 0.055, "B": 0.45, "X": 0.11029, "D": 0.435971}),
        ("AD", {"T": 0.087751, "L": 0.099525, "B": 0.811402, "X": 0.219539, "S": 0.625920}),
        ("ADX", {"T": 0.391712, "L": 0.444271, "B": 0.628822}),
        ("ADx", {"T": 0.002249, "L": 0.002550}),
        ("ADs", {"T": 0.112835, "L": 0.022567}),
        ("ADS", {"T": 0.072760, "L": 0.145519}),
    ],
)
def test_the_chest_clinic_is_judged_as_in_print(seen: str, expected: dict[str, float]) -> None:
    belief = seeing(belief_of(asia, "ASTLBXD"), seen)
    assert {name: chance(belief, name) for name in expected} == pytest.approx(expected, abs=1e-6)


def test_two_neighbours_who_call_make_the_burglar_as_likely_as_the_textbook_says() -> None:
    belief = belief_of(alarm, "BEAJM")
    assert chance(seeing(belief, "JM"), "B") == pytest.approx(0.284172, abs=1e-6)
    assert chance(seeing(belief, "J"), "B") == pytest.approx(0.016284, abs=1e-6)


def test_what_a_belief_knows_is_measured_in_bits() -> None:
    # Shannon 1948: a fair coin is one bit, eight like chances three; .5 .25 .125 .125 is 1.75.
    assert entropy(Suspects.of({"heads": 1, "tails": 1})) == pytest.approx(1)
    assert entropy(Suspects.of(dict.fromkeys("abcdefgh", 2.0))) == pytest.approx(3)
    assert entropy(Suspects.of({"a": 4, "b": 2, "c": 1, "d": 1})) == pytest.approx(1.75)
    assert entropy(Suspects.of({"a": 1, "b": 0})) == 0


def test_a_part_that_was_changed_in_vain_leaves_its_share_to_the_others() -> None:
    # chances .45 .30 .15 .10 with the third excluded, worked by hand
    belief = Suspects.of({"1": 0.45, "2": 0.30, "3": 0.15, "4": 0.10})
    after = belief.given({"1": 1, "2": 1, "3": 0, "4": 1})
    assert [round(after.share(n), 4) for n in "124"] == [0.5294, 0.3529, 0.1176]
    assert after.ranked[0][0] == "1"


def test_what_no_cause_can_have_led_to_is_refused_in_a_sentence() -> None:
    belief = Suspects.of({"a": 1, "b": 1})
    with pytest.raises(ReasonError, match="none of the causes can have led to what was seen"):
        belief.given({"a": 0, "b": 0})
    with pytest.raises(ReasonError, match="below zero"):
        Suspects.of({"a": -1, "b": 2})
    with pytest.raises(ReasonError, match="add up to 1"):
        Suspects({"a": 0.5, "b": 0.4})
    with pytest.raises(ReasonError, match="from 0 to 1"):
        Suspects({"a": 1.5, "b": -0.5})


WEIGHTS = st.dictionaries(st.sampled_from("abcdef"), st.floats(1e-6, 1e6), min_size=1)


@given(WEIGHTS, st.floats(1e-3, 1e3))
def test_evidence_that_every_cause_leads_to_alike_changes_nothing(
    weights: dict[str, float], likely: float
) -> None:
    belief = Suspects.of(weights)
    after = belief.given(dict.fromkeys(weights, likely))
    assert dict(after.shares) == pytest.approx(dict(belief.shares))


@given(WEIGHTS, st.data())
def test_the_order_in_which_things_are_seen_does_not_matter(
    weights: dict[str, float], data: st.DataObject
) -> None:
    chances = st.fixed_dictionaries(dict.fromkeys(weights, st.floats(0.01, 1)))
    one, other = data.draw(chances), data.draw(chances)
    belief = Suspects.of(weights)
    first, second = belief.given(one).given(other), belief.given(other).given(one)
    assert dict(first.shares) == pytest.approx(dict(second.shares))
