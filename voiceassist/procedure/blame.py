"""Collects faults while a procedure is built."""

from collections.abc import Callable
from typing import TypeVar

from voiceassist.errors import MeasureError
from voiceassist.procedure.faults import Fault, Level
from voiceassist.procedure.tree import Path, Tree, dotted

T = TypeVar("T")


class Blame:
    """The faults found so far, each placed by the tree it was found in."""

    def __init__(self, tree: Tree) -> None:
        self._tree = tree
        self.faults: list[Fault] = []

    def error(self, path: Path, message: str) -> None:
        """Add a fault that stops the load."""
        self._add(Level.ERROR, path, message)

    def warning(self, path: Path, message: str) -> None:
        """Add a fault that is only shown."""
        self._add(Level.WARNING, path, message)

    def attempt(self, path: Path, make: Callable[[], T]) -> T | None:
        """Return what ``make`` makes; a MeasureError becomes a fault at ``path`` and gives None."""
        try:
            return make()
        except MeasureError as error:
            self.error(path, str(error))
            return None

    def _add(self, level: Level, path: Path, message: str) -> None:
        self.faults.append(Fault(level, dotted(path), self._tree.line(path), message))
