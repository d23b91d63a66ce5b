"""Whole lines that a new hand types, said to the real session: what comes of them."""

from talk.situations import Talker

from voiceassist.session.outputs import ConditionChange
from voiceassist.session.session import Turn


def after(procedure: str, *lines: str) -> Turn:
    """The turn after ``lines``, said one after another."""
    one = Talker(procedure)
    turn = one.begin()
    for line in lines:
        turn = one.say(turn, line)
    return turn


def spoken(turn: Turn) -> str:
    return " ".join(output.text for output in turn.outputs if output.text)


def ordered(turn: Turn) -> list[str]:
    """The conditions of the vehicle that are to be changed, in the order told."""
    return [o.name for o in turn.outputs if isinstance(o, ConditionChange) and not o.met]


TO_EARTH_DROP = ("understood", "12.5", "yes", "yes")
RING = (*TO_EARTH_DROP, "done", "1.8 volts", "1.2 volts")


def test_no_lamp_is_switched_off_and_on_again_in_one_breath() -> None:
    turn = after("rear-lamps", *TO_EARTH_DROP)
    assert ordered(turn) == ["lamp plug", "side lamps", "brake", "turn", "key"]


def test_a_vehicle_that_was_put_in_reverse_is_put_in_gear_before_it_is_left() -> None:
    good = ("done", "0.1 volts", "12.2 volts", "12.2 volts", "12.2 volts")
    turn = after("rear-lamps", *TO_EARTH_DROP, *good)
    assert "the vehicle can roll over you" in spoken(turn)
    assert "gear" not in ordered(turn)
    left = after("rear-lamps", *TO_EARTH_DROP, *good, "affirm", "12.1 volts", "finish", "yes")
    assert "Select park or first gear." in spoken(left)
