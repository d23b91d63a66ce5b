"""Several listeners hear the same clip, each on its own thread."""

import threading

import pytest

from voiceassist.errors import RecogniseError
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
