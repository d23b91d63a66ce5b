"""Text of a limit or formula to its parse tree, or to one sentence about where it stopped."""

import re
from collections.abc import Mapping
from functools import cache
from importlib.resources import files

from lark import Lark, Token, Tree
from lark.exceptions import UnexpectedInput

from voiceassist.errors import MeasureError
from voiceassist.measure.units import unit_remedy, written_symbols

#: More than anybody reads aloud; it also bounds how deep a tree can be.
MOST_CHARACTERS = 300

_COMMA = re.compile(r",\d")
_BARE = re.compile(r"[\d.]+\s*")
_WORD = re.compile(r"[^\W\d_]+")
_NUMBER = re.compile(r"\d\s*$")
#: Other ways to write a limit, and ours; what comes of it is told only when it can be read.
_REWRITTEN = (
    (re.compile(r"^(?:>=?|≥|min\.?|minimum|more than|greater than|over|above)\s*"), "at least "),
    (re.compile(r"^(?:<=?|≤|max\.?|maximum|less than|under|below|up to)\s*"), "at most "),
    (re.compile(r"^([\d.]+)\s*(?:-|–|to|\.\.+)\s*([\d.]+)\s*([^\d\s].*)$"), r"\1 \3 to \2 \3"),
    (re.compile(r"^(.+\S)\s*(?:-|–|\.\.+)\s*(\d.*)$"), r"\1 to \2"),
    (re.compile(r"^(?!about)(.+(?:±|\+-|\+/-).+)$"), r"about \1"),
    (re.compile(r"\s*\bDC\b"), ""),
    (re.compile(r"(?<=\d)(\s?)v\b"), r"\1V"),
)
_REMEDY = {
    "limit": 'write it like "11.8 V to 12.9 V", "at least 5 V", "at most 0.1 V" '
    'or "about 5 V ± 0.2 V"',
    "formula": 'write it like "battery - at-motor", "drop / current" or "supply * 0.5"',
}


def parse_tree(text: str, start: str) -> Tree[Token]:
    """The tree of ``text``, a "limit" or a "formula", with positions.

    Raises:
        MeasureError: with the column where reading stopped.
    """
    if len(text) > MOST_CHARACTERS:
        raise MeasureError(
            f"the {start} {text[:20]!r}... is longer than {MOST_CHARACTERS} characters",
            remedy="compute a part of it in a step of its own",
        )
    try:
        return _parser().parse(text, start=start)
    except UnexpectedInput as error:
        raise MeasureError(
            f"the {start} {text!r} cannot be read from {_rest(text, error)}",
            remedy=_remedy(text, start, error),
        ) from None


def with_names(text: str, start: str, new: Mapping[str, str]) -> str:
    """``text`` with the names in ``new`` changed, all at once."""
    tree = parse_tree(text, start)
    tokens = tree.scan_values(lambda part: isinstance(part, Token) and part.type == "NAME")
    for token in sorted(tokens, key=lambda token: token.start_pos or 0, reverse=True):
        at, name = token.start_pos or 0, str(token)
        text = text[:at] + new.get(name, name) + text[at + len(name) :]
    return text


@cache
def _parser() -> Lark:
    grammar = files("voiceassist.measure").joinpath("limit.lark").read_text(encoding="utf-8")
    units = "|".join(map(_pattern, written_symbols()))
    grammar = grammar.replace("(UNIT)", f"({units})")
    return Lark(
        grammar,
        parser="lalr",
        lexer="contextual",
        start=["limit", "formula"],
        propagate_positions=True,
    )


def _pattern(symbol: str) -> str:
    """``symbol`` inside the slashes of a pattern; a percent sign may also begin a share."""
    return r"%(?!\s*of)" if symbol == "%" else re.escape(symbol).replace("/", r"\/")


def _remedy(text: str, start: str, error: UnexpectedInput) -> str:
    """What would do at the place where reading stopped."""
    at = getattr(error, "pos_in_stream", None)
    rest = text[at:] if isinstance(at, int) else ""
    if _COMMA.match(rest):
        return "write numbers with a point, such as 11.5, not with a comma"
    meant = _meant(text, start)
    if meant:
        return f"write {meant!r}"
    if _BARE.fullmatch(rest):
        return f"tell its unit too, such as {rest.strip()} V; {_REMEDY[start]}"
    word = _WORD.match(rest)
    if word is not None and _NUMBER.search(text[:at]):
        return f"{unit_remedy(word[0])}; {_REMEDY[start]}"
    return _REMEDY[start]


def _meant(text: str, start: str) -> str:
    """``text`` as it is written here, where another way to write it is known; else nothing."""
    for pattern, ours in _REWRITTEN if start == "limit" else ():
        rewritten = pattern.sub(ours, text.strip())
        try:
            _parser().parse(rewritten, start=start)
        except UnexpectedInput:
            continue
        return rewritten
    return ""


def _rest(text: str, error: UnexpectedInput) -> str:
    at = getattr(error, "pos_in_stream", None)
    if not isinstance(at, int) or not 0 <= at < len(text):
        return "its end"
    return f"column {at + 1}, {text[at:]!r}"
