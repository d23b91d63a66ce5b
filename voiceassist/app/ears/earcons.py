"""Tones that mark a slow answer and the start of a reply."""

import threading
from collections.abc import Callable

from voiceassist.app.ears.base import EarState
from voiceassist.session.events import Event, Heard
from voiceassist.session.session import Turn
from voiceassist.session.states import State
from voiceassist.sound.tones import Tone

#: An answer that comes sooner needs no tone, in seconds.
PATIENCE_S = 0.8


class Earcons:
    """Passes the ears' state on, and sounds while they think for long.

    Args:
        sound: plays a tone, unless something is played already.
        then: gets each state.
        patience_s: how long thinking may take before it is heard, in seconds.
    """

    def __init__(
        self,
        sound: Callable[[Tone], None],
        then: Callable[[EarState], None],
        patience_s: float = PATIENCE_S,
    ) -> None:
        self._sound = sound
        self._then = then
        self._patience_s = patience_s
        self._lock = threading.Lock()
        self._timer: threading.Timer | None = None

    def state(self, state: EarState) -> None:
        """The ears do ``state`` from now on; from any thread."""
        with self._lock:
            if self._timer is not None:
                self._timer.cancel()
            self._timer = self._waiting() if state is EarState.THINKING else None
        self._then(state)

    def _waiting(self) -> threading.Timer:
        timer = threading.Timer(self._patience_s, self._sound, [Tone.THINKING])
        timer.daemon = True
        timer.start()
        return timer


def first_tone(event: Event, turn: Turn) -> Tone | None:
    """The tone before an answer: none for words, which say it themselves, but for a refusal."""
    if not isinstance(event, Heard) or event.let_pass or turn.session.state is State.STAND_BY:
        return None
    missed = turn.session.misses > 0
    return Tone.NOT_UNDERSTOOD if missed else None
