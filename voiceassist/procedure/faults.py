"""Faults in a procedure file, each with its place."""

from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from enum import StrEnum

from voiceassist.errors import ProcedureError

_MOST_SHOWN = 12


class Severity(StrEnum):
    """How bad a fault is: an ERROR stops the load, a WARNING is only shown."""

    ERROR = "error"
    WARNING = "warning"


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong in a procedure file.

    Parts:
        level: ERROR or WARNING.
        path: place in the file, "steps.feed.low"; empty for the file as a whole.
        line: line in the file from 1; 0 when there is none.
        message: what was found and what would do.
    """

    level: Severity
    path: str
    line: int
    message: str

    def __str__(self) -> str:
        place = f"line {self.line}, {self.path}" if self.path else f"line {self.line}"
        return f"{place}: {self.message}" if self.line else self.message


class ProcedureFaultsError(ProcedureError):
    """A procedure file with faults; all of them are in ``faults``."""

    def __init__(self, file: str, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__(
            "\n".join(f"{file}: {fault}" for fault in faults) or "no faults", remedy=""
        )


def did_you_mean(found: str, known: Sequence[str]) -> str:
    """Return "; did you mean 'x'?" or, when nothing is near, "; known are ...", or nothing."""
    ends_so = [name for name in known if name.endswith(f"-{found}")]  # "86" for "pin-86"
    near = ends_so[:1] or get_close_matches(found, known, n=1, cutoff=0.6)
    if near:
        return f"; did you mean {near[0]!r}?"
    more = f" and {len(known) - _MOST_SHOWN} more" if len(known) > _MOST_SHOWN else ""
    return f"; known here: {', '.join(known[:_MOST_SHOWN])}{more}" if known else ""
