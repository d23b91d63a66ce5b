"""A turn of speech as sound, and how much of it was heard."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from voiceassist.sound.clip import BYTES_PER_SAMPLE, Clip
from voiceassist.sound.samples import samples_of
from voiceassist.sound.tones import Tone, tone

#: Between two sentences.
PAUSE_S = 0.4
#: Voices end with silence of their own length, which only makes the technician wait.
_LAST_SILENCE_S = 0.05
_QUIET = 200  # of 32768
#: Clips are whole samples, so that sums of seconds differ by a little.
_ROUNDING_S = 0.002


@dataclass(frozen=True, slots=True)
class Spoken:
    """A sentence as sound, and its place in the session (seconds).

    Parts:
        ends: where each of its pieces ends: letters of ``text``, seconds of ``clip``.
    """

    text: str
    clip: Clip
    start_s: float
    ends: tuple[tuple[int, float], ...] = ()

    @property
    def end_s(self) -> float:
        """Where it ends."""
        return self.start_s + self.clip.seconds

    def letters_by(self, seconds: float) -> int:
        """How much of ``text`` has surely been spoken ``seconds`` after its beginning."""
        by_s = seconds + _ROUNDING_S
        return max((letters for letters, end_s in self.ends if end_s <= by_s), default=0)


@dataclass(frozen=True, slots=True)
class Cut:
    """A turn that was cut short.

    Parts:
        index: the first of the turn's sentences that was not heard whole; all before it were,
            none after it.
        fraction: of it that was heard, 0 to 1.
        letters: of its text that were surely heard.
    """

    index: int
    fraction: float
    letters: int


class SpokenTurn:
    """Sentences and tones laid one after another, and where in it each stands."""

    def __init__(self, prepared: Sequence[Spoken | None]) -> None:
        self._rate_hz = next((s.clip.rate_hz for s in prepared if s is not None), 0)
        self._placed: list[tuple[int, float, Spoken]] = []  # index, start, sentence
        self.clip: Clip | None = None

    def add(self, index: int, sentence: Spoken) -> None:
        """Put ``sentence``, the turn's ``index``, behind what stands there."""
        if self._placed and self.clip is not None:
            self.clip += Clip.silence(PAUSE_S, self._rate_hz)
        start_s = self.clip.seconds if self.clip is not None else 0.0
        self._placed.append((index, start_s, sentence))
        self.clip = sentence.clip if self.clip is None else self.clip + sentence.clip

    def add_tone(self, kind: Tone) -> None:
        """Put a tone, set off by a pause, behind what stands there; none in a silent turn."""
        if not self._rate_hz:
            return
        sound = tone(kind, self._rate_hz)
        gap = Clip.silence(PAUSE_S / 2, self._rate_hz)
        self.clip = sound + gap if self.clip is None else self.clip + gap + sound

    def heard(self, heard_s: float) -> list[Spoken]:
        """The sentences, or the beginning of one, that were heard."""
        found = []
        for _, start_s, sentence in self._placed:
            share_s = heard_s - start_s
            if share_s > 0:
                found.append(replace(sentence, clip=_beginning(sentence.clip, share_s)))
        return found

    def cut(self, heard_s: float) -> Cut | None:
        """What was not heard; None when every word was."""
        for index, start_s, sentence in self._placed:
            share_s = max(0.0, heard_s - start_s)
            letters = sentence.letters_by(share_s)
            if letters < sentence.ends[-1][0]:
                return Cut(index, min(1.0, share_s / sentence.clip.seconds), letters)
        return None


def _beginning(clip: Clip, seconds: float) -> Clip:
    return Clip(clip.pcm[: BYTES_PER_SAMPLE * round(seconds * clip.rate_hz)], clip.rate_hz)


def voiced(clip: Clip) -> Clip:
    """``clip`` without the silence at its end, but for a moment of it."""
    loud = np.flatnonzero(np.abs(samples_of(clip).astype(np.int32)) > _QUIET)
    if not loud.size:
        return clip
    return _beginning(clip, (int(loud[-1]) + 1) / clip.rate_hz + _LAST_SILENCE_S)
