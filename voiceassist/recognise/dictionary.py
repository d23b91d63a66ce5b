"""The pronouncing dictionary that comes with pocketsphinx, and our own words beside it."""

import re
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path

import pocketsphinx

from voiceassist.errors import RecogniseError
from voiceassist.recognise.pronunciations import read_pronunciations

_FILE = "en-us/cmudict-en-us.dict"
#: More letters than any line has.
_LONGEST = 500
_OTHER_WAY = re.compile(r"\(\d+\)$")


class Dictionary:
    """Word to pronunciations, phones of the CMU set.

    Args:
        pronunciations: lines of words that the library's dictionary lacks.

    Raises:
        RecogniseError: the dictionary cannot be read, or a pronunciation cannot be used.
    """

    def __init__(self, pronunciations: str = "") -> None:
        own: dict[str, list[tuple[str, ...]]] = {}
        for entry in read_pronunciations(pronunciations):
            word = _OTHER_WAY.sub("", entry.word)
            own.setdefault(word, []).append(tuple(entry.phones.split()))
        self._own = own
        self._text = _text()

    def __call__(self, word: str) -> Sequence[tuple[str, ...]]:
        """The pronunciations of ``word``; none when nobody knows it."""
        if _OTHER_WAY.search(word):
            return ()  # a mark of the dictionary, and no word
        return self._own.get(word) or _ways(self._text, word)


@lru_cache(maxsize=1)
def _text() -> str:
    """The whole dictionary, a line a word, with a line's end before the first."""
    file = Path(pocketsphinx.get_model_path(_FILE))
    try:
        return "\n" + file.read_text(encoding="utf-8")
    except OSError as error:
        raise RecogniseError(
            f"the dictionary of pocketsphinx cannot be read: {error.strerror}",
            place=str(file),
            remedy="install the Python package pocketsphinx again",
        ) from None


@lru_cache(maxsize=4096)
def _ways(text: str, word: str) -> tuple[tuple[str, ...], ...]:
    """Those of ``word``: a line, and after it ``word(2)`` and so on; no pattern is as quick."""
    found: list[tuple[str, ...]] = []
    at = text.find(f"\n{word} ")
    while at >= 0:
        line, _, _ = text[at + 1 : at + 1 + _LONGEST].partition("\n")
        found.append(tuple(line.split()[1:]))
        at = text.find(f"\n{word}({len(found) + 1}) ", at)
    return tuple(found)
