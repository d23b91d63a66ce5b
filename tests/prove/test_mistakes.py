"""Mistakes planted in the shipped procedures: what share the check catches, and which slip through.

The survivor is named here with the reason, so that one more or one less is noticed.
"""

from collections import Counter
from pathlib import Path

import pytest
from prove.planted import Mistake, mistakes, planted, told

MISTAKES = tuple(mistakes())
OF_THE_TRADE = tuple(mistakes("mistakes-of-the-trade.yaml"))
BY_KIND = tuple(mistakes("mistakes-by-kind.yaml"))
THAT_HURT = tuple(mistakes("mistakes-that-hurt.yaml"))
#: A mistake of ours that no error tells of, and why; of an examiner's there is none.
SURVIVORS = {
    "a low voltage at the stud condemns the alternator at once": (
        "the session asks for what 'proved-by' names before it condemns"
    ),
}
#: The least share that is caught.
LEAST = {"diagnosis": 0.95, "safety": 0.9, "repair": 0.9}


def test_fifty_mistakes_are_planted_and_each_can_be_made() -> None:
    assert len(MISTAKES) == 50
    assert Counter(one.about for one in MISTAKES) == {"diagnosis": 30, "safety": 12, "repair": 8}
    assert len({one.what for one in MISTAKES}) == 50


#: One mistake of each sort, in the smaller files; all of them are of the censuses below.
QUICK = {
    "the first and the second battery are exchanged": "called",
    "a draw of two amps passes": "called 'no-fault'",
    "a module that cannot follow its command passes": "'output-low' cannot be failed",
    "a fuse of thirty amps is fitted where fifteen belong": "a fuse of 30 A is fitted",
    "nobody is warned of the running engine": "no caution tells of belt and fan",
    "a new alternator is proved by the resting battery": "nothing was done about",
    "the fuse is fitted before the chafed wire is mended": "is fitted before 'mend-wire'",
}


#: Two of them are in files that take long to prove.
_LONG = {
    "a module that cannot follow its command passes",
    "a fuse of thirty amps is fitted where fifteen belong",
}


@pytest.mark.parametrize(
    "what",
    [pytest.param(w, marks=[pytest.mark.census] if w in _LONG else []) for w in QUICK],
)
def test_a_planted_mistake_is_told(what: str, tmp_path: Path) -> None:
    (mistake,) = [one for one in MISTAKES if one.what == what]
    assert any(QUICK[what] in error for error in told(mistake, tmp_path, draws=1))


def test_the_share_that_is_caught_is_large_enough() -> None:
    """By the survivors named above; the censuses below hold them."""
    assert set(SURVIVORS) <= {one.what for one in MISTAKES}
    for about, least in LEAST.items():
        made = [one for one in MISTAKES if one.about == about]
        caught = [one for one in made if one.what not in SURVIVORS]
        assert len(caught) >= least * len(made)


@pytest.mark.slow
@pytest.mark.census
@pytest.mark.parametrize("mistake", MISTAKES, ids=lambda one: one.what)
def test_a_mistake_is_caught_unless_it_is_named_a_survivor(
    mistake: Mistake, tmp_path: Path
) -> None:
    assert bool(told(mistake, tmp_path)) == (mistake.what not in SURVIVORS)


#: Of those that an examiner planted, what is read off the file, without a walk.
READ = {
    "two pins of the relay have each other's place": "the circuit joins 'red wire' to it",
    "the causes of two findings are exchanged": "its faults are found as 'load-side'",
}


@pytest.mark.parametrize("what", READ)
def test_words_that_belie_the_circuit_are_told(what: str, tmp_path: Path) -> None:
    (mistake,) = [one for one in OF_THE_TRADE if one.what == what]
    assert any(READ[what] in error for error in told(mistake, tmp_path, draws=1))


def test_an_examiner_planted_forty_six() -> None:
    every = (*OF_THE_TRADE, *BY_KIND)
    assert len(every) == len({one.what for one in every}) == 46
    assert Counter(one.about for one in every) == {"diagnosis": 33, "safety": 11, "repair": 2}


def test_twenty_that_hurt_are_planted_in_as_many_files_and_each_can_be_made() -> None:
    assert len({one.file for one in THAT_HURT}) == len(THAT_HURT) == 20
    assert Counter(one.about for one in THAT_HURT) == {"diagnosis": 8, "safety": 8, "repair": 4}
    assert all(planted(one) for one in THAT_HURT)


@pytest.mark.slow
@pytest.mark.census
@pytest.mark.parametrize("mistake", [*OF_THE_TRADE, *BY_KIND, *THAT_HURT], ids=lambda one: one.what)
def test_each_mistake_that_an_examiner_planted_is_caught(mistake: Mistake, tmp_path: Path) -> None:
    assert told(mistake, tmp_path)
