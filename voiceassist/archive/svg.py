"""The shapes that drawings of the archive are made of, as SVG text."""

from collections.abc import Iterable
from html import escape

INK, SOFT, BAND, PAPER = "#222222", "#59626b", "#d9d9d9", "#ffffff"


def sheet(width: float, height: float, parts: Iterable[str], title: str = "") -> str:
    """A drawing of ``parts`` on white paper; ``title`` is what it is read aloud as."""
    size = f'viewBox="0 0 {width} {height}" width="{width}" height="{height}"'
    letters = f'font-family="sans-serif" font-size="13" fill="{INK}" role="img"'
    head = f'<svg xmlns="http://www.w3.org/2000/svg" {size} {letters}>'
    head += f"\n<title>{escape(title)}</title>" if title else ""
    paper = f'<rect width="{width}" height="{height}" fill="{PAPER}"/>'
    return "\n".join([head, paper, *parts, "</svg>"]) + "\n"


def text(
    x: float,
    y: float,
    words: str,
    *,
    anchor: str = "start",
    weight: str = "normal",
    colour: str = INK,
) -> str:
    """One line of letters."""
    place = f'x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" font-weight="{weight}"'
    return f'<text {place} fill="{colour}">{escape(words)}</text>'


def rect(x: float, y: float, width: float, height: float, colour: str = BAND) -> str:
    """A filled rectangle."""
    place = f'x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{height:.1f}"'
    return f'<rect {place} fill="{colour}"/>'


def line(x1: float, y1: float, x2: float, y2: float, width: int = 1) -> str:
    """A straight line."""
    ends = f'x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}"'
    return f'<line {ends} stroke="{INK}" stroke-width="{width}"/>'
