"""Boxes, lines and letters, put together to a standalone SVG."""

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import lru_cache
from html import escape
from itertools import pairwise
from textwrap import wrap

#: Width of a letter as a share of its height, on the safe side for plain sans-serif letters.
_LETTER, _BOLD = 0.56, 0.62
LINE = 1.3
#: The space between a number and its unit.
_UNIT = re.compile(r"(?<=\d) (?=[^\d\s*])")
#: Around a drawing, in its own units.
_MARGIN = 16.0


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle: its upper left corner, width and height, in units of the drawing."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Its right side."""
        return self.x + self.width

    @property
    def bottom(self) -> float:
        """Its lower side."""
        return self.y + self.height

    def meets(self, other: "Box") -> bool:
        """True when the two have some area in common."""
        across = self.x < other.right and other.x < self.right
        return across and self.y < other.bottom and other.y < self.bottom

    def holds(self, other: "Box") -> bool:
        """True when ``other`` lies within it."""
        across = self.x <= other.x and other.right <= self.right
        return across and self.y <= other.y and other.bottom <= self.bottom


def width_of(text: str, size: float, *, bold: bool = False) -> float:
    """About how wide ``text`` is, rather too much than too little."""
    return len(text) * size * (_BOLD if bold else _LETTER)


def wrapped(
    text: str, width: float, size: float, most: int = 4, *, split_words: bool = True
) -> list[str]:
    """``text`` in lines that fit into ``width``; what is beyond ``most`` lines is cut off.

    A word that is wider is split, or with ``split_words`` off, a line of its own.
    """
    lines = [*_lines(text, max(int(width / (size * _LETTER)), 1), split_words)]
    if len(lines) > most:
        lines = [*lines[: most - 1], lines[most - 1][:-1].rstrip() + "…"]
    return lines


def unbroken(text: str) -> str:
    """``text`` with no line broken between a number and its unit."""
    return _UNIT.sub("\N{NO-BREAK SPACE}", text)


@lru_cache(maxsize=4096)
def _lines(text: str, letters: int, split_words: bool) -> tuple[str, ...]:
    return tuple(wrap(text, letters, break_long_words=split_words)) if text else ()


Place = tuple[float, float]
Piece = tuple[Place, Place]


