"""What an examiner found, in tables for people."""

from collections import Counter
from collections.abc import Iterator

from voiceassist.prove.blind import BlindRange
from voiceassist.prove.examine import Examined
from voiceassist.prove.examined_words import plain, range_of, size
from voiceassist.prove.limits import Limits
from voiceassist.prove.pairs import PairEnd, Pairs

#: An end is tight when the nearest reading that passes is nearer to it than this share of it.
_TIGHT = 0.02


def lines(found: Examined) -> Iterator[str]:
    """The tables."""
    if found.blind:
        yield "sizes at which a fault is felt and not always found (and what it is called then):"
    for blind in found.blind:
        for stretch in blind.stretches:
            yield f"  {blind.fault} {range_of(stretch, blind.unit)}: {_called(stretch)}"
    yield from _pairs(found.pairs)
    yield (
        f"after the finding: {_many(found.after.tried, 'repair')} gone through, "
        f"{len(found.after.unprovable)} not provable, {len(found.after.passed)} proved undone"
    )
    if found.doubted:
        yield "answers in doubt (found, called otherwise, open):"
    for one in found.doubted:
        ends = f"{one.found}, {one.wrong}, {one.open} of {one.walks}"
        yield f"  {one.step} {plain(one.answer)}: {ends}"
    yield f"safety: {_many(len(found.hazards), 'danger')}"
    yield from _limits(found.limits)


def _many(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def _limits(limits: Limits) -> Iterator[str]:
    if limits.unneeded:
        ends = ", ".join(f"{step} {side}" for step, side in limits.unneeded)
        yield f"ends of limits that no fault needs: {ends}"
    tight = sorted((r for r in limits.rooms if r.share < _TIGHT), key=lambda room: room.share)
    if tight:
        yield "limits that readings which pass come within 2 % of (room that is left):"
    for room in tight:
        yield f"  {room.end[0]} {room.end[1]}: {size(room.inside or 0, room.unit)}"


def _called(stretch: BlindRange) -> str:
    called = ", ".join(f"{name or 'none'} {many}" for name, many in stretch.findings.items())
    return f"{called} of {stretch.walks}"


def _pairs(pairs: Pairs) -> Iterator[str]:
    if not pairs.walks:
        return
    yield f"two faults at once, {_many(pairs.walks, 'pair')}: {_ends(pairs.ends)}"
    if pairs.after:
        many = _many(pairs.after.total(), "pair")
        yield f"  gone on with, the first put right, {many}: {_ends(pairs.after)}"


def _ends(count: Counter[PairEnd]) -> str:
    return ", ".join(f"{end} {count[end]}" for end in PairEnd if count[end])
