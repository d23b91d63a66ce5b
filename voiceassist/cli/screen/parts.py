"""The parts of what the screen shows, as values."""

from dataclasses import dataclass

from voiceassist.app.view import EarState, Present


@dataclass(frozen=True, slots=True)
class ShownLevel:
    """The microphone, in steps of 2 dB from -80 to 0."""

    rms_dbfs: int
    noise_dbfs: int
    speech: bool
    clipped: bool


@dataclass(frozen=True, slots=True)
class ScreenState(Present):
    """All that the screen shows: the session at present, its circuit, and the microphone.

    Parts:
        leads: where the instrument is held at this step, the plug there and what is live.
        ears, sound: of the microphone.
    """

    leads: tuple[str, ...] = ()
    ears: EarState = EarState.IDLE
    sound: ShownLevel | None = None
