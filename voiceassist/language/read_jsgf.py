"""Reads one file in the JSpeech Grammar Format into a frozen tree.

Read by hand, since every start waits for it: a general parser took ten times as long.
"""

import re
from bisect import bisect
from collections.abc import Mapping

from voiceassist.errors import LanguageError
from voiceassist.language.jsgf import (
    Alternatives,
    Expression,
    Grammar,
    Optional,
    Ref,
    Repeat,
    Rule,
    Sequence,
    Tag,
    Word,
)

_HEADER = re.compile(r"#JSGF [Vv]1\.0( +\S+){0,2} *;[ \t]*\r?\n")
#: A documentation comment and the rule it stands before.
_DOCUMENTED = re.compile(r"/\*\*((?:(?!\*/).)*)\*/\s*(?:public\s+)?<([^<>\s]+)>\s*=", re.DOTALL)
_EXAMPLE = re.compile(r"@example +(.+)")


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
    return _GrammarReader(text, header.end(), file).grammar(_examples(text))


def _examples(text: str) -> dict[str, tuple[str, ...]]:
    """The examples of each rule that has any, by its name."""
    return {
        name: tuple(example.strip() for example in _EXAMPLE.findall(comment))
        for comment, name in _DOCUMENTED.findall(text)
    }


_TOKEN = re.compile(
    r"""
      (?P<gap> \s+ | //[^\n]* | /\*.*?\*/ )
    | (?P<word> [^\s;=|*+<>()\[\]{}/"\\]+ )
    | (?P<quoted> "(?:\\.|[^"\\])*" )
    | (?P<reference> <[^<>\s]+> )
    | (?P<tag> \{(?:\\.|[^}\\])*\} )
    | (?P<weight> /\s*\d+(?:\.\d+)?\s*/ )
    | (?P<repeat> [*+] )
    | (?P<sign> [;=|()\[\]] )
    | (?P<other> . )
    """,
    re.VERBOSE | re.DOTALL,
)
_ESCAPED = re.compile(r"\\(.)", re.DOTALL)
_END = "the end"
#: What a person calls the kinds of token; signs are called by themselves.
_CALLED = {
    "word": "a word",
    "quoted": "a quoted word",
    "reference": "a <rule>",
    "tag": "a {tag}",
    "repeat": "* or +",
    "weight": "a /weight/",
}
#: What an item may begin with, what may come after one, and the ends of those that enclose.
_ITEMS = ("word", "reference", "tag", "(", "[", "quoted")
_AFTER = (*_ITEMS, "repeat", "|")
_CLOSED_BY = {"(": ")", "[": "]"}


class _GrammarReader:
    """Reads tokens one after the other. By hand, since there are tens of thousands of them, and a
    general parser takes ten times as long, of which a technician would wait for every second.
    """

    def __init__(self, text: str, start: int, file: str) -> None:
        self._file = file
        self._text = text
        found = [
            (str(sign[0] if sign.lastgroup == "sign" else sign.lastgroup), sign[0], sign.start())
            for sign in _TOKEN.finditer(text, start)
            if sign.lastgroup != "gap"
        ]
        found.append((_END, "", len(text)))
        self._kinds = [kind for kind, _, _ in found]
        self._texts = [words for _, words, _ in found]
        self._starts = [start for _, _, start in found]
        self._words: dict[str, Word] = {}
        self._lines = [0, *(end.end() for end in re.finditer("\n", text))]
        self._at = 0

    def grammar(self, examples: Mapping[str, tuple[str, ...]]) -> Grammar:
        if not self._takes_word("grammar"):
            raise self._wrong("grammar")
        name = self._take("word")
        self._take(";")
        imports, rules = list[Ref](), list[Rule]()
        while self._takes_word("import"):
            imports.append(self._ref(self._take("reference")))
            self._take(";")
        while self._kinds[self._at] != _END:
            rules.append(self._rule(examples))
        return Grammar(self._file, self._texts[name], tuple(imports), tuple(rules))

    def _rule(self, examples: Mapping[str, tuple[str, ...]]) -> Rule:
        public = self._takes_word("public")
        ref = self._ref(self._take("reference"))
        self._take("=")
        body = self._alternatives()
        self._take(";", *_AFTER)
        return Rule(ref.name, body, public, ref.line, examples.get(ref.name, ()))

    def _alternatives(self) -> Expression:
        found = [self._sequence()]
        while self._kinds[self._at] == "|":
            self._at += 1
            found.append(self._sequence())
        options, weights = zip(*found, strict=True)
        return options[0] if len(options) == 1 else Alternatives(options, weights)

    def _sequence(self) -> tuple[Expression, float]:
        weight, parts = 1.0, list[Expression]()
        if self._kinds[self._at] == "weight":
            weight = float(self._texts[self._take("weight")].strip("/"))
        while (kind := self._kinds[self._at]) in _ITEMS:
            parts.append(self._item(kind))
        if not parts:
            raise self._wrong(*_ITEMS)
        return parts[0] if len(parts) == 1 else Sequence(tuple(parts)), weight

    def _item(self, kind: str) -> Expression:
        body = self._atom(kind)
        if self._kinds[self._at] != "repeat":
            return body
        return Repeat(body, 1 if self._texts[self._take("repeat")] == "+" else 0)

    def _atom(self, kind: str) -> Expression:
        here = self._at
        self._at += 1
        match kind:
            case "word":
                return self._word(self._texts[here])
            case "reference":
                return self._ref(here)
            case "tag":
                return Tag(self._unescaped(here).strip(), *self._place(here))
            case "quoted":
                return self._word(self._unescaped(here))
        body = self._alternatives()
        self._take(_CLOSED_BY[kind], *_AFTER)
        return body if kind == "(" else Optional(body)

    def _word(self, text: str) -> Word:
        """The same for the same text: most words of a file come many times."""
        known = self._words.get(text)
        if known is None:
            known = self._words[text] = Word(text)
        return known

    def _unescaped(self, number: int) -> str:
        return _ESCAPED.sub(r"\1", self._texts[number][1:-1])

    def _ref(self, number: int) -> Ref:
        return Ref(self._texts[number][1:-1], *self._place(number))

    def _place(self, number: int) -> tuple[int, int]:
        """Line and column of a token, from 1 on."""
        start = self._starts[number]
        line = bisect(self._lines, start)
        return line, start - self._lines[line - 1] + 1

    def _takes_word(self, word: str) -> bool:
        """The next token is this word, which is taken then."""
        found = self._kinds[self._at] == "word" and self._texts[self._at] == word
        self._at += found
        return found

    def _take(self, kind: str, *else_possible: str) -> int:
        """The number of the next token, which has to be of this kind."""
        if self._kinds[self._at] != kind:
            raise self._wrong(kind, *else_possible)
        self._at += 1
        return self._at - 1

    def _wrong(self, *wanted: str) -> LanguageError:
        line, column = self._place(self._at)
        found = f"{self._texts[self._at][:40]!r} cannot stand here"
        if self._kinds[self._at] == _END:
            found = "the file ends in the middle of a rule"
        return LanguageError(
            found,
            place=f"{self._file}, line {line}, column {column}",
            remedy=f"expected {', '.join(sorted(_CALLED.get(kind, kind) for kind in wanted))}",
        )
