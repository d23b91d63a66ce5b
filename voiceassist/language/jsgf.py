"""One file in the JSpeech Grammar Format as a frozen tree.

``inside`` of an expression are the expressions directly in it, in the order written.

Source: JSpeech Grammar Format, W3C Note of 5 June 2000.
"""

from dataclasses import dataclass, field
from typing import ClassVar


@dataclass(frozen=True, slots=True)
class Word:
    """One spoken word."""

    text: str
    inside: ClassVar[tuple[()]] = ()


@dataclass(frozen=True, slots=True)
class Ref:
    """A rule used inside another: ``name`` as written, without its angle brackets."""

    name: str
    line: int = field(default=0, compare=False)
    column: int = field(default=0, compare=False)
    inside: ClassVar[tuple[()]] = ()


@dataclass(frozen=True, slots=True)
class Tag:
    """What the words around it mean: the text between braces."""

    text: str
    line: int = field(default=0, compare=False)
    column: int = field(default=0, compare=False)
    inside: ClassVar[tuple[()]] = ()


@dataclass(frozen=True, slots=True)
class Sequence:
    """One part after the other; none at all stands for silence."""

    parts: "tuple[Expression, ...]"

    @property
    def inside(self) -> "tuple[Expression, ...]":
        """Its parts."""
        return self.parts


@dataclass(frozen=True, slots=True)
class Alternatives:
    """One part of several. ``weights`` are as written, 1 where none was."""

    options: "tuple[Expression, ...]"
    weights: tuple[float, ...]

    @property
    def inside(self) -> "tuple[Expression, ...]":
        """Its options."""
        return self.options


@dataclass(frozen=True, slots=True)
class Optional:
    """A part that may be left out."""

    body: "Expression"

    @property
    def inside(self) -> "tuple[Expression, ...]":
        """Its body alone."""
        return (self.body,)


@dataclass(frozen=True, slots=True)
class Repeat:
    """A part said ``at_least`` (0 or 1) times."""

    body: "Expression"
    at_least: int

    @property
    def inside(self) -> "tuple[Expression, ...]":
        """Its body alone."""
        return (self.body,)


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
