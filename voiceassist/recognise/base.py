"""The port for listeners (speech recognisers)."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Protocol, runtime_checkable

from voiceassist.sound.clip import LISTEN_RATE_HZ, Clip


class Nothing(StrEnum):
    """Why a listener heard nothing."""

    NO_SPEECH = "no speech"
    OUTSIDE = "outside the grammar"
    TOO_NOISY = "too noisy"
    FAILED = "the listener failed"


@dataclass(frozen=True, slots=True)
class Candidate:
    """One word string a listener thinks it may have heard.

    Parts:
        words: lower-case words with single spaces.
        score: natural logarithm; comparable only within one listener and one clip.
    """

    words: str
    score: float


@dataclass(frozen=True, slots=True)
class HeardClip:
    """What a listener made of one clip.

    Parts:
        listener: its name.
        candidates: best first; empty when it heard nothing.
        nothing: the reason when there are no candidates, else None.
        none_of_these: log score of the clip being none of the grammar's phrases, on the
            candidates' scale; None when the listener cannot tell.
        seconds: time used.
        rest: log score of all phrases of the grammar that are no candidates, together, on the
            same scale; None when the listener cannot tell.
        spelled: what it would write with no grammar at all; empty when it cannot.
        loosely: where the grammar hardly fits, the likeliest words with no grammar, best first.
        unfinished: log score of all beginnings of phrases that are no phrases, on the same scale;
            None when the listener cannot tell.
    """

    listener: str
    candidates: tuple[Candidate, ...] = ()
    nothing: Nothing | None = None
    none_of_these: float | None = None
    seconds: float = 0.0
    rest: float | None = None
    spelled: str = ""
    loosely: tuple[Candidate, ...] = ()
    unfinished: float | None = None


class ListenerGrammar(Protocol):
    """The part of a step grammar that listeners need (``language.StepGrammar`` is one)."""

    def jsgf(self) -> str:
        """The whole grammar as one JSGF 1.0 text."""
        ...

    def words(self) -> frozenset[str]:
        """Every word in it."""
        ...


class Listener(Protocol):
    """Hears words in a clip, within a grammar."""

    name: str

    def prepare(self, grammar: ListenerGrammar) -> None:
        """Check that every word can be heard and get ready for ``grammar``.

        Raises:
            RecogniseError: a word the listener can never hear, named.
        """
        ...

    def hear(self, clip: Clip) -> HeardClip:
        """Return what was heard in ``clip`` (16 kHz) under the prepared grammar."""
        ...

    def close(self) -> None:
        """Free what it holds."""
        ...


@runtime_checkable
class Foresighted(Protocol):
    """A listener that can get ready for a grammar before it is needed."""

    def expect(self, grammar: ListenerGrammar) -> bool:
        """Do a little of what ``grammar`` will need, in a few hundredths of a second.

        Returns:
            False when nothing is left to do; faults are told of by ``prepare``.
        """
        ...


def check_rate(clip: Clip) -> None:
    """Nothing, when ``clip`` has the rate that listeners are fed.

    Raises:
        ValueError: it has another.
    """
    if clip.rate_hz != LISTEN_RATE_HZ:
        raise ValueError(f"a clip of {clip.rate_hz} Hz, where {LISTEN_RATE_HZ} Hz is due")
