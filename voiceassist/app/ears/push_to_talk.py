"""Push to talk: which stretches of sound are meant for the assistant."""

from typing import Protocol

from voiceassist.sound.frames import FRAME_S

#: An opened gate at which nobody speaks closes again after so long.
_IDLE_S = 8.0


class Key(Protocol):
    """A key or foot switch (``devices.key.TalkKey`` is one)."""

    def pressed(self) -> bool:
        """True once for each press since the last question."""
        ...

    def close(self) -> None:
        """Leave the keyboard as it was."""
        ...


class Gate:
    """Opened by a press; closed by the end of a phrase, another press, or nobody speaking.

    Args:
        key: that is pressed. Without one the gate stands open always.
    """

    def __init__(self, key: Key | None = None) -> None:
        self._key = key
        self._idle_s: float | None = None

    @property
    def is_open(self) -> bool:
        """True when what is said now counts."""
        return self._key is None or self._idle_s is not None

    @property
    def is_called(self) -> bool:
        """True when somebody pressed the key and is about to speak, or speaks."""
        return self._idle_s is not None

    def pass_frame(self, *, in_speech: bool) -> bool:
        """One frame goes by; True when a press has closed the gate in the middle of a phrase."""
        if self._key is None:
            return False
        if self._key.pressed():
            was_open, self._idle_s = self.is_open, None if self.is_open else 0.0
            return was_open and in_speech
        if self._idle_s is not None:
            self._idle_s = 0.0 if in_speech else self._idle_s + FRAME_S
            if self._idle_s > _IDLE_S:
                self._idle_s = None
        return False

    def end_phrase(self) -> None:
        """A phrase is over."""
        self._idle_s = None

    def close(self) -> None:
        """Leave the key as it was."""
        if self._key is not None:
            self._key.close()
