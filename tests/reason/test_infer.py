"""From readings to causes, against exact enumeration and a library of Bayesian networks."""

from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.reason.infer import SLIP, UNLISTED, UNLISTED_SHARE, Seen, after, belief
from voiceassist.reason.next_test import worths
from voiceassist.reason.samples import Place, Samples, Sight

NAN = np.nan


def samples(
    numbers: list[list[list[float]]],
    seen: list[list[list[int]]] | None = None,
    likely: tuple[float, ...] = (0.5, 0.5),
    words: tuple[str, ...] = ("", "bright", "off"),
) -> Samples:
    """A table of places made by hand."""
    table = np.array(numbers)
    codes = np.zeros(table.shape) if seen is None else np.array(seen)
    return Samples(
        causes=tuple("abc"[: table.shape[1]]),
        likely=likely,
        places=tuple(Place(f"step-{i}", ()) for i in range(len(table))),
        words=words,
        numbers=table,
        seen=codes.astype(np.int8),
    )


#: Two lamps, seen on two vehicles of each of two causes.
LAMPS = samples(
    [[[NAN, NAN]] * 2] * 2,
    [[[1, 1], [1, 2]], [[1, 2], [2, 2]]],
    likely=(0.7, 0.3),
)


def test_the_network_library_comes_to_the_same_shares() -> None:
    # pgmpy (variable elimination): cause -> vehicle -> two lamps, each misread with a chance.
    factors = pytest.importorskip("pgmpy.factors.discrete")
    inference = pytest.importorskip("pgmpy.inference")
    models = pytest.importorskip("pgmpy.models")
    outcomes = 3  # bright, off, or anything else

    def lamp(place: int) -> np.ndarray:
        codes = LAMPS.seen[place] - 1
        table = np.full((outcomes, 3, 2), SLIP / outcomes)
        for cause in range(2):
            for vehicle in range(2):
                table[codes[cause, vehicle], cause, vehicle] += 1 - SLIP
        mean = np.zeros(outcomes)
        for cause, share in enumerate(LAMPS.likely):
            for vehicle in range(2):
                mean[codes[cause, vehicle]] += share / 2
        table[:, 2, :] = (0.3 * mean + 0.7 / outcomes)[:, None]
        return table.reshape(outcomes, 6)

    network = models.DiscreteBayesianNetwork(
        [("cause", "one"), ("vehicle", "one"), ("cause", "two"), ("vehicle", "two")]
    )
    listed = [share * (1 - UNLISTED_SHARE) for share in LAMPS.likely]
    tables = [
        factors.TabularCPD("cause", 3, [[share] for share in (*listed, UNLISTED_SHARE)]),
        factors.TabularCPD("vehicle", 2, [[0.5], [0.5]]),
    ]
    for name, place in (("one", 0), ("two", 1)):
        tables.append(
            factors.TabularCPD(
                name, outcomes, lamp(place), evidence=["cause", "vehicle"], evidence_card=[3, 2]
            )
        )
    network.add_cpds(*tables)
    asked = inference.VariableElimination(network)
    for one, two in ((1, 1), (1, 2), (2, 1), (2, 2)):
        evidence = {"one": one - 1, "two": two - 1}
        theirs = asked.query(["cause"], evidence, show_progress=False).values
        words = (LAMPS.words[one], LAMPS.words[two])
        ours = belief(LAMPS, after(LAMPS, [Seen(i, Sight(word=w)) for i, w in enumerate(words)]))
        assert [ours.share(n) for n in ("a", "b", UNLISTED)] == pytest.approx(theirs, abs=1e-9)


def test_a_reading_is_weighed_by_the_normal_distribution_of_its_doubt() -> None:
    # JCGM 106 clause 7: doubt is taken as normally distributed. Enumerated by hand.
    table = samples([[[12.0], [10.0]]], likely=(0.5, 0.5))
    found = belief(table, after(table, [Seen(0, Sight(11.4), 0.5)]))
    spread = float(np.hypot(0.5, 0.012))  # the least width of a kernel: a thousandth of 12 V
    anything = 1 / (6 * spread)
    one, other = NormalDist(12, spread).pdf(11.4), NormalDist(10, spread).pdf(11.4)
    listed = [(1 - SLIP) * density + SLIP * anything for density in (one, other)]
    rest = 0.3 * (one + other) / 2 + 0.7 * anything
    weights = [0.485 * listed[0], 0.485 * listed[1], 0.03 * rest]
    assert [found.share(n) for n in ("a", "b", UNLISTED)] == pytest.approx(
        [weight / sum(weights) for weight in weights]
    )


def test_a_reading_that_fits_no_vehicle_points_to_something_not_listed() -> None:
    table = samples([[[12.0, 12.1], [10.0, 10.1]], [[0.1, 0.1], [0.1, 0.2]]])
    shares = after(table, [Seen(0, Sight(3.0), 0.02), Seen(1, Sight(7.0), 0.02)])
    assert belief(table, shares).ranked[0][0] == UNLISTED


def test_a_reading_that_both_causes_show_alike_tells_nothing_between_them() -> None:
    table = samples([[[12.0, 12.4], [12.0, 12.4]]], likely=(0.8, 0.2))
    shares = after(table, [Seen(0, Sight(12.3), 0.05)])
    found = belief(table, shares)
    assert found.share("a") / found.share("b") == pytest.approx(4)
    assert worths(table, shares, [(0, 1.0)], str, lambda place, number: 0.05)[0].bits < 0.05


def test_the_test_that_parts_two_causes_is_worth_most() -> None:
    same = [[5.0, 5.1], [5.0, 5.1]]
    parts = [[5.0, 5.1], [0.1, 0.2]]
    table = samples([same, parts])
    best, second = worths(
        table, after(table, []), [(0, 1.0), (1, 1.0)], str, lambda place, number: 0.05
    )
    assert best.place == 1
    assert best.bits == pytest.approx(1, abs=0.2)  # a fair guess between two is one bit
    assert second.bits < 0.05


def test_of_two_tests_that_tell_the_same_the_quicker_is_better() -> None:
    parts = [[5.0, 5.1], [0.1, 0.2]]
    table = samples([parts, parts])
    found = worths(table, after(table, []), [(0, 5.0), (1, 1.0)], str, lambda p, n: 0.05)
    assert [worth.place for worth in found] == [1, 0]
    assert found[0].rate == pytest.approx(5 * found[1].rate)


@given(st.lists(st.floats(-20, 20), min_size=1, max_size=6), st.floats(0.001, 5))
def test_shares_always_add_up_to_one(readings: list[float], doubt: float) -> None:
    table = samples([[[12.0, 12.5], [0.0, 3.0]]])
    shares = after(table, [Seen(0, Sight(reading), doubt) for reading in readings])
    assert float(shares.sum()) == pytest.approx(1)
    assert float(shares.min()) >= 0


def test_a_table_whose_parts_do_not_fit_each_other_is_refused() -> None:
    with pytest.raises(ValueError, match="the table is"):
        Samples(("a",), (1.0,), (), ("",), np.zeros((1, 1, 2)), np.zeros((1, 1, 2), np.int8))
    with pytest.raises(ValueError, match="one likelihood"):
        samples([[[1.0], [2.0]]], likely=(1.0,))
