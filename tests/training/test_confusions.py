"""Which letters an ear takes for which."""

from itertools import groupby

import numpy as np
import pytest
from recognise.ear.small import written

from training.confusions import Costs, aligned
from voiceassist.recognise.ear.shape import NUMBERS, SIGNS


@pytest.mark.parametrize("text", ["volts", "all off", "a"])
def test_each_letter_is_found_where_it_was_written(text: str) -> None:
    """``written`` makes each letter last two moments, with a blank behind it."""
    places = aligned(written(text, sharp=12.0), [NUMBERS[letter] for letter in text])
    assert places == [(3 * n, 3 * n + 2) for n in range(len(text))]


def test_the_alignment_is_the_likeliest_of_all() -> None:
    """Against every alignment of a short sound, one by one."""
    logs = written("ab", seed=3, sharp=1.0, moments=1)
    a, b = NUMBERS["a"], NUMBERS["b"]
    places = aligned(logs, [a, b])
    assert places is not None

    def letters(way: tuple[int, ...]) -> list[int]:
        return [sign for sign, _ in groupby(way) if sign]

    ways = [
        (w, x, y, z)
        for w in (0, a, b) for x in (0, a, b) for y in (0, a, b) for z in (0, a, b)
        if letters((w, x, y, z)) == [a, b]
    ]  # fmt: skip
    best = max(ways, key=lambda way: sum(logs[at, sign] for at, sign in enumerate(way)))
    assert [best[begin] for begin, _ in places] == [a, b]
    assert [best.index(a), best.index(b)] == [begin for begin, _ in places]


def test_a_sound_too_short_for_the_text_has_no_alignment() -> None:
    assert aligned(written("a"), [NUMBERS[letter] for letter in "volts"]) is None


def test_a_letter_often_written_for_another_costs_little_to_take_for_it() -> None:
    costs = Costs()
    for seed in range(30):
        logs = written("bat", seed=seed, sharp=6.0)
        logs[:2, NUMBERS["p"]] = logs[:2, NUMBERS["b"]] - 0.5  # "p" is nearly as likely
        costs.count(logs, "bat")
    told = costs.told()
    taken, added = told["taken"], told["added"]
    assert isinstance(taken, dict)
    assert isinstance(added, dict)
    assert set(taken) == set(added) == set("bat")
    assert all(cost >= 0 for row in taken.values() for cost in row.values())
    sums = costs.taken[NUMBERS["b"]] / costs.said[NUMBERS["b"]]
    assert sums[NUMBERS["p"]] == pytest.approx(0.5, abs=1e-9)
    others = np.delete(sums, [0, NUMBERS["b"], NUMBERS["p"]])
    assert others.min() > 1
    assert len(sums) == len(SIGNS)
