"""Speaks what the session gives out, and knows when each sentence begins and ends."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Protocol

from voiceassist.app.timeline import Timeline
from voiceassist.errors import DeviceError, SpeakError
from voiceassist.sound.clip import Clip
from voiceassist.speak.base import Voice

_PAUSE_S = 0.25


@dataclass(frozen=True, slots=True)
class Spoken:
    """A sentence as sound, and its place in the session (seconds)."""

    text: str
    clip: Clip
    start_s: float

    @property
    def end_s(self) -> float:
        """Where it ends."""
        return self.start_s + self.clip.seconds


class Player(Protocol):
    """Plays a clip and returns when it is over."""

    def play(self, clip: Clip) -> None:
        """Play ``clip`` to its end."""
        ...

    def close(self) -> None:
        """Free what it holds."""
        ...


class Mouth:
    """Turns sentences into sound and plays them.

    Args:
        voice: makes the sound; None for text only.
        to_words: turns figures and units in a text into words.
        player: plays it; None when no loudspeaker is wanted.
        timeline: passes by the length of what is spoken.
        warn: told once, in one sentence, when voice or loudspeaker fail; text goes on.
    """

    def __init__(
        self,
        voice: Voice | None,
        to_words: Callable[[str], str],
        player: Player | None,
        timeline: Timeline,
        warn: Callable[[str], None],
    ) -> None:
        self._voice = voice
        self._to_words = to_words
        self._player = player
        self._timeline = timeline
        self._warn = warn
        self.spoken: list[Spoken] = []

    def prepare(self, texts: Sequence[str]) -> list[Spoken | None]:
        """Synthesise ``texts``, to be spoken in turn from now on; None for the silent ones."""
        prepared: list[Spoken | None] = []
        at_s = self._timeline.now_s()
        for text in texts:
            clip = self._synthesise(text) if text else None
            prepared.append(Spoken(text, clip, at_s) if clip is not None else None)
            at_s += clip.seconds + _PAUSE_S if clip is not None else 0.0
        return prepared

    def speak(self, prepared: Sequence[Spoken | None]) -> None:
        """Play what was prepared, as one clip: opening a device anew for each would drag."""
        sentences = [sentence for sentence in prepared if sentence is not None]
        if not sentences:
            return
        self.spoken += sentences
        turn = sentences[0].clip
        for sentence in sentences[1:]:
            turn = turn + Clip.silence(_PAUSE_S, turn.rate_hz) + sentence.clip
        self._play(turn)
        self._timeline.advance(turn.seconds + _PAUSE_S)

    def adjust(self, change: str) -> None:
        """Speak "slower", "faster", "louder" or "softer" from now on."""
        if self._voice is not None:
            self._voice.adjust(change)

    def _synthesise(self, text: str) -> Clip | None:
        if self._voice is None:
            return None
        try:
            clip = self._voice.synthesise(self._to_words(text))
        except SpeakError as error:
            self._warn(f"{error}. The session goes on in text.")
            self._voice = None
            return None
        return clip if clip.samples else None

    def _play(self, clip: Clip) -> None:
        if self._player is None:
            return
        try:
            self._player.play(clip)
        except DeviceError as error:
            self._warn(f"{error}. The session goes on in text.")
            self._player = None
