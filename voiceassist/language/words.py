"""Cuts a text into the words that grammars know."""

import re
import unicodedata
from collections.abc import Set

#: Letters, digits and what may stand inside a word; grammars have no other signs.
_OUTSIDE = re.compile(r"[^\w\s,.:'’‘ʼ%°·-]|_")
_TOKEN = re.compile(r",|[^\s,]+")
_EDGES = ".:"
#: Words that are written in more than one way.
_SPELLED = {"ok": "okay", "o.k": "okay"}
_APOSTROPHES = str.maketrans({"’": "'", "‘": "'", "ʼ": "'"})


def cut(text: str, known: Set[str]) -> list[str]:
    """Lower-case words without punctuation; a comma is a word of its own.

    A word with a hyphen is cut at it, unless it is ``known`` as it stands.
    """
    plain = unicodedata.normalize("NFC", text).translate(_APOSTROPHES).lower()
    plain = _OUTSIDE.sub(" ", plain)
    words: list[str] = []
    for token in _TOKEN.findall(plain):
        word = token.strip(_EDGES)
        word = _SPELLED.get(word, word)
        if word in known:
            words.append(word)
        else:
            for part in word.replace("-", " ").split():
                words.extend(_pieces(part, known) or [part])
    return words


def _pieces(word: str, known: Set[str]) -> list[str]:
    """An unknown word as known words, where the script writes words together (Hangul, Han)."""
    if word in known or not all(unicodedata.category(char) == "Lo" for char in word):
        return []
    best: list[list[str] | None] = [[]]
    for end in range(1, len(word) + 1):
        ways = [
            [*before, word[start:end]]
            for start in range(end)
            if (before := best[start]) is not None and word[start:end] in known
        ]
        best.append(min(ways, key=len, default=None))
    return best[-1] or []
