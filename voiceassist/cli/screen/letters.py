"""Letters of three text rows, to be read from some metres away. Pure.

At an ordinary 12 point they stand about 13 mm high. A letter can be read at 200 times its height,
so these at 2.5 m (common practice, no source).
"""

from collections.abc import Sequence

#: Each glyph as five rows, from the top; "#" is ink.
_GLYPHS = {
    " ": "../../../../..",
    "A": ".#./#.#/###/#.#/#.#", "B": "##./#.#/##./#.#/##.", "C": ".##/#../#../#../.##",
    "D": "##./#.#/#.#/#.#/##.", "E": "###/#../##./#../###", "F": "###/#../##./#../#..",
    "G": ".###/#.../#.##/#..#/.###", "H": "#.#/#.#/###/#.#/#.#", "I": "#/#/#/#/#",
    "J": "..#/..#/..#/#.#/.#.", "K": "#..#/#.#./##../#.#./#..#", "L": "#../#../#../#../###",
    "M": "#...#/##.##/#.#.#/#...#/#...#", "N": "#..#/##.#/#.##/#..#/#..#",
    "O": ".##./#..#/#..#/#..#/.##.", "P": "##./#.#/##./#../#..",
    "Q": ".##./#..#/#..#/#.#./.#.#", "R": "##./#.#/##./#.#/#.#", "S": ".##/#../.#./..#/##.",
    "T": "###/.#./.#./.#./.#.", "U": "#..#/#..#/#..#/#..#/.##.", "V": "#.#/#.#/#.#/#.#/.#.",
    "W": "#...#/#...#/#.#.#/##.##/#...#", "X": "#.#/#.#/.#./#.#/#.#",
    "Y": "#.#/#.#/.#./.#./.#.", "Z": "###/..#/.#./#../###",
    "0": "###/#.#/#.#/#.#/###", "1": ".#/##/.#/.#/.#", "2": "##./..#/.#./#../###",
    "3": "##./..#/##./..#/##.", "4": "#.#/#.#/###/..#/..#", "5": "###/#../##./..#/##.",
    "6": ".##/#../###/#.#/###", "7": "###/..#/.#./.#./.#.", "8": "###/#.#/###/#.#/###",
    "9": "###/#.#/###/..#/##.", ".": "././././#", ",": "../../../.#/#.", ":": "./#/./#/.",
    "!": "#/#/#/./#", "?": "##./..#/.#./.../.#.", "-": ".../.../###/.../...",
    "'": "#/#/././.", "/": "..#/..#/.#./#../#..", "%": "#.#/..#/.#./#../#.#",
    "(": ".#/#./#./#./.#", ")": "#./.#/.#/.#/#.", "+": ".../.#./###/.#./...",
    "°": "##/##/../../..", "Ω": ".###./#...#/#...#/.#.#./##.##", "µ": ".../#.#/#.#/##./#..",
    "·": "././#/./.", ";": ".#/../.#/.#/#.",
    "a": ".../.../.##/#.#/.##", "b": "#../#../##./#.#/##.", "c": "../../.#/#./.#",
    "d": "..#/..#/.##/#.#/.##", "e": ".../.#./#.#/##./.##", "f": ".#/#./##/#./#.",
    "g": ".../.##/#.#/.##/##.", "h": "#../#../##./#.#/#.#", "i": "#/./#/#/#",
    "j": ".#/../.#/.#/#.", "k": "#../#../#.#/##./#.#", "l": "#./#./#./#./.#",
    "m": "...../...../##.#./#.#.#/#.#.#", "n": ".../.../##./#.#/#.#", "o": ".../.../.#./#.#/.#.",
    "p": ".../##./#.#/##./#..", "q": ".../.##/#.#/.##/..#", "r": "../../.#/#./#.",
    "s": ".../.##/#../.##/##.", "t": "#./##/#./#./.#", "u": ".../.../#.#/#.#/.##",
    "v": ".../.../#.#/#.#/.#.", "w": "...../...../#.#.#/#.#.#/.#.#.", "x": ".../.../#.#/.#./#.#",
    "y": ".../#.#/.##/..#/##.", "z": ".../###/..#/.#./###",
}  # fmt: skip
_ROWS = 5
#: Upper and lower half of a cell inked, as a character.
_CELLS = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}


def written_large(text: str, width: int, most_lines: int = 1) -> list[str] | None:
    """``text`` in capitals, units as they are written, three rows for each line of it.

    Args:
        text: what to write.
        width: columns there are.
        most_lines: lines that it may take; it is broken between words.

    Returns:
        The rows; None when it does not fit, or holds a letter that there is no glyph for.
    """
    words = _capitals(text.split())
    if not words or not set("".join(words)) <= set(_GLYPHS):
        return None
    lines = _broken(words, width)
    if lines is None or len(lines) > most_lines:
        return None
    return [row for line in lines for row in _rows(line)]


def _capitals(words: Sequence[str]) -> list[str]:
    """In capitals but for units, where they would turn mV into MV."""
    return [
        word if last[-1:].isdigit() or word[1:] != word[1:].lower() else word.upper()
        for last, word in zip(["", *words], words, strict=False)
    ]


def _broken(words: Sequence[str], width: int) -> list[str] | None:
    """Words in lines that fit; None when one alone is too wide."""
    lines: list[str] = []
    for word in words:
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and _width(longer) <= width:
            lines[-1] = longer
        elif _width(word) <= width:
            lines.append(word)
        else:
            return None
    return lines


def _width(line: str) -> int:
    return sum(_GLYPHS[letter].index("/") + 1 for letter in line) - 1


def _rows(line: str) -> list[str]:
    glyphs = [_GLYPHS[letter].split("/") for letter in line]
    dots = [".".join(glyph[row] for glyph in glyphs) for row in range(_ROWS)]
    dots.append("." * len(dots[0]))
    pairs = zip(dots[::2], dots[1::2], strict=True)
    return [
        "".join(_CELLS[a == "#", b == "#"] for a, b in zip(upper, lower, strict=True)).rstrip()
        for upper, lower in pairs
    ]
