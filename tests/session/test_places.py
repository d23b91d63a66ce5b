"""Where a thing lies is told by the procedure, else that the maker's drawing tells it."""

import re

import pytest
from talk.situations import CAN, Talker, spoken, standing_at

from voiceassist import resources
from voiceassist.app import build

DRAWING = "the maker's drawing tells."
#: Two places that a meter or a lamp is put between.
BETWEEN = re.compile(r"(?:.*?\bfrom|between) (.+?) (?:to|and) ([^,]+?)(?:,| while | with |$)")
#: Nobody asks where these are.
POSTS = {"battery plus post", "battery minus post"}
SHIPPED = sorted(file.stem for file in resources.folder("procedures").glob("*.yaml"))


@pytest.mark.parametrize(
    ("words", "thing"),
    [
        ("where is the module", "module"),
        ("where do I find the module", "module"),
        ("where's the earth bolt", "earth bolt"),
    ],
)
def test_of_a_thing_that_no_test_point_tells_of_the_drawing_tells(words: str, thing: str) -> None:
    one, turn = standing_at("volts")
    after = one.say(turn, words)
    assert spoken(after) == f"To open: glove box. Where the {thing} lies, {DRAWING}"
    assert after.session == turn.session


def test_a_test_point_is_told_with_no_drawing() -> None:
    one, turn = standing_at("volts")
    assert spoken(one.say(turn, "where is body earth")) == "Body earth: bare metal of the body."


def test_where_a_point_lies_at_the_thing_that_is_told_first() -> None:
    one = Talker(CAN)
    turn = one.say(one.say(one.say(one.begin(), "affirm"), "done"), "12.6")
    said = spoken(one.say(turn, "where's the test socket"))
    assert said.startswith("High wire: yellow, test socket.")
    assert said.endswith(DRAWING)


@pytest.mark.parametrize("name", SHIPPED)
def test_every_place_that_is_probed_has_words_that_tell_where(name: str) -> None:
    procedure = build.procedure(name).procedure
    for step in (*procedure.steps.values(), *procedure.repairs.values()):
        probed = BETWEEN.match(step.text) if step.unit or step.bright_enough else None
        told = {point.name for point in step.points if point.where}
        for place in probed.groups() if probed else ():
            assert place in POSTS or any(one in place for one in told), (step.name, place)
