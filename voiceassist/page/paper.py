"""A sheet that is filled from top to bottom: lines of text, breaks. Draws with ReportLab.

Everything is laid out by hand: thousands of short lines come out in a fraction of the time a
general layout takes, and nothing moves between two runs (no clock is read: ``invariant``).
"""

import io
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from reportlab.lib.colors import Color, HexColor
from reportlab.pdfgen.canvas import Canvas

from voiceassist.page.letters import BOLD, PLAIN, Letters
from voiceassist.record.webvtt import one_line

__all__ = ["BOLD", "PLAIN", "Sheet"]

INK, SOFT, RULE = HexColor("#1b1f23"), HexColor("#59626b"), HexColor("#c9ced3")
ACCENT, TINT, BOX = HexColor("#23445c"), HexColor("#f3f4f2"), HexColor("#e6eae4")
#: Width and height in points: ISO 216 A4, and ANSI letter.
PAPERS: Mapping[str, tuple[float, float]] = MappingProxyType(
    {"a4": (595.276, 841.89), "letter": (612.0, 792.0)}
)
LEFT, RIGHT, TOP, BOTTOM = 44.0, 44.0, 36.0, 44.0
#: From one line to the next, in sizes of the font.
_LEAD = 1.24


class Sheet:
    """A document under way; ``y`` is where the next thing begins, in points from the bottom.

    Args:
        paper: name of a size in ``PAPERS``.
        title: of the document.
        foot: stands at the bottom of every page, with the page's number.
        letters: its fonts.

    Parts:
        page: number of the page under way, from 1.
    """

    def __init__(self, paper: str, title: str, foot: str, letters: Letters) -> None:
        self.width, self.height = PAPERS[paper]
        self._content = io.BytesIO()
        self.canvas = Canvas(
            self._content, pagesize=(self.width, self.height), pageCompression=1, invariant=1
        )
        self.canvas.setTitle(one_line(title))
        self.canvas.setAuthor("")
        self._foot = foot
        self._pages: list[dict[str, Any]] = []
        self.letters = letters
        self.page = 1
        self.y = self.height - TOP

    @property
    def right(self) -> float:
        """Where text ends, in points from the left."""
        return self.width - RIGHT

    @property
    def bottom(self) -> float:
        """Where the last line ends, in points from the bottom."""
        return BOTTOM

    @property
    def across(self) -> float:
        """From left to right margin, in points."""
        return self.width - LEFT - RIGHT

    def finished(self) -> bytes:
        """The file; only now is it known how many pages there are."""
        self._end_page()
        for number, page in enumerate(self._pages, 1):
            self.canvas.__dict__.update(page)
            self._write_foot(number)
            self.canvas.showPage()
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
        """Put the page aside as it is, for its foot."""
        self._pages.append(dict(self.canvas.__dict__))
        self.canvas._startPage()  # type: ignore[attr-defined]  # as its showPage does

    def _write_foot(self, page: int) -> None:
        number = f"page {page} of {len(self._pages)}"
        wide = self.measure(number, 7.2)
        for foot in self.folded(self._foot, 7.2, self.across - wide - 10)[:1]:
            self.line(foot, LEFT, BOTTOM - 18, 7.2, colour=SOFT)
        self.line(number, self.right - wide, BOTTOM - 18, 7.2, colour=SOFT)

    # --- text ---

    def measure(self, text: str, size: float, font: str = PLAIN) -> float:
        """How wide ``text`` is, in points."""
        return self.letters.width(self.letters.shown(text, font), font) * size

    def line(
        self, text: str, x: float, y: float, size: float, font: str = PLAIN, colour: Color = INK
    ) -> None:
        """Write one line with its base at ``y``."""
        self.canvas.setFillColor(colour)
        for name, piece in self.letters.runs(self.letters.shown(text, font), font):
            self.canvas.setFont(name, size)
            self.canvas.drawString(x, y, piece)
            x += self.letters.width(piece, font) * size

    def folded(self, text: str, size: float, width: float, font: str = PLAIN) -> list[str]:
        """``text`` as lines no wider than ``width`` points; words too long are cut."""
        lines, line, used = [], "", 0.0
        width_of = self.letters.width
        space = width_of(" ", font) * size
        for word in self.letters.shown(text, font).split(" "):
            for piece in self._pieces(word, size, width, font):
                long = width_of(piece, font) * size
                if line and used + space + long > width:
                    lines.append(line)
                    line, used = piece, long
                else:
                    line, used = (f"{line} {piece}", used + space + long) if line else (piece, long)
        return [*lines, line] if line else lines

    def _pieces(self, word: str, size: float, width: float, font: str) -> list[str]:
        long = self.letters.width(word, font) * size
        if long <= width or len(word) < 2:
            return [word]
        most = max(1, int(len(word) * width / long * 0.9))
        pieces = []
        while len(word) > most:
            hyphen = word.rfind("-", most // 2, most) + 1  # a name is cut there rather
            pieces.append(word[: hyphen or most])
            word = word[hyphen or most :]
        return [*pieces, word]

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
