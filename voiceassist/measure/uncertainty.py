"""How far a value can be off, source by source.

Terms and formulas: JCGM 100:2008 (GUM). A part is the standard uncertainty that one independent
source brings to a value, with its sign: a source that two values share is fully correlated
between them and can cancel, two sources never are.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from voiceassist.errors import MeasureError
from voiceassist.measure.quantity import Quantity

Compute = Callable[[Mapping[str, Quantity]], Quantity]


@dataclass(frozen=True, slots=True)
class Estimate:
    """A quantity and what makes it doubtful.

    Parts:
        quantity: the best value.
        parts: source -> its standard uncertainty with sign, in the base unit; kept sorted.
    """

    quantity: Quantity
    parts: tuple[tuple[str, Decimal], ...]

    def __post_init__(self) -> None:
        names = [name for name, _ in self.parts]
        if len(set(names)) < len(names):
            raise MeasureError(f"a source of doubt about {self.quantity} is named twice")
        for name, size in self.parts:
            if not isinstance(size, Decimal):
                raise TypeError(f"a part is a Decimal, not {type(size).__name__}")
            if not size.is_finite():
                raise MeasureError(f"{size} is no doubt that {name!r} can bring")
        object.__setattr__(self, "parts", tuple(sorted(self.parts)))

    @classmethod
    def exact(cls, quantity: Quantity) -> "Estimate":
        """A quantity without doubt."""
        return cls(quantity, ())

    @property
    def standard(self) -> Decimal:
        """Combined standard uncertainty in the base unit: the root of the sum of squares."""
        return sum((size * size for _, size in self.parts), Decimal(0)).sqrt()

    def shifted(self, source: str, by: int) -> Quantity:
        """The quantity, off by ``by`` times the part of ``source``."""
        size = dict(self.parts).get(source, Decimal(0)) * by
        unit = self.quantity.unit
        return Quantity(self.quantity.value + unit.size_from_base(size), unit)


def estimate_of(compute: Compute, inputs: Mapping[str, Estimate]) -> Estimate:
    """What ``compute`` makes of ``inputs``, with its doubt.

    The law of propagation, each term found by moving the inputs up and down by the source's
    part and halving the difference (JCGM 100 5.1.3 note 2). All inputs that share a source
    move together, so their correlation counts (5.2.2).

    Raises:
        MeasureError: what ``compute`` raises.
    """
    middle = compute({name: each.quantity for name, each in inputs.items()})
    sources = {source for each in inputs.values() for source, _ in each.parts}

    def moved(source: str, by: int) -> Decimal:
        return compute({n: each.shifted(source, by) for n, each in inputs.items()}).in_base

    parts = ((source, (moved(source, 1) - moved(source, -1)) / 2) for source in sources)
    return Estimate(middle, tuple(parts))


def difference(a: Estimate, b: Estimate) -> Estimate:
    """``a`` less ``b``, in the unit of ``a``; what both share cancels.

    Raises:
        MeasureError: they are not of one kind.
    """
    parts = dict(a.parts)
    for source, size in b.parts:
        parts[source] = parts.get(source, Decimal(0)) - size
    return Estimate(a.quantity - b.quantity, tuple(parts.items()))
