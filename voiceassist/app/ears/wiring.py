"""What the ears' thread works with, and what it gives."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from typing import Protocol

from voiceassist.app.ears.base import EarState
from voiceassist.app.ears.push_to_talk import Gate
from voiceassist.app.mouth.floor import Floor
from voiceassist.app.timeline import Timeline
from voiceassist.devices.lasting import Happening
from voiceassist.sound.clip import Clip
from voiceassist.sound.level import Level
from voiceassist.sound.patience import Patience
from voiceassist.sound.segment import UNHURRIED, Segment, SpeechDetector

#: A speaker who pauses longer is waited for up to so long.
LONGEST_QUIET_S = 1.2


class LastingSource(Protocol):
    """A microphone that lasts (``devices.lasting.LastingMicrophone`` is one)."""

    def events(self) -> Iterator[Clip | Happening]:
        """Sound as it arrives, and what happens to the device, until ``close``."""
        ...

    def close(self) -> None:
        """Let ``events`` end; from any thread, at once."""
        ...


@dataclass(frozen=True, slots=True)
class CapturedPhrase:
    """A stretch of speech, and where it stands in the session.

    Parts:
        segment: its sound.
        start_s, end_s: of the speech, in seconds of the session.
        over: False when it is only quiet for a moment, and more of it may come.
        ahead: it is too early to take it, though not to hear it.
    """

    segment: Segment
    start_s: float
    end_s: float
    over: bool = True
    ahead: bool = False

    def behind(self, earlier: "CapturedPhrase") -> "CapturedPhrase":
        """Both as one, which begins where ``earlier`` does."""
        segment = replace(
            self.segment,
            clip=earlier.segment.clip + self.segment.clip,
            start_s=earlier.segment.start_s,
            speech_start_s=earlier.segment.speech_start_s,
        )
        return replace(self, segment=segment, start_s=earlier.start_s)


@dataclass(frozen=True, slots=True)
class Wiring:
    """What the ears' thread works with.

    Parts:
        source: where sound comes from.
        detector: tells speech.
        timeline: the session's clock.
        floor: tells when we speak ourselves.
        gate: push to talk.
        cuts: whether what is said to us can be told from talk with others, and so cuts us short.
        on_level: gets the microphone's level about ten times a second.
        on_state: gets what the ears do.
        patience: how long a phrase is waited for.
    """

    source: LastingSource
    detector: SpeechDetector
    timeline: Timeline
    floor: Floor
    gate: Gate = field(default_factory=Gate)
    cuts: bool = True
    on_level: Callable[[Level], None] | None = None
    on_state: Callable[[EarState], None] | None = None
    patience: Patience = field(default_factory=lambda: Patience(UNHURRIED.quiet_s, LONGEST_QUIET_S))
