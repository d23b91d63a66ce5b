"""Where utterances come from: typed lines, or clips through a listener."""

import math
from collections.abc import Callable, Iterable, Iterator
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


class TypedEars:
    """A line is an utterance.

    Args:
        lines: the input. Lines that are there already (a file, a pipe) need not be waited for,
            so a timer is over at once.
        timeline: the session's clock.
        ready: for a keyboard: waits up to so many seconds for a line, True when there is one.
        on_state: told when a line is waited for, and when one came, though it be empty.
        asked: somebody else has something to say: at a keyboard, waiting ends then.
    """

    def __init__(
        self,
        lines: Iterable[str],
        timeline: Timeline,
        ready: Callable[[float], bool] | None = None,
        on_state: Callable[[EarState], None] = lambda _: None,
        asked: Callable[[], bool] | None = None,
    ) -> None:
        self._asked = asked
        self._lines = iter(lines)
        self._timeline = timeline
        self._ready = ready
        self._on_state = on_state

    def expect(self, grammars: Iterable[StepGrammar]) -> None:
        """Typed words need nothing beforehand."""

    def listen(
        self, grammar: StepGrammar, until_s: float | None = None
    ) -> Utterance | Elapsed | None:
        """The next line that is not empty; None at the end of the input."""
        self._on_state(EarState.LISTENING)
        if not self._comes_before(until_s):
            return Elapsed()
        for line in self._lines:
            self._on_state(EarState.IDLE)
            words = line.strip()
            if words:
                return self._typed(words, grammar)
            self._on_state(EarState.LISTENING)
        return None

    def _typed(self, words: str, grammar: StepGrammar) -> Utterance:
        understood, now = grammar.parse(words), self._timeline.now_s()
        return Utterance(
            words, understood.meanings, understood.reason, certain=True, start_s=now, end_s=now
        )

    def close(self) -> None:
        """Nothing is held."""

    def _comes_before(self, until_s: float | None) -> bool:
        """A line comes before that second, and before somebody else has something to say."""
        if self._ready is None or (until_s is None and self._asked is None):
            return until_s is None
        longest_s = math.inf if self._asked is None else _LOOK_S
        while (left_s := self._left_s(until_s)) > 0 and not (self._asked and self._asked()):
            if self._ready(min(left_s, longest_s)):
                return True
            if left_s <= longest_s and until_s is not None:
                return False
        return False

    def _left_s(self, until_s: float | None) -> float:
        return _LOOK_S if until_s is None else until_s - self._timeline.now_s()


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
