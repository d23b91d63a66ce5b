"""The letters of a PDF: which font shows which character, how wide words are, right to left.

The usual fonts are Source Sans Pro (SIL Open Font License 1.1), from a wheel that carries them.
What they lack is shown by the fonts ``behind`` them, which ``scripts.py`` finds.
"""

import io
import unicodedata
from collections.abc import Iterator, Sequence
from functools import cache, lru_cache
from importlib.resources import files
from itertools import groupby
from types import MappingProxyType

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from voiceassist.page.joined import joined
from voiceassist.record.webvtt import one_line

PLAIN, BOLD = "SourceSansPro", "SourceSansPro-Semibold"
_FILES = MappingProxyType({PLAIN: "SourceSansPro-Regular.ttf", BOLD: "SourceSansPro-Semibold.ttf"})
#: Stands where no font has a sign for a character; a question mark might be meant.
LACKING = "\N{LOZENGE}"
_RIGHT_TO_LEFT = frozenset({"R", "AL"})


@cache
def glyphs_of(font: str) -> frozenset[int]:
    """Register one of the usual fonts and tell which characters it has."""
    data = (files("font_source_sans_pro") / "files" / _FILES[font]).read_bytes()
    return registered(font, data)


def registered(font: str, data: bytes) -> frozenset[int]:
    """Register a font by the content of its file and tell which characters it has."""
    made = TTFont(font, io.BytesIO(data))
    pdfmetrics.registerFont(made)
    return frozenset(made.face.charToGlyph)


@lru_cache(maxsize=16384)
def _width(word: str, font: str) -> float:
    """Width of a word in sizes of the font."""
    return float(pdfmetrics.stringWidth(word, font, 1.0))


@lru_cache(maxsize=4096)
def _plain(text: str, font: str) -> tuple[str, frozenset[str]]:
    """``text`` on one line, accents and joining letters put together, and what ``font`` lacks."""
    glyphs = glyphs_of(font)
    plain = joined(unicodedata.normalize("NFC", one_line(text)))
    return plain, frozenset(c for c in plain if ord(c) not in glyphs)


class Letters:
    """The fonts of one document.

    Args:
        behind: name and characters of each font that shows what the usual ones lack.

    Parts:
        lacking: characters that no font had a sign for.
    """

    def __init__(self, behind: Sequence[tuple[str, frozenset[int]]] = ()) -> None:
        self._behind = behind
        self.lacking: set[str] = set()

    def shown(self, text: str, font: str) -> str:
        """``text`` on one line, with a mark for each character that no font has."""
        plain, missing = _plain(text, font)
        if not missing:
            return plain
        lost = {c for c in missing if self._font_of(c, "") == ""}
        self.lacking |= lost
        return plain.translate({ord(c): LACKING for c in lost})

    def width(self, shown: str, font: str) -> float:
        """How wide a text that ``shown`` gave is, in sizes of the font."""
        if not _plain(shown, font)[1]:
            return _width(shown, font)
        return sum(_width(piece, name) for name, piece in self._runs(shown, font))

    def runs(self, shown: str, font: str) -> Iterator[tuple[str, str]]:
        """Font and text of each piece from left to right, words of other scripts in their order."""
        if not _plain(shown, font)[1]:
            return iter([(font, shown)])
        return self._runs(_from_left_to_right(shown), font)

    def _runs(self, text: str, font: str) -> Iterator[tuple[str, str]]:
        glyphs = glyphs_of(font)

        def name(c: str) -> str:
            return font if ord(c) in glyphs else self._font_of(c, font)

        for found, piece in groupby(text, name):
            yield found, "".join(piece)

    def _font_of(self, c: str, otherwise: str) -> str:
        return next((name for name, glyphs in self._behind if ord(c) in glyphs), otherwise)


def _from_left_to_right(text: str) -> str:
    """``text`` as it lies on paper (Unicode Standard Annex 9)."""
    if not any(unicodedata.bidirectional(c) in _RIGHT_TO_LEFT for c in text):
        return text
    from bidi.algorithm import get_display  # this one turns brackets round too, as rule L4 says

    return str(get_display(text, base_dir="L"))
