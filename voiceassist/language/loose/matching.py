"""What rules of the language know in words: at their start, anywhere or at their end."""

from collections.abc import Sequence

from voiceassist.language.walking import Walker
from voiceassist.language.words import cut


def plain_words(text: str) -> list[str]:
    """The words of ``text`` with its commas, each word with a hyphen cut."""
    return cut(text, frozenset())


def prefix(walker: Walker | None, words: Sequence[str]) -> int:
    """How many of the first words ``walker`` knows; none where the language has no such rule."""
    return walker.longest_prefix(words) if walker is not None else 0


def anywhere(walker: Walker | None, words: Sequence[str]) -> bool:
    """Whether ``walker`` knows some of the words, wherever they stand."""
    return any(prefix(walker, words[at:]) for at in range(len(words)))


def at_the_end(walker: Walker | None, words: Sequence[str]) -> bool:
    """Whether ``walker`` knows words with which they end."""
    return any(prefix(walker, words[at:]) == len(words) - at for at in range(len(words)))


def ends(walker: Walker | None, words: Sequence[str]) -> list[int]:
    """Behind which places what ``walker`` knows in the words ends, in the order it begins."""
    return [at + taken for at in range(len(words)) if (taken := prefix(walker, words[at:]))]
