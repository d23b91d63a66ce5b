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
#: What is typed without its apostrophe is the same word.
_WITH_APOSTROPHE = (
    "it's that's what's there's where's who's how's he's she's here's let's i'm i've don't can't "
    "won't isn't ain't aren't doesn't didn't wasn't weren't hasn't haven't hadn't couldn't "
    "wouldn't shouldn't needn't you're you've they're they've we've it'll that'll you'll they'll"
)
_SPELLED |= {word.replace("'", ""): word for word in _WITH_APOSTROPHE.split()}
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
