"""The microphone's level on the screen. Pure."""

from dataclasses import replace

from voiceassist.app.view import Level
from voiceassist.cli.screen.parts import ScreenState, ShownLevel

#: Levels are shown no finer, so that the picture rests while the room does.
_STEP_DB = 2
#: Nothing below it is told apart.
_FLOOR_DB = -80


def heard_level(state: ScreenState, level: Level) -> ScreenState:
    """``state`` with the microphone as loud as ``level`` tells."""
    sound = ShownLevel(_step(level.rms_dbfs), _step(level.noise_dbfs), level.speech, level.clipped)
    return replace(state, sound=sound)


def _step(dbfs: float) -> int:
    held = max(float(_FLOOR_DB), min(0.0, dbfs))
    return _STEP_DB * round(held / _STEP_DB)
