"""The whole session in order, a visit to a step at a time. Pure: journal lines in, values out."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from voiceassist.page.items import Item, items
from voiceassist.page.proofs import Proof, label
from voiceassist.record.lines import Ask, Caution, Condition, Line, Reading, Skipped
from voiceassist.record.pauses import away_s, between_s
from voiceassist.record.webvtt import one_line


@dataclass(slots=True)
class _Open:
    """A visit under way."""

    step: str
    began: str
    items: list[Item] = field(default_factory=list)
    away_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Visit:
    """A stay at a step.

    Parts:
        step: its name; empty before the first step.
        label, what: the step in words, and what is done there.
        began: when, RFC 3339.
        seconds: how long, without the time the session was cut off.
        again: the step had been visited before.
        items: all that happened, in order.
    """

    step: str
    label: str
    what: str
    began: str
    seconds: float
    again: bool
    items: tuple[Item, ...]


def visits(
    lines: Sequence[Line], rows: Sequence[Proof], names: Mapping[str, str]
) -> tuple[Visit, ...]:
    """Every visit in order; silent lines are taken together with what they belong to."""
    by_seq = {row.measured.seq: row for row in rows}
    found: list[_Open] = []
    for line in lines:
        step = line.step
        if not found or (step and step != found[-1].step and _leads(line)):
            found.append(_Open(step, line.at))
        found[-1].away_s += away_s(line)
        found[-1].items += items(line, by_seq)
    ends = [visit.began for visit in found[1:]] + [line.at for line in lines[-1:]]
    return tuple(_closed(found, ends, names))


def _leads(line: Line) -> bool:
    """It tells which step is under way; others may speak of an earlier step."""
    computed = isinstance(line, Reading) and not line.corrects
    return isinstance(line, Ask | Caution | Condition | Skipped) or computed


def _closed(
    found: Sequence[_Open], ends: Sequence[str], names: Mapping[str, str]
) -> Iterator[Visit]:
    seen: set[str] = set()
    for visit, end in zip(found, ends, strict=True):
        seconds = max(0.0, between_s(visit.began, end) - visit.away_s)
        yield Visit(
            visit.step,
            label(visit.step) or "Opening",
            one_line(names.get(visit.step, "")),
            visit.began,
            seconds,
            visit.step in seen,
            _together(visit.items),
        )
        seen.add(visit.step)


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
