"""Sentences that are likely next are ready before they are wanted."""

import threading
import time
from collections.abc import Callable

import pytest

from voiceassist.errors import SpeakError
from voiceassist.sound.clip import Clip
from voiceassist.speak.ahead import VoiceAhead
from voiceassist.testing import CapturingVoice


class Slow(CapturingVoice):
    """Takes its time over each sentence, and cannot say "bad"."""

    def __init__(self, takes_s: float = 0.0) -> None:
        super().__init__()
        self.takes_s = takes_s
        self.threads: set[str] = set()

    def synthesise(self, sentence: str) -> Clip:
        self.threads.add(threading.current_thread().name)
        time.sleep(self.takes_s)
        if sentence == "bad":
            raise SpeakError("the voice failed")
        return super().synthesise(sentence)


def until(true: Callable[[], bool]) -> None:
    due = time.monotonic() + 5
    while not true():
        assert time.monotonic() < due
        time.sleep(0.005)


def test_a_prepared_sentence_is_made_once_and_not_on_the_speakers_thread() -> None:
    engine = Slow()
    voice = VoiceAhead(engine)
    voice.prepare(lambda: ["one", "two"])
    until(lambda: voice.is_ready("two"))
    assert voice.synthesise("one") == engine.synthesise("one")
    assert engine.sentences == ["one", "two", "one"]
    assert threading.current_thread().name in engine.threads  # by this test itself
    assert "voice-ahead" in engine.threads
    voice.close()


def test_what_is_wanted_now_does_not_wait_for_what_may_be_wanted() -> None:
    engine = Slow(0.05)
    voice = VoiceAhead(engine)
    voice.prepare(lambda: [f"sentence {n}" for n in range(60)])
    until(lambda: bool(engine.sentences))
    began = time.monotonic()
    voice.synthesise("now")
    assert time.monotonic() - began < 0.5
    assert len(engine.sentences) < 20
    voice.close()


def test_only_so_many_sentences_are_kept() -> None:
    voice = VoiceAhead(Slow(), most=3)
    for number in range(10):
        voice.synthesise(str(number))
    assert [voice.is_ready(str(number)) for number in range(10)] == [False] * 7 + [True] * 3
    voice.close()


def test_a_change_of_pace_forgets_what_was_made_at_the_old_one() -> None:
    engine = Slow()
    voice = VoiceAhead(engine)
    voice.synthesise("one")
    voice.adjust("slower")
    assert engine.adjusted == ["slower"]
    assert not voice.is_ready("one")
    voice.close()


def test_a_fault_while_preparing_is_told_when_the_sentence_is_wanted() -> None:
    voice = VoiceAhead(Slow())
    voice.prepare(lambda: ["bad"])
    voice.prepare(lambda: ["good"])
    until(lambda: voice.is_ready("good"))
    with pytest.raises(SpeakError):
        voice.synthesise("bad")
    voice.close()


def test_its_thread_ends_with_it() -> None:
    voice = VoiceAhead(Slow(0.01))
    voice.prepare(lambda: [str(n) for n in range(1000)])
    assert len(workers()) == 1
    voice.close()
    voice.close()
    assert workers() == []
    voice.prepare(lambda: ["more"])
    assert workers() == []


def workers() -> list[threading.Thread]:
    return [each for each in threading.enumerate() if each.name == "voice-ahead"]
