"""Is there speech in a clip at all? For listeners that would hear words in silence too."""

from voiceassist.recognise.detector import VadDetector
from voiceassist.sound.clip import Clip
from voiceassist.sound.segment import FRAME_BYTES

_SHORTEST_S = 0.1
_FEWEST_SPEECH_FRAMES = 3


def holds_speech(clip: Clip, detector: VadDetector | None = None) -> bool:
    """True when ``clip`` (16 kHz) is long enough and a few frames of it are taken for speech.

    Args:
        clip: to be heard.
        detector: that has learned the room from earlier clips; a new one when none is given.
    """
    if clip.seconds < _SHORTEST_S:
        return False
    detector = detector or VadDetector()
    whole = range(0, len(clip.pcm) - FRAME_BYTES + 1, FRAME_BYTES)
    flags = (detector.is_speech(clip.pcm[at : at + FRAME_BYTES]) for at in whole)
    return sum(flags) >= _FEWEST_SPEECH_FRAMES
