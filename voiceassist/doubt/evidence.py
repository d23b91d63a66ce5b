"""What a listener heard in one clip, its words already understood."""

from dataclasses import dataclass

from voiceassist.language.meanings import Meaning


@dataclass(frozen=True, slots=True)
class Guess:
    """One word string that a listener may have heard.

    Parts:
        words: as the listener has them.
        meanings: what they can mean at this step, the likeliest first; one or more.
        score: natural logarithm; comparable only within one listener and one clip.
    """

    words: str
    meanings: tuple[Meaning, ...]
    score: float

    def __post_init__(self) -> None:
        if not self.meanings:
            raise ValueError("a guess that means nothing is no guess")


@dataclass(frozen=True, slots=True)
class Evidence:
    """What a listener made of a clip.

    Parts:
        listener: its name.
        guesses: best first; empty when nothing it heard means anything here.
        none_of_these: log score of the clip being no phrase of the grammar, on the scale of the
            guesses; None when the listener cannot tell.
        rest: log score of all phrases that are no guesses, together, on the same scale; None when
            the listener cannot tell.
    """

    listener: str
    guesses: tuple[Guess, ...] = ()
    none_of_these: float | None = None
    rest: float | None = None


@dataclass(frozen=True, slots=True)
class ClipFacts:
    """What is known of the clip itself.

    Parts:
        snr_db: speech above the noise before it, in dB.
        seconds: its length.
    """

    snr_db: float
    seconds: float


Key = tuple[Meaning, ...]
