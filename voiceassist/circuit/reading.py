"""Numbers, settings and conditions of a circuit as written in a file; what is wrong is blamed."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol, TypeVar

from voiceassist.circuit.parts import ClosedWhen
from voiceassist.circuit.shape import SettingTable
from voiceassist.circuit.values import ByState, Value
from voiceassist.errors import CircuitError, MeasureError
from voiceassist.measure.quantity import Quantity

Path = tuple[str | int, ...]
T = TypeVar("T")

#: Larger numbers are slips of the pen, and could not be counted with.
_LARGEST = 1e15


class FaultSink(Protocol):
    """Takes what is wrong with a file."""

    def error(self, path: Path, message: str) -> None:
        """Something at ``path`` stops the load."""

    def written(self, path: Path, *keys: str) -> bool:
        """True when one of ``keys`` stands below ``path`` in the file, usable or not."""


@dataclass(frozen=True, slots=True)
class KnownNames:
    """What a circuit can refer to.

    Parts:
        conditions: to their states.
        steps: to the answers that can be given; empty for a step that is not a question.
        findings: their names.
        hint: tells a near name among known ones, or lists them.
    """

    conditions: Mapping[str, Sequence[str]]
    steps: Mapping[str, Sequence[str]]
    findings: Sequence[str]
    hint: Callable[[str, Sequence[str]], str]


@dataclass(frozen=True, slots=True)
class CircuitReader:
    """Reads the parts of a circuit, and blames what it cannot use."""

    known: KnownNames
    blame: FaultSink

    def number(self, path: Path, text: str | None, kind: str) -> float | None:
        """The value written as ``text`` in its base unit; a percentage as a share."""
        if text is None:
            return None
        found = self.attempt(path, lambda: Quantity.parse(text, kind))
        if found is None:
            return None
        if found.unit.quantity != kind:
            self.blame.error(path, f"{found} is a {found.unit.quantity}; give a {kind}")
            return None
        value = float(found.in_base) / (100 if kind == "ratio" else 1)
        if not 0 <= value <= _LARGEST:
            wrong = "below zero" if value < 0 else "too large for a part"
            self.blame.error(path, f"{found} is {wrong}; give zero or more, up to {_LARGEST:g}")
            return None
        return value

    def setting(self, path: Path, given: str | SettingTable | None, kind: str) -> Value | None:
        """The value or table of values in ``given``."""
        if not isinstance(given, SettingTable):
            return self.number(path, given, kind)
        if not self.knows((*path, "by"), "condition", given.by, list(self.known.conditions)):
            return None
        states = self.known.conditions[given.by]
        for state in given.table:
            self.knows((*path, "table", state), f"state of {given.by!r}", state, states)
        for state in states:
            if state not in given.table and not self.blame.written((*path, "table"), state):
                self.blame.error((*path, "table"), f"the state {state!r} has no value; add it")
        table = {s: self.number((*path, "table", s), text, kind) for s, text in given.table.items()}
        numbers = {state: number for state, number in table.items() if number is not None}
        return ByState(given.by, numbers) if len(numbers) == len(table) else None

    def closed_when(self, path: Path, given: Mapping[str, str | list[str]]) -> ClosedWhen:
        """The conditions in ``given``, each with its states."""
        found: dict[str, frozenset[str]] = {}
        for condition, words in given.items():
            states = frozenset([words] if isinstance(words, str) else words)
            place = (*path, condition)
            if self.knows(place, "condition", condition, list(self.known.conditions)):
                known = self.known.conditions[condition]
                for state in sorted(states):
                    self.knows(place, f"state of {condition!r}", state, known)
            found[condition] = states
        return found

    def knows(self, path: Path, what: str, name: str, known: Sequence[str]) -> bool:
        """True when ``name`` is among ``known``; blames it otherwise."""
        if name in known:
            return True
        hint = self.known.hint(name, known)
        self.blame.error(path, f"there is no {what} {name!r}{hint}")
        return False

    def attempt(self, path: Path, make: Callable[[], T]) -> T | None:
        """What ``make`` makes; an error of values becomes a fault at ``path``."""
        try:
            return make()
        except (CircuitError, MeasureError) as error:
            self.blame.error(path, str(error))
            return None
