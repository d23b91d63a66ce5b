"""What is large, read once and kept: grammars, guesses and the odds of listeners."""

import gc
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cache, lru_cache
from importlib.resources import files
from typing import TYPE_CHECKING

from voiceassist import resources
from voiceassist.doubt.odds import Odds, read_odds
from voiceassist.language.language import Language

if TYPE_CHECKING:
    from voiceassist.language.guess import Guesser

GUESSES = "talk.json"


@cache
def shipped_odds() -> Mapping[str, Odds]:
    """What each listener's scores are worth, by its name."""
    text = files("voiceassist.doubt").joinpath("odds.toml").read_text(encoding="utf-8")
    return read_odds(text)


@contextmanager
def loading() -> Iterator[None]:
    """Around the making of many objects that live as long as the session.

    They are never searched for garbage: not now, and not in mid-phrase.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        if was_on:
            gc.enable()


@lru_cache(maxsize=2)
def load_guesser(text: str, language: str) -> "Guesser":
    """Learned from ``text``, and from the network of ``language`` where it has one."""
    from voiceassist.language.guess import Guesser
    from voiceassist.language.word_net import WordNet

    net = resources.network(language)
    return Guesser.load(text, GUESSES, WordNet(net) if net else None)


@lru_cache(maxsize=2)
def load_language(files: tuple[tuple[str, str], ...]) -> Language:
    """Read once, whatever is made for it: it is large, and no session changes it."""
    with loading():
        return Language.load(dict(files))
