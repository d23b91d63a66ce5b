"""A job about a flat battery, played by one who does it for the first time."""

import pytest
from talk.situations import Talker, talker

from voiceassist.session.outputs import Listen
from voiceassist.session.session import Detail, Turn

TO_THE_ROUGH_DRAW = ("no", "affirm", "twelve point five", "point oh two")
TO_THE_SLEEP = (*TO_THE_ROUGH_DRAW, "point four five amps", "done")


def at(*lines: str) -> tuple[Talker, Turn]:
    one = talker("key-off-draw", Detail.NORMAL)
    turn = one.begin()
    for line in lines:
        turn = one.wait(turn) if line == "*" else one.say(turn, line)
    return one, turn


def told(turn: Turn) -> str:
    return " ".join(o.text for o in turn.outputs if not isinstance(o, Listen)).strip()


@pytest.mark.parametrize("words", ["is that a lot then", "is that good"])
def test_asked_whether_the_draw_is_good_it_says_what_it_is_good_for(words: str) -> None:
    _, turn = at(*TO_THE_ROUGH_DRAW, "point four five amps", words)
    assert told(turn) == "Rough draw, 0.45 A. Safe for the ammeter. It should be at most 5 A."


def test_asked_what_an_open_door_would_do_it_says_so() -> None:
    _, turn = at(*TO_THE_ROUGH_DRAW, "point four five amps", "what happens if i open the door")
    assert told(turn).startswith("An open door keeps the modules awake")


def test_who_comes_back_after_the_wait_is_not_told_to_wait_first() -> None:
    _, turn = at(*TO_THE_SLEEP, "can i have a brew", "*", "back", "yes")
    assert told(turn).startswith("Time is up.")
    assert "Wait 20 minutes" not in told(turn)


def test_a_fuse_by_its_number_is_no_other_fuse() -> None:
    _, turn = at(*TO_THE_SLEEP, "*", "four hundred milliamps", "so it's something on fuse two")
    assert "ammeter fuse" not in told(turn)


def test_who_asks_whether_it_is_a_part_names_no_complaint() -> None:
    _, turn = at(*TO_THE_ROUGH_DRAW, "it's the radio fuse is it")
    assert not turn.session.wished


TO_THE_FUSES = (*TO_THE_SLEEP, "*", "eight fifty milliamps", "affirm")


def test_behind_a_fuse_that_was_put_back_the_current_is_read_once_it_has_settled() -> None:
    """A fuse put back wakes the modules behind it: common practice, no source."""
    _, turn = at(*TO_THE_FUSES, "eight fifty milliamps")
    assert "Fuse one back in. Pull fuse two. Current without fuse two, once settled" in told(turn)
    _, turn = at(*TO_THE_FUSES, "two hundred milliamps")
    assert told(turn).endswith("Current without the lid lamp, once settled.")


@pytest.mark.parametrize(
    "words",
    [
        "won't the modules wake up when I put the fuse back",
        "will it wake up once i plug the fuse back in",
    ],
)
def test_asked_what_wakes_as_a_fuse_is_put_back_it_says_what_to_wait_for(words: str) -> None:
    _, turn = at(*TO_THE_FUSES, "eight fifty milliamps", words)
    assert told(turn) == (
        "A fuse put back wakes what hangs on it, so wait until the current is down again."
    )


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        ("which fuse first", "Fuse two feeds the radio."),
        ("what's on fuse two", "Fuse two feeds the radio."),
        ("which one is fuse two", "Fuse two feeds the radio."),
    ],
)
def test_asked_what_a_fuse_is_it_tells_what_hangs_on_the_one_to_pull(
    words: str, answer: str
) -> None:
    _, turn = at(*TO_THE_FUSES, "eight fifty milliamps", words)
    assert told(turn) == answer


@pytest.mark.parametrize(
    "doubt", ["I can't get at fuse two, it's behind the trim", "can't reach fuse two"]
)
@pytest.mark.parametrize(
    "words", ["actually no, got it: twenty two milliamps", "got it now, 22 mA"]
)
def test_a_value_that_was_got_after_all_wins_over_the_skip_that_was_asked_about(
    doubt: str, words: str
) -> None:
    _, turn = at(*TO_THE_FUSES, "eight fifty milliamps", doubt, words)
    assert told(turn).startswith("22 mA. It dropped: behind fuse two.")
