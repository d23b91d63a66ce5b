"""Several listeners hear the same clip, each on its own thread."""

import threading
from collections.abc import Sequence

import pytest

from voiceassist.errors import ListenerGoneError, RecogniseError
from voiceassist.recognise.base import Candidate, Grammar, Heard
from voiceassist.recognise.choose import listeners_of
from voiceassist.recognise.panel import Panel
from voiceassist.sound.clip import Clip


class Noting:
    """Hears its own name, and notes the thread it is used on."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.threads: set[int] = set()
        self.closed = False

    def prepare(self, grammar: Grammar) -> None:
        self.threads.add(threading.get_ident())
        if self.name == "deaf":
            raise RecogniseError("it cannot know the word 'ohm'")

    def hear(self, clip: Clip) -> Heard:
        self.threads.add(threading.get_ident())
        return Heard(self.name, (Candidate(self.name, 0.0),))

    def close(self) -> None:
        self.closed = True


class Words:
    """A grammar of one word."""

    def jsgf(self) -> str:
        return "#JSGF V1.0; grammar one; public <one> = done;"

    def words(self) -> frozenset[str]:
        return frozenset({"done"})


def test_every_listener_hears_the_clip_and_they_stand_in_order_of_their_names() -> None:
    panel = Panel([lambda: Noting("b"), lambda: Noting("a")])
    panel.prepare(Words())
    assert panel.name == "a+b"
    assert [heard.listener for heard in panel.hear(Clip.silence(0.1))] == ["a", "b"]
    panel.close()


def test_each_listener_stays_on_one_thread_of_its_own() -> None:
    one, other = Noting("a"), Noting("b")
    panel = Panel([lambda: one, lambda: other])
    for _ in range(5):
        panel.prepare(Words())
        panel.hear(Clip.silence(0.1))
    panel.close()
    assert len(one.threads) == len(other.threads) == 1
    assert one.threads != other.threads
    assert one.closed
    assert other.closed


def test_a_word_that_one_of_them_can_never_hear_is_told() -> None:
    panel = Panel([lambda: Noting("deaf"), lambda: Noting("b")])
    with pytest.raises(RecogniseError, match="ohm"):
        panel.prepare(Words())
    panel.close()


def test_joint_stands_for_two_unlike_listeners() -> None:
    assert listeners_of("joint") == ("moonshine", "sphinx")
    assert listeners_of("whisper+sphinx") == ("whisper", "sphinx")
    assert listeners_of("sphinx") == ("sphinx",)


def test_when_one_cannot_start_the_others_are_closed_and_it_is_told() -> None:
    other = Noting("b")

    def broken() -> Noting:
        raise RecogniseError("its model is damaged")

    with pytest.raises(RecogniseError, match="damaged"):
        Panel([lambda: other, broken])
    assert other.closed


def test_joint_can_be_joined_with_others() -> None:
    assert listeners_of("joint+whisper") == ("moonshine", "sphinx", "whisper")
    assert listeners_of("sphinx+joint") == ("sphinx", "moonshine")


class Weighing(Noting):
    """Takes a second look as well."""

    def weigh(self, clip: Clip, phrases: Sequence[str]) -> tuple[float, ...]:
        self.threads.add(threading.get_ident())
        return tuple(-float(len(phrase)) for phrase in phrases)


class Crashing(Noting):
    """Crashes for good over the first clip."""

    def hear(self, clip: Clip) -> Heard:
        raise ListenerGoneError(f"the listener {self.name} crashed (signal 11)")


def test_only_those_that_can_take_a_second_look_are_asked_to() -> None:
    weighing = Weighing("a")
    panel = Panel([lambda: weighing, lambda: Noting("b")])
    assert panel.weigh(Clip.silence(0.1), ["six", "seven"]) == {"a": (-3.0, -5.0)}
    panel.close()
    assert threading.get_ident() not in weighing.threads


def test_one_that_crashes_for_good_leaves_and_the_others_go_on() -> None:
    broken = Crashing("a")
    panel = Panel([lambda: broken, lambda: Noting("b")])
    for _ in range(2):
        assert [heard.listener for heard in panel.hear(Clip.silence(0.1))] == ["b"]
    assert panel.name == "b"
    assert [str(each) for each in panel.gone] == ["the listener a crashed (signal 11)"]
    panel.close()
    assert broken.closed


def test_the_last_one_cannot_leave() -> None:
    panel = Panel([lambda: Crashing("a"), lambda: Crashing("b")])
    with pytest.raises(ListenerGoneError, match="the listener b crashed"):
        panel.hear(Clip.silence(0.1))
    panel.close()
