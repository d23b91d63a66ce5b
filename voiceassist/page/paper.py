"""A sheet that is filled from top to bottom: fonts, lines of text, breaks. Draws with ReportLab.

Everything is laid out by hand: thousands of short lines come out in a fraction of the time a
general layout takes, and nothing moves between two runs (no clock is read: ``invariant``).
The fonts are Source Sans Pro (SIL Open Font License 1.1), from a wheel that carries them.
"""

import io
from collections.abc import Mapping
from functools import cache, lru_cache
from importlib.resources import files
from types import MappingProxyType

from reportlab.lib.colors import Color, HexColor
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from voiceassist.record.webvtt import one_line

PLAIN, BOLD = "SourceSansPro", "SourceSansPro-Semibold"
_FILES = MappingProxyType({PLAIN: "SourceSansPro-Regular.ttf", BOLD: "SourceSansPro-Semibold.ttf"})
INK, SOFT, RULE = HexColor("#1b1f23"), HexColor("#59626b"), HexColor("#c9ced3")
ACCENT, TINT, BOX = HexColor("#23445c"), HexColor("#f3f4f2"), HexColor("#e6eae4")
#: Width and height in points: ISO 216 A4, and ANSI letter.
PAPERS: Mapping[str, tuple[float, float]] = MappingProxyType(
    {"a4": (595.276, 841.89), "letter": (612.0, 792.0)}
)
LEFT, RIGHT, TOP, BOTTOM = 44.0, 44.0, 36.0, 44.0
#: From one line to the next, in sizes of the font.
_LEAD = 1.24
#: Stands where the font has no sign for a character.
_LACKING = "\ufffd"


@cache
def _glyphs(font: str) -> frozenset[int]:
    """Register a font and tell which characters it has."""
    data = (files("font_source_sans_pro") / "files" / _FILES[font]).read_bytes()
    made = TTFont(font, io.BytesIO(data))
    pdfmetrics.registerFont(made)
    return frozenset(made.face.charToGlyph)


@lru_cache(maxsize=16384)
def _width(word: str, font: str) -> float:
    """Width of a word in sizes of the font."""
    return float(pdfmetrics.stringWidth(word, font, 1.0))


@lru_cache(maxsize=4096)
def _shown(text: str, font: str) -> tuple[str, frozenset[str]]:
    """``text`` as the font can show it, and the characters it has no sign for."""
    glyphs, plain = _glyphs(font), one_line(text)
    missing = frozenset(c for c in plain if ord(c) not in glyphs)
    mark = _LACKING if ord(_LACKING) in glyphs else "?"
    return plain.translate({ord(c): mark for c in missing}), missing


class Sheet:
    """A document under way; ``y`` is where the next thing begins, in points from the bottom.

    Args:
        paper: name of a size in ``PAPERS``.
        title: of the document.
        foot: stands at the bottom of every page, with the page's number.

    Parts:
        page: number of the page under way, from 1.
        lacking: characters that the font has no sign for.
    """

    def __init__(self, paper: str, title: str, foot: str) -> None:
        self.width, self.height = PAPERS[paper]
        self._content = io.BytesIO()
        self.canvas = Canvas(
            self._content, pagesize=(self.width, self.height), pageCompression=1, invariant=1
        )
        self.canvas.setTitle(one_line(title))
        self.canvas.setAuthor("")
        self._foot = foot
        self.page = 1
        self.y = self.height - TOP
        self.lacking: set[str] = set()

    @property
    def right(self) -> float:
        """Where text ends, in points from the left."""
        return self.width - RIGHT

    @property
    def across(self) -> float:
        """From left to right margin, in points."""
        return self.width - LEFT - RIGHT

    def finished(self) -> bytes:
        """The file."""
        self._end_page()
        self.canvas.save()
        return self._content.getvalue()

    def new_page(self) -> None:
        """Go on at the top of another page."""
        self._end_page()
        self.page += 1
        self.y = self.height - TOP

    def need(self, points: float) -> None:
        """Go to another page unless so much is free on this one."""
        if self.y - points < BOTTOM:
            self.new_page()

    def _end_page(self) -> None:
        self.line(self._foot, LEFT, BOTTOM - 18, 7.2, colour=SOFT)
        number = f"page {self.page}"
        self.line(number, self.right - self.measure(number, 7.2), BOTTOM - 18, 7.2, colour=SOFT)
        self.canvas.showPage()

    # --- text ---

    def shown(self, text: str, font: str = PLAIN) -> str:
        """``text`` on one line, with a mark for each character that the font lacks."""
        plain, missing = _shown(text, font)
        self.lacking |= missing
        return plain

    def measure(self, text: str, size: float, font: str = PLAIN) -> float:
        """How wide ``text`` is, in points."""
        return _width(self.shown(text, font), font) * size

    def line(
        self, text: str, x: float, y: float, size: float, font: str = PLAIN, colour: Color = INK
    ) -> None:
        """Write one line with its base at ``y``."""
        self.canvas.setFillColor(colour)
        self.canvas.setFont(font, size)
        self.canvas.drawString(x, y, self.shown(text, font))

    def folded(self, text: str, size: float, width: float, font: str = PLAIN) -> list[str]:
        """``text`` as lines no wider than ``width`` points; words too long are cut."""
        lines, line, used = [], "", 0.0
        _glyphs(font)  # registers the font
        space = _width(" ", font) * size
        for word in self.shown(text, font).split(" "):
            for piece in self._pieces(word, size, width, font):
                long = _width(piece, font) * size
                if line and used + space + long > width:
                    lines.append(line)
                    line, used = piece, long
                else:
                    line, used = (f"{line} {piece}", used + space + long) if line else (piece, long)
        return [*lines, line] if line else lines

    def _pieces(self, word: str, size: float, width: float, font: str) -> list[str]:
        if _width(word, font) * size <= width or len(word) < 2:
            return [word]
        most = max(1, int(len(word) * width / (_width(word, font) * size) * 0.9))
        return [word[i : i + most] for i in range(0, len(word), most)]

    def write(
        self,
        text: str,
        x: float,
        y: float,
        width: float,
        size: float = 9.0,
        font: str = PLAIN,
        colour: Color = INK,
        *,
        flow: bool = False,
    ) -> float:
        """Write a paragraph with its top at ``y``.

        Args:
            flow: go on at the top of another page where this one ends.

        Returns:
            Where it ends.
        """
        for each in self.folded(text, size, width, font):
            if flow and y - size * _LEAD < BOTTOM:
                self.new_page()
                y = self.y
            self.line(each, x, y - size, size, font, colour)
            y -= size * _LEAD
        return y

    def height_of(self, text: str, width: float, size: float = 9.0, font: str = PLAIN) -> float:
        """How high a paragraph is, in points."""
        return len(self.folded(text, size, width, font)) * size * _LEAD

    def rule(self, y: float, colour: Color = RULE, thick: float = 0.6) -> None:
        """A line from margin to margin."""
        self.canvas.setStrokeColor(colour)
        self.canvas.setLineWidth(thick)
        self.canvas.line(LEFT, y, self.right, y)