@dataclass(slots=True)
class Canvas:
    """A drawing in the making.

    Parts:
        width, height: of the whole, as large as what was drawn so far.
        letters: where there are letters, for the test that none lie over others.
        pieces: every straight piece of a line, for the same test.
    """

    width: float = 0.0
    height: float = 0.0
    letters: list[Box] = field(default_factory=list)
    pieces: list[Piece] = field(default_factory=list)
    _elements: list[str] = field(default_factory=list)

    def rect(self, box: Box, style: str, *, round_by: float = 0.0) -> None:
        """A rectangle of the style (a class of the style sheet)."""
        self._grow(box.right, box.bottom)
        rounded = f' rx="{_n(round_by)}"' if round_by else ""
        self._add(f'<rect {_place(box)}{rounded} class="{style}"/>')

    def line(self, *points: Place, style: str = "wire", end: str = "") -> None:
        """A line through ``points``; ``end`` is a marker at its end ("arrow")."""
        for x, y in points:
            self._grow(x, y)
        self.pieces.extend(pairwise(points))
        way = " ".join(f"{_n(x)},{_n(y)}" for x, y in points)
        marker = f' marker-end="url(#{end})"' if end else ""
        self._add(f'<polyline points="{way}" class="{style}"{marker}/>')

    def path(self, way: str, style: str, end: str = "") -> None:
        """A path written as SVG wants it, within what is drawn anyhow."""
        marker = f' marker-end="url(#{end})"' if end else ""
        self._add(f'<path d="{way}" class="{style}"{marker}/>')

    def circle(self, x: float, y: float, radius: float, style: str = "part") -> None:
        """A circle."""
        self._grow(x + radius, y + radius)
        self._add(f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{_n(radius)}" class="{style}"/>')

    def text(
        self, x: float, y: float, text: str, size: float, style: str = "", anchor: str = "start"
    ) -> None:
        """One line of letters; ``y`` is that of the foot of the letters, ``anchor`` as in SVG."""
        width = width_of(text, size, bold="bold" in style)
        left = {"start": x, "middle": x - width / 2, "end": x - width}[anchor]
        box = Box(left, y - size * 0.85, width, size * 1.1)
        self.letters.append(box)
        self._grow(box.right, box.bottom)
        said = f' class="{style}"' if style else ""
        where = f'x="{_n(x)}" y="{_n(y)}" font-size="{_n(size)}" text-anchor="{anchor}"'
        self._add(f"<text {where}{said}>{escape(text)}</text>")

    def put(self, other: "Canvas", x: float, y: float) -> None:
        """Another drawing, its upper left corner at ``x``, ``y``."""
        self._add(f'<g transform="translate({_n(x)} {_n(y)})">')
        self._elements.extend(other._elements)
        self._add("</g>")
        moved = (Box(box.x + x, box.y + y, box.width, box.height) for box in other.letters)
        self.letters.extend(moved)
        self.pieces.extend(((a + x, b + y), (c + x, d + y)) for (a, b), (c, d) in other.pieces)
        self._grow(x + other.width, y + other.height)

    @property
    def drawn(self) -> str:
        """What is on it, as the inside of an SVG."""
        return "\n".join(self._elements)

    def svg(self, title: str, style: str, paper: tuple[float, float] | None = None) -> str:
        """The whole as an SVG that needs nothing else; ``paper`` is its width and height in mm."""
        width, height = self.width + 2 * _MARGIN, self.height + 2 * _MARGIN
        size = f'width="{_n(width)}" height="{_n(height)}"'
        if paper is not None:
            size = f'width="{_n(paper[0])}mm" height="{_n(paper[1])}mm"'
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" {size} '
            f'viewBox="{_n(-_MARGIN)} {_n(-_MARGIN)} {_n(width)} {_n(height)}" role="img">'
        )
        ground = (
            f'<rect x="{_n(-_MARGIN)}" y="{_n(-_MARGIN)}" width="{_n(width)}" '
            f'height="{_n(height)}" class="paper"/>'
        )
        parts = [head, f"<title>{escape(title)}</title>", f"<style>{_STYLE}{style}</style>"]
        return "\n".join([*parts, _MARKERS, ground, *self._elements, "</svg>", ""])

    def _add(self, element: str) -> None:
        self._elements.append(element)

    def _grow(self, right: float, bottom: float) -> None:
        self.width, self.height = max(self.width, right), max(self.height, bottom)


_STYLE = (
    'text{font-family:"DejaVu Sans",Verdana,Arial,sans-serif;fill:#1c1c1c}'
    ".bold{font-weight:bold}.pale{fill:#555}.paper{fill:#fff}"
)
_MARKERS = (
    '<defs><marker id="arrow" viewBox="0 0 8 8" refX="7" refY="4" markerWidth="7" '
    'markerHeight="7" orient="auto-start-reverse"><path d="M0 0L8 4L0 8z" fill="#555"/></marker>'
    '<marker id="arrow-taken" viewBox="0 0 8 8" refX="7" refY="4" markerWidth="5" '
    'markerHeight="5" orient="auto-start-reverse"><path d="M0 0L8 4L0 8z" fill="#0b3d66"/>'
    "</marker></defs>"
)


def _place(box: Box) -> str:
    sizes = f'width="{_n(box.width)}" height="{_n(box.height)}"'
    return f'x="{_n(box.x)}" y="{_n(box.y)}" {sizes}'


def _n(number: float) -> str:
    """A number as short as it can be told in a drawing."""
    return f"{number:.1f}".removesuffix(".0")


def widest(lines: Iterable[str], size: float, *, bold: bool = False) -> float:
    """How wide the widest of ``lines`` is; 0 for none."""
    return max((width_of(line, size, bold=bold) for line in lines), default=0.0)
