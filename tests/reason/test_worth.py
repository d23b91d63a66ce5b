"""What a test is worth agrees with worked examples of the literature."""

from itertools import permutations, product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from reason.worth import Look, by_ratio, chances, entropy, expected_cost, information, remaining

from voiceassist.reason.belief import Suspects
from voiceassist.reason.infer import prior
from voiceassist.reason.next_test import worths
from voiceassist.reason.samples import Place, Samples

#: Three multipliers and two adders: X = A·C, Y = B·D, Z = C·E, F = X + Y, G = Y + Z, with
#: A = 3, B = 2, C = 2, D = 3, E = 3; de Kleer and Williams 1987. Seen: F = 10, G = 12.
PARTS = ("M1", "M2", "M3", "A1", "A2")
VALUES = range(16)


def worlds() -> list[tuple[frozenset[str], int, int, int]]:
    """Each set of failed parts with values of X, Y and Z that agree with what was seen."""
    found = []
    for size in product((False, True), repeat=5):
        failed = frozenset(p for p, f in zip(PARTS, size, strict=True) if f)
        for x, y, z in product(VALUES, repeat=3):
            right = {"M1": x == 6, "M2": y == 6, "M3": z == 6,
                     "A1": x + y == 10, "A2": y + z == 12}  # fmt: skip
            if all(ok or part in failed for part, ok in right.items()):
                found.append((failed, x, y, z))
    return found


def diagnoses() -> dict[str, float]:
    """Each set of parts that can have failed; each part fails with a chance of 0.01."""
    return {
        "+".join(sorted(failed)): 0.01 ** len(failed) * 0.99 ** (5 - len(failed))
        for failed, *_ in worlds()
    }


def probe(axis: int) -> dict[str, dict[str, float]]:
    """How each diagnosis lets the value of X (1), Y (2) or Z (3) be."""
    found: dict[str, dict[str, float]] = {}
    for world in worlds():
        row = found.setdefault("+".join(sorted(world[0])), {})
        row[str(world[axis])] = row.get(str(world[axis]), 0.0) + 1
    return {n: {o: c / sum(row.values()) for o, c in row.items()} for n, row in found.items()}


def test_the_five_part_circuit_is_diagnosed_as_de_kleer_and_williams_did() -> None:
    belief = Suspects.of(diagnoses())
    assert len(diagnoses()) == 27
    assert belief.share("M1") == pytest.approx(0.478026, abs=1e-6)
    assert belief.share("A1") == pytest.approx(0.478026, abs=1e-6)
    assert belief.share("M2+M3") == pytest.approx(0.004829, abs=1e-6)
    assert entropy(belief) == pytest.approx(1.3594, abs=1e-4)


def test_measuring_at_x_tells_most_and_parts_the_two_suspects() -> None:
    # The paper prefers X; the numbers are counted by enumeration, unknown values even over 0 to 15.
    belief = Suspects.of(diagnoses())
    left = [remaining(belief, probe(axis)) for axis in (1, 2, 3)]
    assert left == pytest.approx([0.3263, 1.2783, 1.3125], abs=5e-4)
    told = chances(belief, probe(1))
    assert told["4"] == pytest.approx(0.4929, abs=5e-4)
    assert told["6"] == pytest.approx(0.5027, abs=5e-4)


#: Simon and Kadane 1975; the example is worked by brute force over all 24 orders.
FOUR = (Look("1", 0.45, 10), Look("2", 0.30, 4), Look("3", 0.15, 1), Look("4", 0.10, 5))


def test_the_largest_chance_for_its_cost_comes_first() -> None:
    best = by_ratio(FOUR)
    assert "".join(look.name for look in best) == "3214"
    assert expected_cost(best) == pytest.approx(10.4)
    costs = [expected_cost(order) for order in permutations(FOUR)]
    assert min(costs) == pytest.approx(10.4)
    assert max(costs) == pytest.approx(15.95)
    assert expected_cost(sorted(FOUR, key=lambda one: -one.chance)) == pytest.approx(12.95)
    assert expected_cost(sorted(FOUR, key=lambda one: one.cost)) == pytest.approx(11.65)


LOOKS = st.lists(st.tuples(st.floats(0.01, 1), st.floats(0.1, 20)), min_size=1, max_size=5)


@given(LOOKS)
def test_no_other_order_costs_less(pairs: list[tuple[float, float]]) -> None:
    looks = [Look(str(i), chance, cost) for i, (chance, cost) in enumerate(pairs)]
    best = expected_cost(by_ratio(looks))
    assert all(best <= expected_cost(order) + 1e-9 for order in permutations(looks))


def test_a_test_that_every_cause_answers_alike_tells_nothing() -> None:
    belief = Suspects.of({"a": 0.2, "b": 0.8})
    assert information(belief, {"a": {"yes": 0.5, "no": 0.5}, "b": {"yes": 0.5, "no": 0.5}}) == 0
    sure = information(belief, {"a": {"yes": 1.0}, "b": {"no": 1.0}})
    assert sure == pytest.approx(entropy(belief))


@pytest.mark.parametrize("seed", range(6))
def test_the_program_counts_the_same_bits_over_its_vehicles(seed: int) -> None:
    """But for the slips and the unlisted causes that it reckons with, which cost a little."""
    rng = np.random.default_rng(seed)
    causes, vehicles, words = "abcd", 64, ("", "bright", "dim", "off")
    likely = rng.dirichlet(np.ones(len(causes)))
    seen = np.array([[rng.choice(3, vehicles, p=rng.dirichlet(np.full(3, 0.4))) + 1
                      for _ in causes]])  # fmt: skip
    table = Samples(
        tuple(causes), tuple(likely), (Place("lamp", ()),), words,
        np.full(seen.shape, np.nan), seen.astype(np.int8),
    )  # fmt: skip
    outcomes = {
        cause: {word: float(np.mean(seen[0, row] == code)) for code, word in enumerate(words)}
        for row, cause in enumerate(causes)
    }
    due = information(Suspects.of(dict(zip(causes, likely.tolist(), strict=True))), outcomes)
    (found,) = worths(table, prior(table), [(0, 1.0)], str, lambda place, number: 0.0)
    assert found.bits == pytest.approx(due, abs=0.12)
