"""What is told of a piece of work by its own words: "new pack's in" of "fit the new pack"."""

import re
from collections.abc import Set

#: Endings of a word that tell its time or number, and no other thing.
_ENDS = ("'s", "ing", "ed", "s", "e")
_LEAST = 3
_WORD = re.compile(r"[a-z']+")


def parts_of(text: str) -> tuple[str, ...]:
    """The parts of the work ``text``, each as it may be told to do."""
    parts = re.split(r", (?:and |then )?", text)
    return tuple(part for part in parts if part)


def left_by(text: str, words: str, small: Set[str]) -> tuple[str, ...] | None:
    """Of the work ``text`` the parts that ``words`` do not name; None where they name none.

    A part is named by any word of it that is not one of the ``small``.
    """
    parts, said = parts_of(text), _stems(words)
    unnamed = frozenset(_stem(word) for word in small)
    left = tuple(part for part in parts if not (_stems(part) - unnamed) & said)
    return left if len(left) < len(parts) else None


def _stems(text: str) -> frozenset[str]:
    return frozenset(_stem(word) for word in _WORD.findall(text.lower()))


def _stem(word: str) -> str:
    for end in _ENDS:
        if word.endswith(end) and len(word) - len(end) >= _LEAST:
            word = word.removesuffix(end)
    return word[:-1] if len(word) > _LEAST and word[-1] == word[-2] else word
