"""Reads one file in the JSpeech Grammar Format into a frozen tree.

Source: JSpeech Grammar Format, W3C Note of 5 June 2000.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files

from lark import Lark, Token, Tree
from lark.exceptions import UnexpectedCharacters, UnexpectedInput, UnexpectedToken

from voiceassist.errors import LanguageError

_HEADER = re.compile(r"#JSGF [Vv]1\.0( +\S+){0,2} *;[ \t]*\r?\n")
#: A documentation comment and the rule it stands before.
_DOCUMENTED = re.compile(r"/\*\*((?:(?!\*/).)*)\*/\s*(?:public\s+)?<([^<>\s]+)>\s*=", re.DOTALL)
_EXAMPLE = re.compile(r"@example +(.+)")


@dataclass(frozen=True, slots=True)
class Word:
    """One spoken word."""

    text: str


@dataclass(frozen=True, slots=True)
class Ref:
    """A rule used inside another: ``name`` as written, without its angle brackets."""

    name: str
    line: int = field(default=0, compare=False)
    column: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True)
class Tag:
    """What the words around it mean: the text between braces."""

    text: str
    line: int = field(default=0, compare=False)
    column: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True)
class Sequence:
    """One part after the other; none at all stands for silence."""

    parts: "tuple[Expression, ...]"


@dataclass(frozen=True, slots=True)
class Alternatives:
    """One part of several. ``weights`` are as written, 1 where none was."""

    options: "tuple[Expression, ...]"
    weights: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Optional:
    """A part that may be left out."""

    body: "Expression"


@dataclass(frozen=True, slots=True)
class Repeat:
    """A part said ``at_least`` (0 or 1) times."""

    body: "Expression"
    at_least: int


Expression = Word | Ref | Tag | Sequence | Alternatives | Optional | Repeat


@dataclass(frozen=True, slots=True)
class Rule:
    """A named rule.

    Parts:
        name: without brackets and without its grammar's name.
        body: what it stands for.
        public: whether other grammars may import it.
        line: where it is written.
        examples: phrases of the rule, from the ``@example`` tags of the comment before it.
    """

    name: str
    body: Expression
    public: bool
    line: int
    examples: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Grammar:
    """One file.

    Parts:
        file: its name, for messages.
        name: as declared.
        imports: rules of other files, "numbers.digit" or "numbers.*".
        rules: in the order written.
    """

    file: str
    name: str
    imports: tuple[Ref, ...]
    rules: tuple[Rule, ...]


def read_grammar(text: str, file: str) -> Grammar:
    """Read the text of one file.

    Raises:
        LanguageError: it is not JSGF; the message has line, column and what was expected.
    """
    header = _HEADER.match(text)
    if header is None:
        raise LanguageError(
            "the first line is not a JSGF header",
            place=f"{file}, line 1",
            remedy='begin with "#JSGF V1.0 UTF-8 en;"',
        )
    try:
        tree = _reader().parse(" " * (header.end() - 1) + text[header.end() - 1 :])
    except UnexpectedInput as error:
        raise _refusal(error, file) from None
    return _Builder(file, _examples(text)).grammar(tree)


def _examples(text: str) -> dict[str, tuple[str, ...]]:
    """The examples of each rule that has any, by its name."""
    return {
        name: tuple(example.strip() for example in _EXAMPLE.findall(comment))
        for comment, name in _DOCUMENTED.findall(text)
    }


@cache
def _reader() -> Lark:
    source = files("voiceassist.language").joinpath("jsgf.lark").read_text(encoding="utf-8")
    return Lark(source, parser="lalr", maybe_placeholders=True)


#: What a person calls the reader's terminals.
_CALLED = {
    "WORD": "a word",
    "QUOTED": "a quoted word",
    "REFERENCE": "a <rule>",
    "TAG": "a {tag}",
    "REPEAT": "* or +",
    "WEIGHT": "a /weight/",
    "SEMICOLON": ";",
    "VBAR": "|",
    "EQUAL": "=",
    "LPAR": "(",
    "RPAR": ")",
    "LSQB": "[",
    "RSQB": "]",
}


def _refusal(error: UnexpectedInput, file: str) -> LanguageError:
    wanted: Iterable[str] = ()
    if isinstance(error, UnexpectedCharacters):
        found, wanted = f"{error.char!r} cannot stand here", error.allowed or ()
    elif isinstance(error, UnexpectedToken) and error.token.type != "$END":
        found, wanted = f"{str(error.token)!r} cannot stand here", error.expected
    else:
        found = "the file ends in the middle of a rule"
        wanted = error.expected if isinstance(error, UnexpectedToken) else ()
    named = sorted({_CALLED.get(name, name.lower()) for name in wanted if name != "$END"})
    return LanguageError(
        found,
        place=f"{file}, line {error.line}, column {error.column}",
        remedy=f"expected {', '.join(named)}" if named else "",
    )


class _Builder:
    """Turns lark's tree into ours."""

    def __init__(self, file: str, examples: Mapping[str, tuple[str, ...]]) -> None:
        self.file = file
        self.examples = examples

    def grammar(self, tree: Tree[Token]) -> Grammar:
        declaration, *lines = _trees(tree)
        imports = tuple(self._ref(_token(i, 0)) for i in lines if i.data == "import_line")
        rules = tuple(self._rule(r) for r in lines if r.data == "rule")
        return Grammar(self.file, str(_token(declaration, 0)), imports, rules)

    def _rule(self, tree: Tree[Token]) -> Rule:
        public, name, body = tree.children
        assert isinstance(name, Token)
        assert isinstance(body, Tree)
        return Rule(
            name[1:-1],
            self._alternatives(body),
            public is not None,
            name.line or 0,
            self.examples.get(name[1:-1], ()),
        )

    def _alternatives(self, tree: Tree[Token]) -> Expression:
        options, weights = zip(*(self._sequence(s) for s in _trees(tree)), strict=True)
        return options[0] if len(options) == 1 else Alternatives(options, weights)

    def _sequence(self, tree: Tree[Token]) -> tuple[Expression, float]:
        weight, *items = tree.children
        parts = tuple(self._item(i) for i in items if isinstance(i, Tree))
        body = parts[0] if len(parts) == 1 else Sequence(parts)
        return body, 1.0 if weight is None else float(str(weight).strip("/ "))

    def _item(self, tree: Tree[Token]) -> Expression:
        atom, repeat = tree.children
        assert isinstance(atom, Tree)
        body = self._atom(atom)
        return body if repeat is None else Repeat(body, 1 if repeat == "+" else 0)

    def _atom(self, tree: Tree[Token]) -> Expression:
        match tree.data:
            case "group":
                return self._alternatives(_trees(tree)[0])
            case "optional":
                return Optional(self._alternatives(_trees(tree)[0]))
            case "reference":
                return self._ref(_token(tree, 0))
            case "tag":
                tag = _token(tree, 0)
                text = re.sub(r"\\(.)", r"\1", tag[1:-1]).strip()
                return Tag(text, tag.line or 0, tag.column or 0)
            case "quoted":
                return Word(re.sub(r"\\(.)", r"\1", _token(tree, 0)[1:-1]))
            case _:
                return Word(str(_token(tree, 0)))

    def _ref(self, token: Token) -> Ref:
        return Ref(token[1:-1], token.line or 0, token.column or 0)


def _trees(tree: Tree[Token]) -> list[Tree[Token]]:
    return [child for child in tree.children if isinstance(child, Tree)]


def _token(tree: Tree[Token], index: int) -> Token:
    token = tree.children[index]
    assert isinstance(token, Token)
    return token
