"""The detector of speech: the network where it can be had, else the one of pocketsphinx."""

from collections.abc import Callable

from voiceassist.errors import RecogniseError
from voiceassist.recognise.detector import VadDetector
from voiceassist.recognise.silero import SileroDetector
from voiceassist.sound.segment import SpeechDetector


def speech_detector(tell: Callable[[str], None]) -> SpeechDetector:
    """The best detector there is.

    In noise the network cuts nearly every phrase rightly where the other one hardly does; see
    ``tests/benchmarks/endpointing.py``.

    Args:
        tell: gets one sentence, with the reason, when it is not the network.
    """
    try:
        return SileroDetector()
    except RecogniseError as error:
        tell(f"{error}. Speech is told from noise less well meanwhile.")
        return VadDetector(warm_up=True)
