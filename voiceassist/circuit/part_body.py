"""A part as written in a file, and what all parts have."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from voiceassist.circuit.reading import CircuitReader, Path
from voiceassist.circuit.shape import PartShape
from voiceassist.circuit.values import Value
from voiceassist.measure.quantity import Quantity


@dataclass(frozen=True, slots=True)
class Body:
    """A part in a file."""

    path: Path
    shape: PartShape
    reader: CircuitReader

    def number(self, field: str, kind: str, default: float) -> float:
        """The number of ``field``; ``default`` stands in for one that was blamed."""
        found = self.reader.number(self._place(field), getattr(self.shape, field), kind)
        return default if found is None else found

    def setting(self, field: str, kind: str, default: float) -> Value:
        """The value of ``field``; ``default`` stands in for one that was blamed."""
        found = self.reader.setting(self._place(field), getattr(self.shape, field), kind)
        return default if found is None else found

    def quantity(self, field: str, kind: str) -> Quantity | None:
        """What is written as ``field``, with its unit; None for one that was blamed."""
        text = getattr(self.shape, field)
        return self.reader.attempt(self._place(field), lambda: Quantity.parse(text, kind))

    def _place(self, field: str) -> Path:
        return (*self.path, field.replace("_", "-"))


#: Name, terminals and place of a part.
Common = Mapping[str, Any]
