"""What a word of the trade means is told to whoever asks, and nothing is moved by it."""

import re
import tomllib

import pytest
from lines import Lines

from voiceassist import resources


def known() -> dict[str, str]:
    told = tomllib.loads(resources.grammar_files("en")["sentences.toml"])["word"]
    assert isinstance(told, dict)
    return told


@pytest.mark.parametrize(
    ("said", "word"),
    [
        ("what is a back-probe", "back-probe"),
        ("sorry, what does chocked mean", "chock"),
        ("i don't know what an exciter is", "exciter-pin"),
        ("what clamps", "clamp"),
        ("and what is a joint box please", "joint-box"),
        ("what do you mean by spread pins", "spread-pin"),
    ],
)
@pytest.mark.parametrize("at", ["belt", "idle-volts"])
def test_a_word_of_the_trade_is_explained_at_a_caution_and_at_a_reading(
    said: str, word: str, at: str
) -> None:
    bench = Lines("no-charging")
    bench.type("no")  # a caution is open
    if at != "belt":
        bench.walk(at, belt="yes", battery="twelve point four volts")
    before = bench.session
    assert known()[word] in bench.type(said)
    assert (bench.step, bench.state) == (before.step, before.state)


def test_a_place_of_this_vehicle_is_told_with_what_its_name_means() -> None:
    bench = Lines("no-charging")
    assert bench.type("what is the charge stud").endswith("Charge stud: under the rubber cap.")


def test_every_word_that_can_be_asked_for_has_its_explanation_and_the_other_way() -> None:
    asked = set(re.findall(r"\{about word/([a-z-]+)\}", resources.grammar_files("en")["talk.jsgf"]))
    assert asked == set(known())
