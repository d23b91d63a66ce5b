"""The tone of one who thinks for long."""

import threading

from voiceassist.app.ears.base import EarState
from voiceassist.app.ears.earcons import Earcons
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


def waiting() -> list[threading.Thread]:
    """What may sound a tone yet; one that was called off is gone in a moment."""
    everybody = threading.enumerate()
    timers = [t for t in everybody if isinstance(t, threading.Timer) and t.args == [Tone.THINKING]]
    for timer in timers:
        timer.join(2)
    return [timer for timer in timers if timer.is_alive()]


def test_a_quick_answer_needs_no_tone() -> None:
    room = Room(60)
    room.earcons.state(EarState.THINKING)
    room.earcons.state(EarState.IDLE)
    assert waiting() == []
    assert room.tones == []
    assert room.states == [EarState.THINKING, EarState.IDLE]


def test_states_from_two_threads_leave_no_tone_behind() -> None:
    """The ears' own thread hears somebody speak just as the session's begins to think."""
    room = Room(60)

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
    assert waiting() == []
    assert room.tones == []
