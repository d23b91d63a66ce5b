"""Words for full text search, the same for every database. Pure: text in, words out.

The program splits text into words itself, without capitals and accents, and hands both
databases plain words with spaces between; so neither one's own idea of a word matters.
"""

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from voiceassist.errors import ArchiveError

_WORD = re.compile(r"[^\W_]+")
_TERM = re.compile(r'"([^"]*)"|(\S+)')
#: PostgreSQL (manual, 12.11 "Limitations") keeps positions up to 16383, 256 of a word at most,
#: words below 2 kB and not more than a megabyte of all: far more than anyone says in a session.
MOST_WORDS, MOST_PLACES, MOST_LETTERS, MOST_BYTES = 16_000, 255, 60, 200_000


@dataclass(frozen=True, slots=True)
class Term:
    """What must occur: one word, or several in a row.

    Parts:
        words: plain words, at least one.
        open_end: the last one may go on ("mod*" finds "module").
    """

    words: tuple[str, ...]
    open_end: bool = False

    def __post_init__(self) -> None:
        if not self.words:
            raise ValueError("a term has at least one word")


def plain_words(text: str) -> list[str]:
    """The words of ``text``: no capitals, no accents, nothing but letters and digits."""
    decomposed = unicodedata.normalize("NFKD", text.casefold())
    bare = "".join(c for c in decomposed if unicodedata.category(c) != "Mn")
    found = _WORD.findall(unicodedata.normalize("NFC", bare))
    return [word[:MOST_LETTERS] for word in found]


def as_document(texts: Iterable[str]) -> str:
    """``texts`` as one text of plain words, as many as every database takes."""
    words = [word for text in texts for word in plain_words(text)][:MOST_WORDS]
    while len(document := " ".join(words).encode()) > MOST_BYTES:
        del words[len(words) * MOST_BYTES // len(document) - 1 :]
    return document.decode()


def terms(asked: str, place: str) -> tuple[Term, ...]:
    """What must all occur for ``asked``: words, "several in a row" in quotes, ``begin*``.

    Args:
        asked: as the user wrote it.
        place: the option it was given to, for the message.

    Raises:
        ArchiveError: there is no word in it.
    """
    found = []
    for quoted, plain in _TERM.findall(asked):
        words = tuple(plain_words(quoted or plain))
        if words:
            found.append(Term(words, (quoted or plain).endswith("*")))
    if not found:
        raise ArchiveError(f"found no word in {asked!r}", place=place, remedy="give a whole word")
    return tuple(found)


def for_sqlite(column: str, wanted: tuple[Term, ...]) -> str:
    """``wanted`` as FTS5 has it; source: SQLite, "FTS5 Full-text Query Syntax"."""
    each = [f'"{" ".join(t.words)}"{" *" if t.open_end else ""}' for t in wanted]
    return f"{{{column}}} : ({' AND '.join(each)})"


def for_postgresql(wanted: tuple[Term, ...]) -> str:
    """``wanted`` as a ``tsquery``; source: PostgreSQL manual, 8.11.2.

    Two words in a row are looked up as the pair that ``vector`` keeps of them: how often a pair
    occurs is known to the database, and of words in a row it would have to guess it.
    """
    return " & ".join(_query(term) for term in wanted)


def _query(term: Term) -> str:
    end = ":*" if term.open_end else ""
    pairs = [f"'{pair}'" for pair in neighbours(term.words) or term.words]
    pairs[-1] += end
    if len(term.words) < 3:
        return pairs[0]
    row = " <-> ".join(f"'{word}'" for word in term.words) + end
    return f"{' & '.join(pairs)} & ({row})"


def vector(document: str) -> str:
    """A document as a ``tsvector`` (PostgreSQL manual, 8.11.1): each word with its places, and
    each pair of neighbours as one word more.

    Made here, and not by ``to_tsvector``, which splits words by rules of its own.
    """
    words = document.split()
    places: dict[str, list[str]] = {}
    for place, word in enumerate(words, 1):
        places.setdefault(word, []).append(str(place))
    single = [f"'{word}':{','.join(found[:MOST_PLACES])}" for word, found in places.items()]
    return " ".join([*single, *(f"'{pair}'" for pair in dict.fromkeys(neighbours(words)))])


def neighbours(words: Sequence[str]) -> list[str]:
    """Neighbours in ``words``, each two in one text that begins as no word does."""
    return [f"+{one} {other}" for one, other in pairwise(words)]
