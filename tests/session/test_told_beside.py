"""What is told beside the job: what others take it for, what is damaged, how the vehicle is now."""

import pytest
from bench import Bench
from lines import Lines

from voiceassist.session.outputs import Listen, NoteTaken
from voiceassist.session.states import State


def notes(bench: Bench) -> list[str]:
    return [output.words for output in bench.all if isinstance(output, NoteTaken)]


def at_feed() -> Lines:
    return Lines("heater-fan-module").walk("feed", battery="twelve point six")


def doubtful(*before: str) -> Lines:
    """At the feed, with a value that is asked about, and what was said ``before``."""
    bench = at_feed()
    bench.type(*before)
    bench.certain = False
    bench.type("two point five volts")
    bench.certain = True
    assert bench.state is State.CONFIRM
    return bench


@pytest.mark.parametrize(
    "said",
    [
        *(
            "my mate reckons it's the relay",
            "he says it's the fuse",
            "the gaffer thinks it's a wire",
        ),
        *("insulation is cracked", "the wire is chafed", "the insulation's badly perished here"),
    ],
)
def test_what_others_think_and_what_is_damaged_is_noted_and_moves_nothing(said: str) -> None:
    bench = at_feed()
    before = bench.session
    assert bench.type(said) == "Noted."
    assert notes(bench) == [said]
    assert (bench.step, bench.state) == (before.step, before.state)


def test_what_still_burns_is_no_note() -> None:
    bench = at_feed()
    bench.type("the wire is smoking")
    assert bench.state is State.STAND_BY


def tell(bench: Lines, said: str) -> str:
    """Type what may hold the names of the procedure."""
    listen = bench.outputs[-1]
    assert isinstance(listen, Listen)
    bench.hear(*bench.grammar(listen.expectation).parse(said).meanings, words=said)
    return bench.texts()


@pytest.mark.parametrize(
    "said",
    [
        *("connector's off now and ignition's live", "the plug is out and the key's on"),
        *("key is in run and module is unplugged", "ignition's live now"),
    ],
)
def test_a_doubtful_value_is_read_again_once_the_vehicle_is_told_to_be_as_asked(said: str) -> None:
    bench = doubtful("done")
    assert "read it once more" in tell(bench, said)
    assert (bench.step, bench.state) == ("feed", State.MEASURE)
    assert "feed" not in bench.counting


def test_two_states_that_are_told_at_once_are_both_known() -> None:
    bench = doubtful()
    said = tell(bench, "connector's off now and ignition's live")
    assert "Unplug" not in said
    assert bench.session.condition("module plug") == "out"
    assert bench.session.condition("key") == "run"
    assert "feed" not in bench.counting


def test_of_two_states_the_one_that_is_not_as_asked_is_put_right() -> None:
    bench = doubtful()
    said = tell(bench, "the connector's plugged in and ignition's live")
    assert "Unplug the module." in said
    assert "feed" not in bench.counting


@pytest.mark.parametrize("said", ["nothing at all", "still nothing"])
def test_nothing_said_again_keeps_a_doubtful_zero(said: str) -> None:
    bench = Lines("heater-fan-module").walk("battery")
    bench.type("zero volts")
    assert bench.state is State.CONFIRM
    bench.type(said)
    assert bench.counting["battery"] == "0 V"


@pytest.mark.parametrize("said", ["nothing at all", "still nothing"])
def test_nothing_in_place_of_another_value_is_asked_about(said: str) -> None:
    bench = doubtful()
    bench.type(said)
    assert bench.state in {State.CONFIRM, State.FORGOTTEN}
    assert "feed" not in bench.counting


@pytest.mark.parametrize("said", ["can't see it", "i can't see it", "cannot see it", "can't see"])
def test_who_cannot_see_what_is_asked_has_not_skipped_it(said: str) -> None:
    bench = Lines("heater-fan-module").walk("turns-freely", **BAD_MODULE)
    assert "Look again" in bench.type(said)
    assert (bench.step, bench.state) == ("turns-freely", State.ASK)


BAD_MODULE = {
    "battery": "twelve point six",
    "feed": "twelve point five",
    **dict.fromkeys(("feed_lamp", "earth_lamp"), "bright"),
    "earth_drop": "point zero five volts",
    "command_slow": "eight point four",
    "command_fast": "two point five",
    "motor_slow": "one volt",
}


def test_a_warning_is_put_simpler() -> None:
    bench = Lines("heater-fan-module")
    said = bench.type("put it simpler")
    assert "battery gas explodes" in said
    assert "Why: " in said
    assert bench.state is State.CAUTION


@pytest.mark.parametrize("said", ["what is latched by hand", "what does latched by hand mean"])
def test_words_of_a_state_that_is_asked_for_are_explained(said: str) -> None:
    bench = Lines("key-off-draw").walk(
        "rough-draw", hybrid="no", battery="twelve point six", minus_joint="point zero two volts"
    )
    assert "latched by hand" in bench.texts()
    assert "the claw of its lock pushed shut" in bench.type(said)


def test_it_is_what_was_just_asked_for() -> None:
    bench = Lines("heater-fan-module").walk("command-slow", **BAD_MODULE)
    assert "Plug the module in" in bench.texts()
    bench.type("it's in, eight point four")
    assert bench.counting["command-slow"] == "8.4 V"
