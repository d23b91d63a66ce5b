"""Pronunciations that the listener's own dictionary lacks, in the CMU dictionary's notation.

A line is a word and its phones, ``amps AE M P S``; ``amps(2)`` gives another way to say it.
Empty lines and lines that begin with ``;;;`` or ``#`` are remarks.
"""

from dataclasses import dataclass

from voiceassist.errors import RecogniseError


@dataclass(frozen=True, slots=True)
class Pronunciation:
    """One way to say a word: phones of the CMU set, single spaces between; ``line`` from 1."""

    word: str
    phones: str
    line: int


def read_pronunciations(text: str) -> tuple[Pronunciation, ...]:
    """Every pronunciation in ``text``.

    Raises:
        RecogniseError: a line holds a word and nothing else.
    """
    found = []
    for number, line in enumerate(text.splitlines(), start=1):
        word, *phones = line.split()[:1] + line.split()[1:] if line.strip() else [""]
        if not word or word.startswith((";;;", "#")):
            continue
        if not phones:
            raise RecogniseError(
                f"the word {word!r} has no phones",
                place=f"pronunciations.dict line {number}",
                remedy="write them after it, as in: amps AE M P S",
            )
        found.append(Pronunciation(word.lower(), " ".join(phones), number))
    return tuple(found)
