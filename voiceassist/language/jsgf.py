"""One file in the JSpeech Grammar Format as a frozen tree.

Source: JSpeech Grammar Format, W3C Note of 5 June 2000.
"""

from dataclasses import dataclass, field


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
