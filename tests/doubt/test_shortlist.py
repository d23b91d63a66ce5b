"""What a second look is taken at."""

from decimal import Decimal

import pytest
from doubt.made import LOUD, QUIET, VOLTAGE, volts

from voiceassist.doubt.evidence import Evidence, Guess, Key, Sound
from voiceassist.doubt.shortlist import shortlist
from voiceassist.language.meanings import Reading

TEEN, TY = volts("13.5"), volts("30.5")


def heard(name: str, **words: Key) -> Evidence:
    guesses = (
        Guess(each.replace("_", " "), key, -n) for n, (each, key) in enumerate(words.items())
    )
    return Evidence(name, tuple(guesses))


def test_the_listeners_take_turns_the_best_first() -> None:
    finch = heard("finch", thirteen_point_five=TEEN, eight_point_four=volts("8.4"))
    wren = heard("wren", thirty_point_five=TY)
    assert shortlist([finch, wren], QUIET, VOLTAGE) == (
        "thirteen point five",
        "thirty point five",
        "eight point four",
    )


def test_what_comes_to_the_same_stands_once() -> None:
    bare = (Reading(Decimal("13.5")),)
    finch = heard("finch", thirteen_point_five_volts=TEEN, thirteen_point_five=bare)
    wren = heard("wren", thirty_point_five=TY)
    found = shortlist([finch, wren], QUIET, VOLTAGE)
    assert found == ("thirteen point five volts", "thirty point five")


def test_it_ends_with_the_fifth() -> None:
    keys = [volts(str(number)) for number in range(1, 8)]
    finch = Evidence("finch", tuple(Guess(f"number {n}", key, -n) for n, key in enumerate(keys)))
    found = shortlist([finch, heard("wren", number_1=keys[1])], QUIET, VOLTAGE)
    assert found == tuple(f"number {n}" for n in range(5))


@pytest.mark.parametrize(
    ("evidence", "sound"),
    [
        ([heard("finch", one=TEEN, two=TY)], QUIET),
        ([heard("finch", one=TEEN, two=TY), heard("wren", one=TEEN, three=volts("8"))], QUIET),
        ([heard("finch", one=TEEN), Evidence("wren")], QUIET),
        ([heard("finch", one=TEEN), heard("wren", two=TY)], LOUD),
        ([Evidence("finch"), Evidence("wren")], QUIET),
    ],
    ids=["one listener", "all agree", "one understanding", "great noise", "nothing heard"],
)
def test_no_look_is_taken_that_would_tell_nothing(evidence: list[Evidence], sound: Sound) -> None:
    assert shortlist(evidence, sound, VOLTAGE) == ()
