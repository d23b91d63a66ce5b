"""Tells speech from quiet with the detector that comes with pocketsphinx."""

import math
from typing import ClassVar

import pocketsphinx

from voiceassist.sound.clip import LISTEN_RATE_HZ, Clip
from voiceassist.sound.level import level_of
from voiceassist.sound.segment import FRAME_BYTES, FRAME_S

#: No frame is speech whose peak lies below this, in dB of full scale; the library takes the
#: faintest noise for speech for a moment when it follows silence, and when a stream begins.
SILENT_DBFS = -55.0
#: So long the library needs to learn a steady noise, which it takes for speech until then.
WARM_UP_S = 0.6
#: Meanwhile only a frame is speech that stands so far above the softest so far.
_ABOVE_DB = 6.0


class VadDetector:
    """The WebRTC voice activity detector; a ``SpeechDetector``.

    It takes steady noise for speech when the noise comes within about 15 dB of the voice, so a
    segment must also have a greatest length.

    Args:
        strictness: 0 (takes most sounds for speech) to 3.
        warm_up: take only what stands out for speech while it learns the noise, at the very
            beginning of a stream; not for a clip that begins with speech.
    """

    name = "webrtc"
    STRICTNESS: ClassVar[range] = range(4)

    def __init__(self, strictness: int = 0, *, warm_up: bool = False) -> None:
        if strictness not in self.STRICTNESS:
            raise ValueError(f"strictness {strictness} is not 0 to 3")
        self._vad = pocketsphinx.Vad(strictness, LISTEN_RATE_HZ, FRAME_S)
        self._learning = round(WARM_UP_S / FRAME_S) if warm_up else 0
        self._softest_dbfs = math.inf

    def reset(self) -> None:
        """Nothing of a phrase is kept; what was learned of the room's noise holds still."""

    def is_speech(self, frame: bytes) -> bool:
        """True when ``frame`` (30 ms at 16 kHz) holds speech.

        Raises:
            ValueError: the frame has another length.
        """
        if len(frame) != FRAME_BYTES:
            raise ValueError(f"a frame of {len(frame)} bytes, where {FRAME_BYTES} are due")
        # The library sees every frame, since it learns the noise from them.
        speech = bool(self._vad.is_speech(frame))
        if not (speech or self._learning):
            return False
        level = level_of(Clip(frame))
        if self._learning:
            self._learning -= 1
            self._softest_dbfs = min(self._softest_dbfs, level.rms_dbfs)
            speech = speech and level.rms_dbfs >= self._softest_dbfs + _ABOVE_DB
        return speech and level.peak_dbfs >= SILENT_DBFS
