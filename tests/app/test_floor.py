"""Who has the floor."""

import threading

import pytest

from voiceassist.app.mouth.floor import Duplex, Floor


class Clock:
    def __init__(self) -> None:
        self.now = 100.0

    def __call__(self) -> float:
        return self.now


def a_floor(duplex: Duplex, tail_s: float = 0.3) -> tuple[Floor, Clock]:
    clock = Clock()
    return Floor(duplex, tail_s, clock), clock


def nothing() -> None:
    pass


def test_by_turns_nothing_is_listened_to_while_we_speak_and_a_tail_after() -> None:
    floor, clock = a_floor(Duplex.HALF)
    assert not floor.blocked()
    with floor.speaking(nothing):
        assert floor.is_speaking()
        clock.now += 60.0
        assert floor.blocked()
    assert not floor.is_speaking()
    clock.now += 0.29
    assert floor.blocked()
    clock.now += 0.02
    assert not floor.blocked()


def test_with_a_headset_every_frame_is_listened_to() -> None:
    floor, _ = a_floor(Duplex.FULL)
    with floor.speaking(nothing):
        assert not floor.blocked()
    assert not floor.blocked()


def test_with_a_headset_the_technician_cuts_us_short() -> None:
    floor, _ = a_floor(Duplex.FULL)
    cut: list[str] = []
    with floor.speaking(lambda: cut.append("stopped")):
        assert floor.cut_in()
    assert cut == ["stopped"]


def test_there_is_nothing_to_cut_when_we_are_silent() -> None:
    floor, _ = a_floor(Duplex.FULL)
    assert not floor.cut_in()
    cut: list[str] = []
    with floor.speaking(lambda: cut.append("stopped")):
        pass
    assert not floor.cut_in()
    assert not cut


def test_by_turns_nothing_is_ever_cut() -> None:
    floor, _ = a_floor(Duplex.HALF)
    cut: list[str] = []
    with floor.speaking(lambda: cut.append("stopped")):
        assert not floor.cut_in()
    assert not cut


def test_the_floor_is_given_back_when_playing_fails() -> None:
    floor, clock = a_floor(Duplex.HALF)
    with pytest.raises(OSError, match="gone"), floor.speaking(nothing):
        raise OSError("gone")
    assert not floor.is_speaking()
    clock.now += 1.0
    assert not floor.blocked()


def test_a_tone_beside_a_sentence_does_not_give_the_floor_back() -> None:
    floor, _ = a_floor(Duplex.HALF)
    with floor.speaking(nothing):
        with floor.speaking(lambda: None):
            pass
        assert floor.is_speaking()
        assert floor.blocked()


def test_the_one_who_stops_may_take_part_in_the_floor_from_another_thread() -> None:
    """The loudspeaker's stop may wait for a thread that leaves the floor."""
    floor, _ = a_floor(Duplex.FULL)
    told, left = threading.Event(), threading.Event()

    def speak() -> None:
        with floor.speaking(told.set):
            started.set()
            told.wait(5)
        left.set()

    started = threading.Event()
    thread = threading.Thread(target=speak)
    thread.start()
    assert started.wait(5)
    assert floor.cut_in()
    assert left.wait(5)
    thread.join()
    assert not floor.is_speaking()


def test_a_tail_below_nothing_is_a_mistake() -> None:
    with pytest.raises(ValueError, match="shorter"):
        Floor(Duplex.HALF, -0.1, Clock())
