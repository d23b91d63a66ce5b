"""Collects faults while a file is read."""

from collections.abc import Callable
from typing import TypeVar

from voiceassist.errors import MeasureError
from voiceassist.measure.expression import LimitExpression
from voiceassist.procedure.faults import Fault, Severity
from voiceassist.procedure.text.tree import Path, Tree, dotted

T = TypeVar("T")


class FaultCollector:
    """Adds to the faults found so far, each placed by the tree it was found in."""

    def __init__(self, tree: Tree, faults: list[Fault]) -> None:
        self._tree = tree
        self.faults = faults
        #: Limits read so far, by their text; many steps of a file share one.
        self.limits: dict[str, LimitExpression] = {}

    @property
    def has_errors(self) -> bool:
        """True when a fault stops the load."""
        return any(fault.level is Severity.ERROR for fault in self.faults)

    def written(self, path: Path, *keys: str) -> bool:
        """True when one of ``keys`` stands below ``path`` in the file, usable or not.

        What is missing only because it could not be used is not blamed a second time.
        """
        return any((*path, key) in self._tree.lines for key in keys)

    def blamed(self, path: Path) -> bool:
        """True when an error stands at ``path`` or below it, so that what lacks it is an echo."""
        place = dotted(path)
        return any(
            fault.level is Severity.ERROR and f"{fault.path}.".startswith(f"{place}.")
            for fault in self.faults
        )

    def error(self, path: Path, message: str) -> None:
        """Add a fault that stops the load."""
        self._add(Severity.ERROR, path, message)

    def warning(self, path: Path, message: str) -> None:
        """Add a fault that is only shown."""
        self._add(Severity.WARNING, path, message)

    def attempt(self, path: Path, make: Callable[[], T]) -> T | None:
        """Return what ``make`` makes; a MeasureError becomes a fault at ``path`` and gives None."""
        try:
            return make()
        except MeasureError as error:
            self.error(path, str(error))
            return None

    def _add(self, level: Severity, path: Path, message: str) -> None:
        fault = Fault(level, dotted(path), self._tree.line(path), message)
        if fault not in self.faults:
            self.faults.append(fault)
