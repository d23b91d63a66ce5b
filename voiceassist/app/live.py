"""The microphone as ears, by turns: it is not listened to while the assistant speaks."""

from collections.abc import Iterator

from voiceassist.app.ears import Elapsed, Utterance, heard_utterance
from voiceassist.app.hearing import Hearing, holds_speech
from voiceassist.app.judging import Judgement
from voiceassist.app.timeline import Timeline
from voiceassist.devices.microphone import Microphone
from voiceassist.language.step import StepGrammar
from voiceassist.recognise.detector import VadDetector
from voiceassist.sound.segment import Segment, Segmenter, frames

#: After our own last word: the room and the device still sound.
_TAIL_S = 0.3


class LiveEars:
    """Waits for speech at the microphone and hears it.

    Args:
        microphone: open already.
        hearing: hears each stretch of speech.
        timeline: the session's clock.
    """

    def __init__(self, microphone: Microphone, hearing: Hearing, timeline: Timeline) -> None:
        self._microphone = microphone
        self._hearing = hearing
        self._timeline = timeline
        self._detector = VadDetector()
        self._segmenter = Segmenter()
        self._frames: Iterator[bytes] = frames(microphone.chunks())

    def listen(
        self, grammar: StepGrammar, until_s: float | None = None
    ) -> Utterance | Elapsed | None:
        """The next thing said; noises that hold no speech are passed over."""
        self._hearing.prepare(grammar)
        self._microphone.discard()
        self._segmenter.reset()
        not_before = self._segmenter.now_s + _TAIL_S
        for segment in self._segments(not_before, until_s):
            if segment is None:
                return Elapsed()
            judgement = self._hearing.hear(segment.clip)
            if holds_speech(judgement):
                return self._utterance(segment, judgement)
        return None

    def close(self) -> None:
        """Let go of the microphone, and end the listeners."""
        self._microphone.close()
        self._hearing.close()

    def _segments(self, not_before: float, until_s: float | None) -> Iterator[Segment | None]:
        """Each stretch of speech; None when the time is over and nobody speaks."""
        for frame in self._frames:
            early = self._segmenter.now_s < not_before
            speech = not early and self._detector.is_speech(frame)
            segment = self._segmenter.push(frame, speech=speech)
            if segment is not None:
                yield segment
            elif self._is_over(until_s):
                yield None

    def _is_over(self, until_s: float | None) -> bool:
        """True when the time is over and nobody is in the middle of a phrase."""
        over = until_s is not None and self._timeline.now_s() >= until_s
        return over and not self._segmenter.in_speech

    def _utterance(self, segment: Segment, judgement: Judgement) -> Utterance:
        """Placed in the session by how long ago its sound came in."""
        zero = self._timeline.now_s() - self._segmenter.now_s
        start_s = max(0.0, zero + segment.speech_start_s)
        end_s = max(0.0, zero + segment.speech_end_s)
        return heard_utterance(judgement, self._hearing.name, segment.clip, start_s, end_s)
