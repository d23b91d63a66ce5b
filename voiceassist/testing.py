"""Stand-ins for the outside world, for tests of procedures and of programs built on this one.

Each keeps the protocol of the part it stands in for.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import UTC, datetime, timedelta

from voiceassist.recognise.base import Candidate, Grammar, Heard, Nothing
from voiceassist.sound.clip import Clip

#: How long a captured sentence is taken to last, in seconds a character.
_SECONDS_A_CHARACTER = 0.06


class ScriptedListener:
    """Hears what the script says, one entry a clip: words, or a reason for nothing."""

    name = "scripted"

    def __init__(self, script: Iterable[str | Nothing]) -> None:
        self._script = iter(script)
        self.grammars: list[Grammar] = []

    def prepare(self, grammar: Grammar) -> None:
        """Remember the grammar in ``grammars``."""
        self.grammars.append(grammar)

    def hear(self, clip: Clip) -> Heard:
        """The next entry of the script; no speech when it has ended."""
        entry = next(self._script, Nothing.NO_SPEECH)
        if isinstance(entry, Nothing):
            return Heard(self.name, nothing=entry)
        return Heard(self.name, candidates=(Candidate(entry, 0.0),))

    def close(self) -> None:
        """Nothing to free."""


class CapturingVoice:
    """Keeps what it is told to say in ``sentences``, and gives silence of a likely length."""

    name = "capturing"

    def __init__(self) -> None:
        self.sentences: list[str] = []
        self.adjusted: list[str] = []

    def synthesise(self, sentence: str) -> Clip:
        """Silence, about as long as the sentence would take."""
        self.sentences.append(sentence)
        return Clip.silence(len(sentence) * _SECONDS_A_CHARACTER)

    def adjust(self, change: str) -> None:
        """Remember the change in ``adjusted``."""
        self.adjusted.append(change)

    def cancel(self) -> None:
        """Nothing runs that could be ended."""

    def close(self) -> None:
        """Nothing to free."""


class MemoryKeeper:
    """Keeps journal lines in ``lines``, in memory only."""

    def __init__(self) -> None:
        self.lines: list[Mapping[str, object]] = []
        self.sounds: dict[str, Clip] = {}

    def keep(self, lines: Sequence[Mapping[str, object]]) -> Sequence[Mapping[str, object]]:
        """Keep ``lines``."""
        self.lines += lines
        return lines

    def keep_sound(self, name: str, clip: Clip) -> None:
        """Keep ``clip`` in ``sounds``."""
        self.sounds[name] = clip


class FixedTimeline:
    """A clock that moves only when sound passes, from a fixed moment on."""

    def __init__(self, zero: datetime = datetime(2026, 1, 2, 8, 0, tzinfo=UTC)) -> None:
        self._zero = zero
        self._now_s = 0.0

    def now_s(self) -> float:
        """Seconds of sound so far."""
        return self._now_s

    def wall(self) -> datetime:
        """The fixed moment plus the sound so far."""
        return self._zero + timedelta(seconds=self._now_s)

    def advance(self, seconds: float) -> None:
        """Let ``seconds`` pass."""
        self._now_s += seconds
