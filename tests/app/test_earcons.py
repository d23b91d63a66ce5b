"""The tone of one who thinks for long."""

import threading
import time

from voiceassist.app.earcons import Earcons
from voiceassist.app.ears import EarState
from voiceassist.sound.tones import Tone


class Room:
    """Keeps tones and states, and tells when a tone has sounded."""

    def __init__(self, patience_s: float) -> None:
        self.tones: list[Tone] = []
        self.states: list[EarState] = []
        self.sounded = threading.Event()
        self.earcons = Earcons(self.sound, self.states.append, patience_s)

    def sound(self, kind: Tone) -> None:
        self.tones.append(kind)
        self.sounded.set()


def test_who_thinks_for_long_is_heard_to() -> None:
    room = Room(0.02)
    room.earcons.state(EarState.THINKING)
    assert room.sounded.wait(5)
    assert room.tones == [Tone.THINKING]


def test_a_quick_answer_needs_no_tone() -> None:
    room = Room(0.1)
    room.earcons.state(EarState.THINKING)
    room.earcons.state(EarState.IDLE)
    assert not room.sounded.wait(0.3)
    assert room.states == [EarState.THINKING, EarState.IDLE]


def test_states_from_two_threads_leave_no_tone_behind() -> None:
    """The ears' own thread hears somebody speak just as the session's begins to think."""
    room = Room(0.05)

    def tell(state: EarState) -> None:
        for _ in range(300):
            room.earcons.state(state)

    threads = [threading.Thread(target=tell, args=(state,)) for state in
               (EarState.THINKING, EarState.HEARING)]  # fmt: skip
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    room.earcons.state(EarState.IDLE)
    before = len(room.tones)
    time.sleep(0.2)
    assert len(room.tones) == before
