"""The whole session in order, a visit to a step at a time. Pure."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from voiceassist.page.items import Item, items
from voiceassist.page.reading_rows import ReadingRow, label
from voiceassist.record.read_session import ReadSession
from voiceassist.record.webvtt import one_line


@dataclass(frozen=True, slots=True)
class Visit:
    """A stay at a step.

    Parts:
        step: its name; empty before the first step.
        label, what: the step in words, and what is done there.
        takes: the time, access, tools, parts and torque that the procedure tells of it.
        began: when, RFC 3339.
        seconds: how long, without the time the session was cut off.
        again: the step had been visited before.
        items: all that happened, in order.
    """

    step: str
    label: str
    what: str
    takes: str
    began: str
    seconds: float
    again: bool
    items: tuple[Item, ...]


def visits(
    read: ReadSession,
    rows: Sequence[ReadingRow],
    names: Mapping[str, str],
    takes: Mapping[str, str],
) -> Iterator[Visit]:
    """Every visit in order; silent lines are taken together with what they belong to."""
    by_seq = {row.measured.seq: row for row in rows}
    seen: set[str] = set()
    for stay in read.stays:
        yield Visit(
            stay.step,
            label(stay.step) or "Opening",
            one_line(names.get(stay.step, "")),
            one_line(takes.get(stay.step, "")),
            stay.began,
            stay.seconds,
            stay.step in seen,
            _together([item for line in stay.lines for item in items(line, by_seq)]),
        )
        seen.add(stay.step)


def _together(items: Sequence[Item]) -> tuple[Item, ...]:
    """Neighbours of one kind and time as one, where they are no more than words."""
    found: list[Item] = []
    for item in items:
        last = found[-1] if found else None
        if last and item.what in {"Condition", "Set"} and _alike(last, item):
            joint = " " if item.what == "Condition" else "; "
            found[-1] = Item(last.at, last.what, f"{last.text}{joint}{item.text}")
        else:
            found.append(item)
    return tuple(found)


def _alike(one: Item, other: Item) -> bool:
    return (one.what, one.at, one.note) == (other.what, other.at, other.note)
