"""Where utterances come from: typed lines, or clips through a listener."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import Enum
from typing import Protocol

from voiceassist.app.ears.hearing import Hearing
from voiceassist.app.ears.judgement import Judgement
from voiceassist.app.timeline import Timeline
from voiceassist.devices.base import Player
from voiceassist.language.meanings import Meaning
from voiceassist.language.step import StepGrammar
from voiceassist.sound.clip import Clip

#: How often somebody is asked whether he has something to say, while a keyboard rests.
_LOOK_S = 0.5


@dataclass(frozen=True, slots=True)
class Utterance:
    """One thing the technician said.

    Parts:
        words: as typed or as a listener heard them; empty when it heard none.
        meanings: what typed words can mean at this step; those of heard ones are in ``judgement``.
        reason: why there are none.
        certain: typed, so not misheard.
        start_s, end_s: where in the session, in seconds.
        lead_s: quiet at the beginning of ``clip``, before the speech.
        listener: who heard it; empty when typed.
        clip, judgement: its sound, and what was heard in it; None when typed.
        taken_s: from its end to its being understood: the quiet that was waited for, and hearing.
        hearing_s: what hearing took; some of it while it was waited.
        early: taken before the pause that ends a phrase was over.
    """

    words: str
    meanings: tuple[Meaning, ...]
    reason: str
    certain: bool
    start_s: float
    end_s: float
    listener: str = ""
    clip: Clip | None = None
    judgement: Judgement | None = None
    lead_s: float = 0.0
    taken_s: float = 0.0
    hearing_s: float = 0.0
    early: bool = False


@dataclass(frozen=True, slots=True)
class Elapsed:
    """The time that was waited for is over; nothing was said."""


class NewsKind(Enum):
    """What can happen to the ears between utterances."""

    LOST = "lost"  # the microphone went away
    BACK = "back"  # it is there again
    NOISY = "noisy"  # it cannot be heard where the technician stops
    OVERFLOW = "overflow"  # sound was lost because this machine was too slow


@dataclass(frozen=True, slots=True)
class News:
    """Something happened to the ears; nothing was said."""

    kind: NewsKind


class EarState(Enum):
    """What the ears do."""

    LISTENING = "listening"
    HEARING = "hearing"  # somebody speaks
    THINKING = "thinking"  # it is being recognised
    IDLE = "idle"


class Ears(Protocol):
    """Gives one utterance after another."""

    def expect(self, grammars: Iterable[StepGrammar]) -> None:
        """Get ready for what will be listened for later, in that order, while nobody speaks."""
        ...

    def listen(
        self, grammar: StepGrammar, until_s: float | None = None
    ) -> Utterance | Elapsed | News | None:
        """Wait for the next utterance.

        Args:
            grammar: what can be said.
            until_s: second of the session at which waiting ends; None to wait for ever.

        Returns:
            What was said; Elapsed when the time was over first; News of the ears themselves,
            after which one listens again; None when no more will come.
        """
        ...

    def close(self) -> None:
        """Free what it listens with."""
        ...


class ClipEars:
    """Clips of speech, heard by a listener.

    Args:
        clips: each holds one utterance.
        hearing: hears them.
        timeline: passes by the length of each clip.
        gap_s: quiet between the assistant's last word and the clip.
        aloud: plays each clip, so that a recorded session can be listened to.
    """

    def __init__(
        self,
        clips: Iterable[Clip],
        hearing: Hearing,
        timeline: Timeline,
        gap_s: float = 0.0,
        aloud: Player | None = None,
    ) -> None:
        self._clips: Iterator[Clip] = iter(clips)
        self._hearing = hearing
        self._timeline = timeline
        self._gap_s = gap_s
        self._aloud = aloud

    def expect(self, grammars: Iterable[StepGrammar]) -> None:
        """Nobody waits for an answer to a clip."""

    def listen(
        self, grammar: StepGrammar, until_s: float | None = None
    ) -> Utterance | Elapsed | None:
        """The next clip, understood; None after the last. A timer is let run out first."""
        if until_s is not None:
            self._timeline.advance(max(0.0, until_s - self._timeline.now_s()))
            return Elapsed()
        self._hearing.prepare(grammar)
        clip = next(self._clips, None)
        if clip is None:
            return None
        self._timeline.advance(self._gap_s)
        start_s = self._timeline.now_s()
        if self._aloud is not None:
            self._aloud.play(clip)
        self._timeline.advance(clip.seconds)
        judgement = self._hearing.hear(clip)
        return heard_utterance(judgement, self._hearing.name, clip, start_s, self._timeline.now_s())

    def close(self) -> None:
        """End the listeners."""
        self._hearing.close()


def heard_utterance(
    judgement: Judgement,
    listener: str,
    clip: Clip,
    start_s: float,
    end_s: float,
    lead_s: float = 0.0,
) -> Utterance:
    """What was said in ``clip``, as the listeners have it."""
    return Utterance(
        words=judgement.words,
        meanings=(),
        reason=judgement.nothing,
        certain=False,
        start_s=start_s,
        end_s=end_s,
        listener=listener,
        clip=clip,
        judgement=judgement,
        lead_s=lead_s,
    )
