"""Mistakes planted in the shipped procedures: what share the check catches, and which slip through.

The survivors are named here with the reason, so that one more or one less is noticed.
"""

from collections import Counter
from pathlib import Path

import pytest
from prove.planted import Mistake, mistakes, told

MISTAKES = tuple(mistakes())
OF_THE_TRADE = tuple(mistakes("mistakes-of-the-trade.yaml"))
BY_KIND = tuple(mistakes("mistakes-by-kind.yaml"))
#: A mistake that no error tells of, and why.
SURVIVORS = {
    "a low voltage at the stud condemns the alternator at once": (
        "the session asks for what 'proved-by' names before it condemns"
    ),
}
#: The same of those of the trade.
TRADE_SURVIVORS = {
    "nine volts pass where five belong": "the next step finds the same faults; its end is told",
    "two pins of the relay have each other's place": "no circuit knows what a pin is called",
    "the causes of two findings are exchanged": "no circuit knows what words mean",
}
#: The same of those made again by their kind.
KIND_SURVIVORS = {
    "the feed of the work lamps is read without a lamp": (
        "the same faults are found by the drop under load that is read later"
    ),
    "a high voltage at the stud is put down to the regulator, not the wire": (
        "no fault of the file reads high there and not at the battery; the table lists the branch"
    ),
}
#: The least share that is caught.
LEAST = {"diagnosis": 0.95, "safety": 0.9, "repair": 0.9}


def test_fifty_mistakes_are_planted_and_each_can_be_made() -> None:
    assert len(MISTAKES) == 50
    assert Counter(one.about for one in MISTAKES) == {"diagnosis": 30, "safety": 12, "repair": 8}
    assert len({one.what for one in MISTAKES}) == 50


#: Small files, one mistake of each sort; all of them take minutes and are walked as benchmark.
QUICK = {
    "the first and the second battery are exchanged": "called",
    "a draw of two amps passes": "called 'no-fault'",
    "a module that cannot follow its command passes": "'output-low' cannot be failed",
    "a fuse of thirty amps is fitted where fifteen belong": "a fuse of 30 A is fitted",
    "nobody is warned of the running engine": "no caution tells of belt and fan",
    "a new alternator is proved by the resting battery": "nothing was done about",
    "the fuse is fitted before the chafed wire is mended": "is fitted before 'mend-wire'",
}


@pytest.mark.parametrize("what", QUICK)
def test_a_planted_mistake_is_told(what: str, tmp_path: Path) -> None:
    (mistake,) = [one for one in MISTAKES if one.what == what]
    assert any(QUICK[what] in error for error in told(mistake, tmp_path, draws=4))


def test_the_share_that_is_caught_is_large_enough() -> None:
    """By the survivors named above; the censuses below hold them."""
    assert set(SURVIVORS) <= {one.what for one in MISTAKES}
    for about, least in LEAST.items():
        planted = [one for one in MISTAKES if one.about == about]
        caught = [one for one in planted if one.what not in SURVIVORS]
        assert len(caught) >= least * len(planted)


@pytest.mark.slow
@pytest.mark.census
@pytest.mark.parametrize("mistake", MISTAKES, ids=lambda one: one.what)
def test_a_mistake_is_caught_unless_it_is_named_a_survivor(
    mistake: Mistake, tmp_path: Path
) -> None:
    assert bool(told(mistake, tmp_path)) == (mistake.what not in SURVIVORS)


def test_of_the_mistakes_made_again_by_their_kind_nine_of_ten_are_caught() -> None:
    """By the survivors named above; the census below holds them."""
    assert len(BY_KIND) == len({one.what for one in BY_KIND}) == 26
    assert set(KIND_SURVIVORS) < {one.what for one in BY_KIND}
    assert len(BY_KIND) - len(KIND_SURVIVORS) >= 0.9 * len(BY_KIND)


@pytest.mark.slow
@pytest.mark.census
@pytest.mark.parametrize("mistake", BY_KIND, ids=lambda one: one.what)
def test_a_mistake_made_again_by_its_kind_is_caught_unless_it_is_named_a_survivor(
    mistake: Mistake, tmp_path: Path
) -> None:
    assert bool(told(mistake, tmp_path)) == (mistake.what not in KIND_SURVIVORS)


@pytest.mark.slow
@pytest.mark.census
@pytest.mark.parametrize("mistake", OF_THE_TRADE, ids=lambda one: one.what)
def test_a_mistake_of_the_trade_is_caught_unless_it_is_named_a_survivor(
    mistake: Mistake, tmp_path: Path
) -> None:
    assert len(OF_THE_TRADE) == 20
    assert bool(told(mistake, tmp_path)) == (mistake.what not in TRADE_SURVIVORS)
