"""Formulas and limits as written in a procedure; they may depend on earlier readings."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from functools import lru_cache

from lark import Token, Transformer, v_args
from lark.exceptions import VisitError
from lark.tree import Meta

from voiceassist.errors import MeasureError
from voiceassist.measure.grammar import parse_tree, with_names
from voiceassist.measure.limit import Limit
from voiceassist.measure.quantity import Quantity
from voiceassist.measure.uncertainty import Estimate, estimate_of
from voiceassist.measure.wire import ROOM, voltage_drop

Values = Mapping[str, Quantity]


@dataclass(frozen=True, slots=True)
class Expression:
    """A quantity that may depend on named ones; equal when written the same.

    Parts:
        text: as written.
        names: the names it needs.
        compute: names to their quantities in, the quantity out.
    """

    text: str
    names: frozenset[str]
    compute: Callable[[Values], Quantity] = field(compare=False)

    @classmethod
    def parse(cls, text: str) -> "Expression":
        """Read a formula such as "battery - at-motor" or "drop / motor-current".

        Raises:
            MeasureError: with the column where reading stopped.
        """
        (formula,) = _built(text, "formula")
        assert formula is not None
        return formula

    def renamed(self, names: Mapping[str, str]) -> "Expression":
        """The same formula with its readings called otherwise, old name to new."""
        new = {name: names.get(name, name) for name in self.names}

        def compute(values: Values) -> Quantity:
            return self.compute({old: _value(now, values) for old, now in new.items()})

        return Expression(with_names(self.text, "formula", new), frozenset(new.values()), compute)

    def estimate(self, values: Mapping[str, Estimate]) -> Estimate:
        """The quantity and its doubt, from those of the readings it needs.

        Raises:
            MeasureError: a name has no value, or the units do not go together.
        """
        return estimate_of(self.compute, {n: values[n] for n in self.names if n in values})


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
        low, high = _built(text, "limit")
        return cls(text, low, high)

    @property
    def names(self) -> frozenset[str]:
        """Earlier readings and facts it needs."""
        return frozenset().union(*(end.names for end in (self.low, self.high) if end))

    def renamed(self, names: Mapping[str, str]) -> "LimitExpression":
        """The same limit with its readings called otherwise, old name to new."""
        return LimitExpression(
            with_names(self.text, "limit", names),
            self.low.renamed(names) if self.low else None,
            self.high.renamed(names) if self.high else None,
        )

    def fill(self, values: Values) -> Limit:
        """The limit with ``values`` put in.

        Raises:
            MeasureError: a name has no value, or the units do not go together.
        """
        return Limit(
            self.low.compute(values) if self.low else None,
            self.high.compute(values) if self.high else None,
        )

    def estimate(self, values: Mapping[str, Estimate]) -> tuple[Estimate | None, Estimate | None]:
        """Its ends, low and high, with the doubt that ``values`` bring.

        Raises:
            MeasureError: a name has no value, or the units do not go together.
        """
        return (
            self.low.estimate(values) if self.low else None,
            self.high.estimate(values) if self.high else None,
        )


def _value(name: str, values: Values) -> Quantity:
    if name not in values:
        raise MeasureError(f"there is no reading of {name!r} yet", remedy="measure it first")
    return values[name]


@lru_cache(maxsize=512)
def _built(text: str, start: str) -> tuple[Expression | None, ...]:
    """The formula, or the two ends of the limit, that ``text`` tells; steps share many of them."""
    tree = parse_tree(text, start)
    try:
        return _ExpressionBuilder(text).transform(tree)
    except VisitError as error:
        raise error.orig_exc from None


@v_args(inline=True, meta=True)
class _ExpressionBuilder(Transformer[Token, tuple[Expression | None, ...]]):
    """Turns a parse tree into expressions; each keeps its piece of the text."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self._text = text

    def quantity(self, meta: Meta, token: Token) -> Expression:
        fixed = Quantity.parse(token)
        return self._made(meta, lambda _: fixed)

    def name(self, meta: Meta, token: Token) -> Expression:
        name = str(token)
        return Expression(name, frozenset({name}), lambda values: _value(name, values))

    def share(self, meta: Meta, percent: Token, of: Expression) -> Expression:
        factor = Decimal(percent) / 100
        return self._made(meta, lambda v: of.compute(v).times(factor), of)

    def multiple(self, meta: Meta, factor: Token, of: Expression) -> Expression:
        return self.times(meta, of, factor)

    def times(self, meta: Meta, of: Expression, factor: Token) -> Expression:
        number = Decimal(factor)
        return self._made(meta, lambda v: of.compute(v).times(number), of)

    def over(self, meta: Meta, of: Expression, divisor: Token) -> Expression:
        number = Decimal(divisor)
        return self._made(meta, lambda v: of.compute(v).over(number), of)

    def add(self, meta: Meta, left: Expression, right: Expression) -> Expression:
        return self._made(meta, lambda v: _joined(left, right, v, Quantity.__add__), left, right)

    def subtract(self, meta: Meta, left: Expression, right: Expression) -> Expression:
        return self._made(meta, lambda v: _joined(left, right, v, Quantity.__sub__), left, right)

    def multiply(self, meta: Meta, left: Expression, right: Expression) -> Expression:
        return self._made(meta, lambda v: left.compute(v) * right.compute(v), left, right)

    def divide(self, meta: Meta, left: Expression, right: Expression) -> Expression:
        return self._made(meta, lambda v: left.compute(v) / right.compute(v), left, right)

    def wire_drop(
        self,
        meta: Meta,
        length: Expression,
        size: Expression,
        current: Expression,
        warmth: Expression | None,
    ) -> Expression:
        def compute(v: Values) -> Quantity:
            temperature = warmth.compute(v) if warmth else ROOM
            return voltage_drop(size.compute(v), length.compute(v), current.compute(v), temperature)

        return self._made(meta, compute, length, size, current, *((warmth,) if warmth else ()))

    def formula(self, _: Meta, whole: Expression) -> tuple[Expression]:
        return (whole,)

    def between(self, _: Meta, low: Expression, high: Expression) -> tuple[Expression, Expression]:
        return low, high

    def at_least(self, _: Meta, low: Expression) -> tuple[Expression, None]:
        return low, None

    def at_most(self, _: Meta, high: Expression) -> tuple[None, Expression]:
        return None, high

    def about(self, _: Meta, middle: Expression, size: Expression) -> tuple[Expression, Expression]:
        def end(sign: str, side: int) -> Expression:
            return Expression(
                f"{middle.text} {sign} {size.text}",
                middle.names | size.names,
                lambda v: _beside(middle.compute(v), size.compute(v), side),
            )

        return end("-", -1), end("+", 1)

    def _made(
        self, meta: Meta, compute: Callable[[Values], Quantity], *parts: Expression
    ) -> Expression:
        names = frozenset[str]().union(*(part.names for part in parts))
        return Expression(self._text[meta.start_pos : meta.end_pos], names, compute)


def _joined(
    left: Expression,
    right: Expression,
    values: Values,
    join: Callable[[Quantity, Quantity], Quantity],
) -> Quantity:
    """The sum or difference; parts of two kinds are named as they were written."""
    one, other = left.compute(values), right.compute(values)
    kinds = one.unit.quantity, other.unit.quantity
    if kinds[0] != kinds[1]:
        raise MeasureError(
            f"{left.text!r} is a {kinds[0]}, and {right.text!r} is a {kinds[1]}",
            remedy="use the same kind of unit on both sides",
        )
    return join(one, other)


def _beside(middle: Quantity, size: Quantity, side: int) -> Quantity:
    """``middle`` and ``size`` more or less.

    A size in percent is taken of the middle, unless the middle is a percentage itself.
    """
    if size.unit.quantity == "ratio" != middle.unit.quantity:
        size = middle.times(size.value / 100)
    return middle + size.times(Decimal(side))
