"""Where utterances come from: typed lines, or clips through a listener."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Protocol

from voiceassist.app.mouth import Player
from voiceassist.app.timeline import Timeline
from voiceassist.language.identifiers import passes_check
from voiceassist.language.meanings import Identifier, Meaning
from voiceassist.language.step import StepGrammar
from voiceassist.recognise.base import Heard, Listener, Nothing
from voiceassist.sound.clip import Clip


@dataclass(frozen=True, slots=True)
class Utterance:
    """One thing the technician said.

    Parts:
        words: as typed or as the listener heard them; empty when it heard none.
        meanings: what they can mean at this step.
        reason: why there are none.
        certain: typed, so not misheard.
        listener: who heard it; empty when typed.
        start_s, end_s: where in the session, in seconds.
        clip: its sound; None when typed.
    """

    words: str
    meanings: tuple[Meaning, ...]
    reason: str
    certain: bool
    start_s: float
    end_s: float
    listener: str = ""
    clip: Clip | None = None


@dataclass(frozen=True, slots=True)
class Elapsed:
    """The time that was waited for is over; nothing was said."""


class Ears(Protocol):
    """Gives one utterance after another."""

    def listen(
        self, grammar: StepGrammar, until_s: float | None = None
    ) -> Utterance | Elapsed | None:
        """Wait for the next utterance.

        Args:
            grammar: what can be said.
            until_s: second of the session at which waiting ends; None to wait for ever.

        Returns:
            What was said; Elapsed when the time was over first; None when no more will come.
        """
        ...


class TypedEars:
    """A line is an utterance.

    Args:
        lines: the input. Lines that are there already (a file, a pipe) need not be waited for,
            so a timer is over at once.
        timeline: the session's clock.
        ready: for a keyboard: waits up to so many seconds for a line, True when there is one.
    """

    def __init__(
        self,
        lines: Iterable[str],
        timeline: Timeline,
        ready: Callable[[float], bool] | None = None,
    ) -> None:
        self._lines = iter(lines)
        self._timeline = timeline
        self._ready = ready

    def listen(
        self, grammar: StepGrammar, until_s: float | None = None
    ) -> Utterance | Elapsed | None:
        """The next line that is not empty; None at the end of the input."""
        if until_s is not None and not self._comes_before(until_s):
            return Elapsed()
        for line in self._lines:
            words = line.strip()
            if words:
                understood = grammar.parse(words)
                now = self._timeline.now_s()
                return Utterance(
                    words,
                    understood.meanings,
                    understood.reason,
                    certain=True,
                    start_s=now,
                    end_s=now,
                )
        return None

    def _comes_before(self, until_s: float) -> bool:
        left_s = until_s - self._timeline.now_s()
        return self._ready is not None and left_s > 0 and self._ready(left_s)


class ClipEars:
    """Clips of speech, heard by a listener.

    Args:
        clips: each holds one utterance.
        listener: hears them.
        timeline: passes by the length of each clip.
        gap_s: quiet between the assistant's last word and the clip.
        aloud: plays each clip, so that a recorded session can be listened to.
    """

    def __init__(
        self,
        clips: Iterable[Clip],
        listener: Listener,
        timeline: Timeline,
        gap_s: float = 0.0,
        aloud: Player | None = None,
    ) -> None:
        self._clips: Iterator[Clip] = iter(clips)
        self._listener = listener
        self._timeline = timeline
        self._gap_s = gap_s
        self._aloud = aloud

    def listen(
        self, grammar: StepGrammar, until_s: float | None = None
    ) -> Utterance | Elapsed | None:
        """The next clip, understood; None after the last. A timer is let run out first."""
        if until_s is not None:
            self._timeline.advance(max(0.0, until_s - self._timeline.now_s()))
            return Elapsed()
        self._listener.prepare(grammar)
        clip = next(self._clips, None)
        if clip is None:
            return None
        self._timeline.advance(self._gap_s)
        start_s = self._timeline.now_s()
        if self._aloud is not None:
            self._aloud.play(clip)
        self._timeline.advance(clip.seconds)
        understood = understand(self._listener.hear(clip), grammar)
        return Utterance(
            words=understood.words,
            meanings=understood.meanings,
            reason=understood.reason,
            certain=False,
            start_s=start_s,
            end_s=self._timeline.now_s(),
            listener=self._listener.name,
            clip=clip,
        )


@dataclass(frozen=True, slots=True)
class Understood:
    """What a listener's candidates come to.

    Parts:
        words: the best candidate that means something here, else the best of all.
        meanings: what those words can mean; empty when nothing was understood.
        reason: why there is no meaning.
    """

    words: str
    meanings: tuple[Meaning, ...]
    reason: str


def understand(heard: Heard, grammar: StepGrammar) -> Understood:
    """Let our own parser judge what a listener heard; it may invent, the parser does not."""
    if not heard.candidates:
        return Understood("", (), (heard.nothing or Nothing.OUTSIDE).value)
    first = heard.candidates[0]
    if heard.none_of_these is not None and first.score < heard.none_of_these:
        return Understood(first.words, (), Nothing.OUTSIDE.value)
    parsed = [(each.words, grammar.parse(each.words).meanings) for each in heard.candidates]
    meaningful = [(words, meanings) for words, meanings in parsed if meanings]
    if not meaningful:
        return Understood(first.words, (), Nothing.OUTSIDE.value)
    # A vehicle number carries its own check: a lower candidate that fits it is the better one.
    fitting = [found for found in meaningful if _fits_check(found[1])]
    words, meanings = fitting[0] if fitting else meaningful[0]
    return Understood(words, meanings, "")


def _fits_check(meanings: tuple[Meaning, ...]) -> bool:
    return all(isinstance(m, Identifier) and m.name == "vin" for m in meanings) and any(
        isinstance(m, Identifier) and passes_check(m.text) for m in meanings
    )
