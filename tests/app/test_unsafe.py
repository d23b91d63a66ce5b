"""Who is about to do what must not be done is told so at once, and the job stays where it is.

Why each must not be done: common practice, no source.
"""

import re
import tomllib

import pytest
from talk.situations import PLACES, spoken, standing_at

from voiceassist import resources
from voiceassist.language.meanings import Command
from voiceassist.session.outputs import ConditionChange
from voiceassist.session.states import State

#: What newcomers said, with a word of the reason that they are to be given.
SAID = [
    ("I'm just gonna pull the battery lead off with the engine running to see if it dies",
     "destroys modules"),
    ("the engine is running and I am taking the minus clamp off", "destroys modules"),
    ("I'll clean the stud with the spanner while it runs", "Engine off first"),
    ("my wedding ring is still on", "Rings and watch off first"),
    ("I'll poke the test lamp in the data wire", "Use the meter"),
    ("I'll just bridge the fuse with a bit of wire for now", "wiring burn"),
    ("can I stick a bigger fuse in", "same rating and kind"),
    ("I'm putting a 200 amp fuse in", "same rating and kind"),
    ("can I leave the minus on while I do the stud nut", "Minus clamp off first"),
    ("is it alright to measure ohms with the battery connected", "supply off"),
]  # fmt: skip
BULGING = "the battery is bulging and hissing"


@pytest.mark.parametrize("place", sorted(PLACES))
@pytest.mark.parametrize(("words", "reason"), SAID)
def test_the_reason_is_told_wherever_the_job_stands_and_nothing_is_moved(
    place: str, words: str, reason: str
) -> None:
    one, before = standing_at(place)
    after = one.say(before, words)
    assert spoken(after).startswith("Don't: ")
    assert reason in spoken(after)
    for part in ("state", "step", "ledger", "conditions", "acknowledged", "pending", "prompt"):
        assert getattr(after.session, part) == getattr(before.session, part)
    assert not [each for each in after.outputs if isinstance(each, ConditionChange)]


@pytest.mark.parametrize("place", ["volts", "lamp", "question"])
def test_what_is_wanted_is_told_behind_the_reason(place: str) -> None:
    one, before = standing_at(place)
    wanted = one.say(before, "say again").outputs
    last = [output.text for output in wanted if output.text][-1]
    assert spoken(one.say(before, "can i stick a bigger fuse in")).endswith(last)


@pytest.mark.parametrize(("words", "reason"), SAID)
def test_it_is_told_while_standing_by_after_a_danger_too(words: str, reason: str) -> None:
    one, turn = standing_at("volts")
    turn = one.say(one.say(turn, "something is burning"), words)
    assert reason in spoken(turn)
    assert spoken(turn).endswith("Say go ahead when it is safe.")
    assert turn.session.state is State.STAND_BY


@pytest.mark.parametrize("before", [(), ("something is burning",), ("stand by",)])
def test_a_battery_that_swells_or_hisses_is_danger_and_its_clamps_are_left(
    before: tuple[str, ...],
) -> None:
    one, turn = standing_at("volts")
    for words in (*before, BULGING):
        turn = one.say(turn, words)
    assert spoken(turn).startswith("Stand back. No sparks or flames near it, do not charge it")
    assert "Battery off" not in spoken(turn)
    assert turn.session.state is State.STAND_BY


@pytest.mark.parametrize("said", ["yes, ", "affirm, ", "12.6 volts, and ", "understood but "])
@pytest.mark.parametrize("place", ["caution", "volts", "change"])
def test_what_is_said_beside_it_is_not_taken(place: str, said: str) -> None:
    one, before = standing_at(place)
    after = one.say(before, f"{said}i'm putting a 200 amp fuse in")
    assert spoken(after).startswith("Don't: ")
    assert after.session.state is PLACES[place].state
    assert after.session.ledger == before.session.ledger
    assert after.session.acknowledged == before.session.acknowledged


AMID = "hang on mate my boss told me to stick a bigger fuse in and be done"


def test_amid_other_words_it_is_told_where_they_were_typed_and_not_where_they_were_heard() -> None:
    one, turn = standing_at("volts")
    assert spoken(one.say(turn, AMID)).startswith("Don't: ")
    assert "fuse" not in spoken(one.say(turn, AMID, certain=False))


def test_the_whole_phrase_is_told_where_it_was_heard() -> None:
    one, turn = standing_at("volts")
    heard = one.event(turn, "i'll stick a bigger fuse in", certain=False)
    assert heard.meanings == (Command("unsafe", "fuse-larger"),)


@pytest.mark.parametrize(
    "words",
    [
        "the minus clamp is off",
        "i'm taking the minus clamp off",
        "the engine is running",
        "i'm putting a new fuse in",
        "i'm putting the fuse back in",
        "my ring is off",
        "i'm measuring ohms now",
        "i'll clean the stud",
        "where do i put the test lamp",
    ],
)
def test_what_may_be_done_is_not_warned_of(words: str) -> None:
    one, turn = standing_at("volts")
    assert "Don't" not in spoken(one.say(turn, words))


def test_who_asks_what_is_unsafe_is_told_all_of_it() -> None:
    one, turn = standing_at("volts")
    told = spoken(one.say(turn, "what is unsafe"))
    for thing in ("battery", "fuse", "test lamp", "ring", "ohms", "live stud"):
        assert thing in told


def test_every_kind_that_has_ways_of_saying_has_its_sentence_and_the_other_way() -> None:
    files = resources.grammar_files("en")
    said = set(re.findall(r"\{command unsafe\} \{about ([a-z-]+)\}", files["talk.jsgf"]))
    told = set(tomllib.loads(files["sentences.toml"])["unsafe"])
    assert said == told - {"any", "paused"}
