"""Tells speech from quiet with the detector that comes with pocketsphinx."""

from typing import ClassVar

import pocketsphinx

from voiceassist.sound.clip import LISTEN_RATE_HZ, Clip
from voiceassist.sound.level import level_of
from voiceassist.sound.segment import FRAME_BYTES, FRAME_S

#: No frame is speech whose peak lies below this, in dB of full scale; the library takes the
#: faintest noise for speech for a moment when it follows silence, and when a stream begins.
SILENT_DBFS = -55.0


class VadDetector:
    """The WebRTC voice activity detector; a ``SpeechDetector``.

    It takes steady noise for speech when the noise comes within about 15 dB of the voice, so a
    segment must also have a greatest length.

    Args:
        strictness: 0 (takes most sounds for speech) to 3.
    """

    STRICTNESS: ClassVar[range] = range(4)

    def __init__(self, strictness: int = 0) -> None:
        if strictness not in self.STRICTNESS:
            raise ValueError(f"strictness {strictness} is not 0 to 3")
        self._vad = pocketsphinx.Vad(strictness, LISTEN_RATE_HZ, FRAME_S)

    def is_speech(self, frame: bytes) -> bool:
        """True when ``frame`` (30 ms at 16 kHz) holds speech.

        Raises:
            ValueError: the frame has another length.
        """
        if len(frame) != FRAME_BYTES:
            raise ValueError(f"a frame of {len(frame)} bytes, where {FRAME_BYTES} are due")
        # The library sees every frame, since it learns the noise from them.
        speech = bool(self._vad.is_speech(frame))
        return speech and level_of(Clip(frame)).peak_dbfs >= SILENT_DBFS
