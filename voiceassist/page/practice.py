"""What a rehearsal came to, as its page tells it, from the line of its mark."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from voiceassist.record.lines import MarkGiven

#: Less than so many bits is as good as nothing.
_LITTLE = 0.01
#: A finding less likely than this is not named.
_LEAST = 0.005
_MINUTE = "{:.0f} min"
#: For what points are taken off, by its name in the line.
_OFF = {
    "lost": "the cause that was not named",
    "guess": "a cause that was guessed",
    "condemned": "good parts that were blamed",
    "slip": "what was not safe",
    "idle": "tests that could tell nothing",
    "hint": "questions to the instructor",
    "slow": "the time it took",
}


@dataclass(frozen=True, slots=True)
class Tried:
    """One test.

    Parts:
        what: the step that tests the same, or that it was the trainee's own.
        shown: what was seen.
        worth: what it could tell at that time, in words and bits.
        better: the step that would have told most for its minutes then; empty for itself.
        likely: how likely each finding was after it, the likeliest first, as "name 80 %".
        shares: the same, 0 to 1, for the strip.
    """

    what: str
    shown: str
    worth: str
    better: str
    likely: tuple[str, ...]
    shares: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Practice:
    """A rehearsal.

    Parts:
        fault: that was in the vehicle.
        verdict: whether it was named.
        points: of a hundred.
        off: for what points were taken off, and how many.
        took, quickest: tests and minutes, of the trainee and of the shortest way that was sure.
        condemned, slips: good parts that were blamed; what was not safe.
        misread: what was told otherwise than the meter showed it.
        tried: every test, in order.
    """

    fault: str
    verdict: str
    points: int
    off: str
    took: str
    quickest: str
    condemned: tuple[str, ...]
    slips: tuple[str, ...]
    misread: tuple[str, ...]
    tried: tuple[Tried, ...]


def practice(mark: MarkGiven) -> Practice:
    """What ``mark`` tells; what is missing in it is left out."""
    tests = [test for test in mark.tests if isinstance(test, Mapping)]
    named = _spoken(mark.named)
    wrong = f"Another cause was named: {named}." if named else "It was not named."
    return Practice(
        fault=_spoken(mark.fault) or "none",
        verdict="It was found." if mark.found else wrong,
        points=mark.points or 0,
        off=", ".join(f"{many} for {_OFF.get(why, why)}" for why, many in mark.off.items()),
        took=f"{len(tests)} tests, about {_MINUTE.format(mark.minutes or 0)}",
        quickest=_quickest(mark.quickest),
        condemned=tuple(mark.condemned),
        slips=tuple(dict.fromkeys(mark.slips)),
        misread=tuple(mark.misread),
        tried=tuple(_tried(tests)),
    )


def _quickest(way: Mapping[str, object]) -> str:
    steps = way.get("steps")
    minutes = way.get("minutes")
    if not isinstance(steps, Sequence) or not isinstance(minutes, int | float):
        return ""
    named = ", ".join(_spoken(str(step)) for step in steps)
    return f"{len(steps)} tests, about {_MINUTE.format(minutes)}: {named}"


def _tried(tests: Sequence[Mapping[str, object]]) -> Iterator[Tried]:
    for test in tests:
        step, best = str(test.get("step") or ""), str(test.get("best") or "")
        shown = test.get("shown")
        likely = test.get("likely")
        rows = likely if isinstance(likely, Sequence) else ()
        shares = [(str(r.get("finding") or ""), _share(r)) for r in rows if isinstance(r, Mapping)]
        shares = [(finding, share) for finding, share in shares if share >= _LEAST]
        yield Tried(
            what=_spoken(step) or "a test of one's own",
            shown=f"{shown:.4g}" if isinstance(shown, int | float) else str(shown),
            worth=_worth(test.get("bits")),
            better="" if best == step else _spoken(best),
            likely=tuple(f"{_spoken(finding)} {100 * share:.0f} %" for finding, share in shares),
            shares=tuple(share for _, share in shares),
        )


def _worth(bits: object) -> str:
    if not isinstance(bits, int | float):
        return "not known"
    return "nothing" if bits < _LITTLE else f"{bits:.2f} bits"


def _share(row: Mapping[str, object]) -> float:
    share = row.get("share")
    return float(share) if isinstance(share, int | float) else 0.0


def _spoken(name: str) -> str:
    return name.replace("-", " ")
