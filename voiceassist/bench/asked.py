"""What the page asks of the rest of the house; it is answered in a process of its own."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol


@dataclass(frozen=True, slots=True)
class Cause:
    """A finding that is likely.

    Parts:
        told: in words.
        share: from 0 to 1.
    """

    told: str
    share: float


@dataclass(frozen=True, slots=True)
class CircuitAnswer:
    """What the circuit of a session's procedure tells of it.

    Parts:
        picture: the step as SVG; empty where it cannot be drawn.
        causes: the likeliest first; None where there is no circuit.
        pending: what is likely is being worked out.
    """

    picture: str = ""
    causes: tuple[Cause, ...] | None = None
    pending: bool = False


#: Text, or text with the address that it is a link to.
Cell = str | tuple[str, str]


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under headings."""

    head: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    caption: str = ""


@dataclass(frozen=True, slots=True)
class Told:
    """An answer of the archive.

    Parts:
        tables: for the page.
        lines: sentences above them.
        drawings: SVGs below them, each with its description.
        notes: sentences about the record below all.
        session: that it is about; empty when it is about many.
    """

    tables: tuple[Table, ...] = ()
    lines: tuple[str, ...] = ()
    drawings: tuple[tuple[str, str], ...] = ()
    notes: tuple[str, ...] = ()
    session: str = ""


class House(Protocol):
    """Answers, each in its own time. What cannot be answered raises VoiceAssistError."""

    async def picture(self, session: str) -> str:
        """The step of a session under way, as SVG; empty where it cannot be drawn."""
        ...

    async def causes(self, session: str) -> tuple[Cause, ...] | None:
        """What is likely, the likeliest first; None where nothing tells."""
        ...

    async def report(self, session: str) -> str:
        """The shop's page of a session, as HTML with its style in it."""
        ...

    async def archive(self, what: str, asked: Mapping[str, str]) -> Told:
        """The answer of ``records`` to a verb, such as "find"."""
        ...

    async def file(self, what: str, form: str, asked: Mapping[str, str]) -> str:
        """The same as "csv" or "json"."""
        ...
