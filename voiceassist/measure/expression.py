"""Limits as written in a procedure: their ends may depend on earlier readings."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from importlib.resources import files

from lark import Lark, Token, Transformer, v_args
from lark.exceptions import UnexpectedInput, VisitError

from voiceassist.errors import MeasureError
from voiceassist.measure.limit import Limit
from voiceassist.measure.quantity import Quantity

Values = Mapping[str, Quantity]


@dataclass(frozen=True, slots=True)
class Expression:
    """A quantity that may depend on named ones.

    Parts:
        text: as written.
        names: the names it needs.
        compute: names to their quantities in, the quantity out.
    """

    text: str
    names: frozenset[str]
    compute: Callable[[Values], Quantity]


@dataclass(frozen=True, slots=True)
class LimitExpression:
    """A limit as written, before its numbers are filled in.

    Parts:
        text: as written.
        low, high: its ends; None for an open one.
    """

    text: str
    low: Expression | None
    high: Expression | None

    @classmethod
    def parse(cls, text: str) -> "LimitExpression":
        """Read a limit such as "battery - 0.5 V to battery + 0.2 V".

        Raises:
            MeasureError: with the column where reading stopped.
        """
        try:
            low, high = _Builder().transform(_parser().parse(text))
        except UnexpectedInput as error:
            raise MeasureError(
                f"the limit {text!r} cannot be read from {_rest(text, error)}",
                remedy='write it like "11.8 V to 12.9 V", "at least 5 V", "at most 0.1 V" '
                'or "about 5 V ± 0.2 V"',
            ) from None
        except VisitError as error:
            raise error.orig_exc from None
        return cls(text, low, high)

    @property
    def names(self) -> frozenset[str]:
        """Earlier readings and facts it needs."""
        return frozenset().union(*(end.names for end in (self.low, self.high) if end))

    def fill(self, values: Values) -> Limit:
        """The limit with ``values`` put in.

        Raises:
            MeasureError: a name has no value, or the units do not go together.
        """
        return Limit(
            self.low.compute(values) if self.low else None,
            self.high.compute(values) if self.high else None,
        )


@cache
def _parser() -> Lark:
    grammar = files("voiceassist.measure").joinpath("limit.lark").read_text(encoding="utf-8")
    return Lark(grammar, parser="lalr", lexer="contextual")


def _rest(text: str, error: UnexpectedInput) -> str:
    column = getattr(error, "column", -1)
    if not isinstance(column, int) or column < 1 or column > len(text):
        return "its end"
    return f"column {column}, {text[column - 1 :]!r}"


def _named(name: str) -> Callable[[Values], Quantity]:
    def compute(values: Values) -> Quantity:
        if name not in values:
            raise MeasureError(f"there is no reading of {name!r} yet", remedy="measure it first")
        return values[name]

    return compute


@v_args(inline=True)
class _Builder(Transformer[Token, "tuple[Expression | None, Expression | None]"]):
    """Turns the parse tree into two ends, each an Expression or None."""

    def quantity(self, token: Token) -> Expression:
        fixed = Quantity.parse(str(token))
        return Expression(str(token), frozenset(), lambda _: fixed)

    def name(self, token: Token) -> Expression:
        return Expression(str(token), frozenset({str(token)}), _named(str(token)))

    def share(self, percent: Token, of: Expression) -> Expression:
        factor = Decimal(percent) / 100
        return Expression(
            f"{percent} % of {of.text}", of.names, lambda v: of.compute(v).times(factor)
        )

    def multiple(self, factor: Token, of: Expression) -> Expression:
        return Expression(
            f"{factor} * {of.text}", of.names, lambda v: of.compute(v).times(Decimal(factor))
        )

    def add(self, left: Expression, right: Expression) -> Expression:
        return Expression(
            f"{left.text} + {right.text}",
            left.names | right.names,
            lambda v: left.compute(v) + right.compute(v),
        )

    def subtract(self, left: Expression, right: Expression) -> Expression:
        return Expression(
            f"{left.text} - {right.text}",
            left.names | right.names,
            lambda v: left.compute(v) - right.compute(v),
        )

    def between(self, low: Expression, high: Expression) -> tuple[Expression, Expression]:
        return low, high

    def at_least(self, low: Expression) -> tuple[Expression, None]:
        return low, None

    def at_most(self, high: Expression) -> tuple[None, Expression]:
        return None, high

    def about(self, middle: Expression, size: Expression) -> tuple[Expression, Expression]:
        margin = Expression(
            size.text,
            middle.names | size.names,
            lambda v: _margin(middle.compute(v), size.compute(v)),
        )
        return self.subtract(middle, margin), self.add(middle, margin)


def _margin(middle: Quantity, size: Quantity) -> Quantity:
    """A size in percent is taken of the middle, unless the middle is a percentage itself."""
    if size.unit.quantity == "ratio" != middle.unit.quantity:
        return middle.times(size.value / 100)
    return size
