"""Where a value that passes is not what is good of the fault, its verdict tells what it means."""

import pytest
from lines import Lines
from talk.situations import talker

from voiceassist.app import build
from voiceassist.procedure.model import Kind
from voiceassist.session.outputs import Listen
from voiceassist.session.session import Detail


def test_a_draw_that_the_ammeter_can_take_is_not_called_good_where_the_battery_goes_flat() -> None:
    one = talker("key-off-draw", Detail.NORMAL)
    turn = one.begin()
    for words in ("no", "affirm", "done", "twelve point six", "done", "point oh two", "done"):
        turn = one.say(turn, words)
    turn = one.say(turn, "point four five amps")
    said = " ".join(o.text for o in turn.outputs if not isinstance(o, Listen))
    assert said.lstrip().startswith("0.45 A. Safe for the ammeter.")
    assert "Good" not in said


def test_a_lamp_in_the_place_of_the_fuse_that_went_out_tells_what_that_means() -> None:
    fuse = Lines("fuse-blows-again").walk(
        "before-switch", rating="yes", live="twelve point five", fed="bright"
    )
    assert "Nothing draws in neutral." in fuse.type("off")


@pytest.mark.parametrize("name", ["fuse-blows-again", "wrong-way-jump", "key-off-draw"])
def test_where_a_short_or_a_draw_is_looked_for_no_lamp_is_good_that_ends_it(name: str) -> None:
    """A lamp that is dark because the cause was just unplugged is no good news."""
    procedure = build.procedure(name).procedure
    ends = [
        step.name
        for step in procedure.steps.values()
        if step.kind is Kind.LAMP and step.routes.get("pass") in procedure.findings
        if not procedure.findings[step.routes["pass"]].no_fault
    ]
    assert [end for end in ends if not procedure.steps[end].says.get("pass")] == []
