"""Asked, the instructor tells how sure a cause is, what tells most, and what speaks against."""

import re

import pytest
from rehearse.test_bench import bench, bring, do
from rehearse.test_marks import FAULT, adviser, marked, quick

from voiceassist.reason.adviser import Adviser
from voiceassist.reason.telling import degree
from voiceassist.rehearse.bench import Bench
from voiceassist.rehearse.hints import hint
from voiceassist.rehearse.wishes import Verb, Wish

__all__ = ["adviser"]


def asked(of: Adviser, on: Bench, verb: Verb, about: str = "") -> str:
    return hint(of, on.acts, Wish(verb, about)).told


def test_at_first_several_causes_are_possible_and_none_is_sure(adviser: Adviser) -> None:
    told = asked(adviser, bench(FAULT), Verb.SURE)
    assert len(re.findall(r"percent:", told)) == 3
    assert "Nearly sure" not in told


def test_after_telling_tests_the_cause_is_nearly_sure_and_named(adviser: Adviser) -> None:
    on = quick()
    bring(on, fan_control="highest")
    do(on, Verb.VOLTS, "command wire", "earth pin")
    told = asked(adviser, on, Verb.SURE)
    assert re.match(r"Nearly sure, (9[5-9]|100) percent: the fan module does not follow", told)


def test_the_test_that_is_named_is_one_not_made_yet(adviser: Adviser) -> None:
    on = bench(FAULT)
    first = asked(adviser, on, Verb.HINT)
    assert first.startswith("Command fast would tell most: it halves what is left, or better")
    bring(on, key="run", fan_control="highest")
    do(on, Verb.VOLTS, "command wire", "earth pin")
    assert not asked(adviser, on, Verb.HINT).startswith("Command fast")


def test_what_speaks_against_a_cause_is_the_reading_that_does(adviser: Adviser) -> None:
    on = quick()
    assert (
        asked(adviser, on, Verb.AGAINST, "command-side") == "Command slow speaks most against it."
    )
    assert asked(adviser, on, Verb.AGAINST, "module") == "Nothing you read speaks against it."


def test_a_hint_costs_points(adviser: Adviser) -> None:
    on = quick()
    on.acts.append(hint(adviser, on.acts, Wish(Verb.HINT)))
    assert marked(adviser, on, "module").points < marked(adviser, quick(), "module").points


@pytest.mark.parametrize(
    ("share", "word"),
    [(1.0, "nearly-sure"), (0.95, "nearly-sure"), (0.94, "probable"), (0.59, "likeliest"),
     (0.12, "likeliest"), (0.0, "likeliest")],
)  # fmt: skip
def test_the_words_for_the_likeliest_cause_stand_for_fixed_numbers(share: float, word: str) -> None:
    assert degree(share, first=True) == word


def test_a_cause_that_is_not_the_likeliest_is_told_by_its_rank() -> None:
    assert [degree(share, first=False) for share in (0.4, 0.1)] == ["then", "then"]


def test_the_likeliest_cause_is_never_told_as_one_that_hardly_can_be(adviser: Adviser) -> None:
    told = asked(adviser, bench(FAULT), Verb.SURE)
    assert told.startswith("Likeliest so far, ")
    assert len(re.findall(r"Then, \d+ percent: ", told)) == 2
    assert "Hardly" not in told
