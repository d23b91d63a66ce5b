"""One rehearsal of a class: what it came to, and where it lost time. Pure values."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from voiceassist.record.lines import MarkGiven

#: What a rehearsal is called in every row, so that none is taken for a job.
REHEARSAL = "rehearsal"
NOT_SAID = "not said"
#: What takes time beside tests, and tests that no step makes.
CHANGES, OWN = "changes to the vehicle", "tests of one's own"
#: Less than so many minutes over the shortest way are nothing.
_LEAST = 0.05


@dataclass(frozen=True, slots=True)
class Attempt:
    """One rehearsal.

    Parts:
        session: name of its folder.
        began: its day and minute.
        who: the trainee.
        procedure: its name.
        title: as its session is called.
        mark: what it came to.
        lost: step to the minutes that it took beyond those of the shortest proved way; none where
            the whole took no longer.
    """

    session: str
    began: str
    who: str
    procedure: str
    title: str
    mark: MarkGiven
    lost: Mapping[str, float] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "lost", _lost(self.mark) if self.over else {})

    @property
    def fault(self) -> str:
        """That was in the vehicle, as it is spoken."""
        return spoken(self.mark.fault) or "none"

    @property
    def named(self) -> str:
        """The cause that was named; empty where none was."""
        return spoken(self.mark.named)

    @property
    def result(self) -> str:
        """Whether the fault was found."""
        if self.mark.found:
            return "found"
        return f"not found, named {self.named}" if self.named else "not found, none named"

    @property
    def minutes(self) -> float:
        """About how long it took."""
        return self.mark.minutes or 0.0

    @property
    def shortest(self) -> float:
        """Minutes of the shortest proved way."""
        way = self.mark.quickest.get("minutes")
        return float(way) if isinstance(way, int | float) else 0.0

    @property
    def over(self) -> float:
        """Minutes beyond the shortest proved way; a lucky guess is no gain."""
        return max(0.0, self.minutes - self.shortest)

    @property
    def slips(self) -> tuple[str, ...]:
        """What was not safe or did damage, each once."""
        return tuple(dict.fromkeys(self.mark.slips))


def _lost(mark: MarkGiven) -> dict[str, float]:
    """Minutes by step beyond those of the shortest way: tests that it lacks, or made again."""
    steps = mark.quickest.get("steps")
    way = {str(step) for step in steps} if isinstance(steps, Sequence) else set()
    found: dict[str, float] = {}
    tested = 0.0
    for test in mark.tests:
        minutes = test.get("minutes") if isinstance(test, Mapping) else None
        if not isinstance(minutes, int | float):
            continue
        tested += minutes
        step = str(test.get("step") or "")
        if step in way:
            way.remove(step)  # once it is on the shortest way too
        else:
            name = spoken(step) or OWN
            found[name] = found.get(name, 0.0) + minutes
    changes = mark.quickest.get("changes")
    rest = (mark.minutes or 0.0) - tested
    rest -= float(changes) if isinstance(changes, int | float) else 0.0
    return {name: took for name, took in {**found, CHANGES: rest}.items() if took >= _LEAST}


#: Heading of a column -> what it holds, of one rehearsal a row.
COLUMNS: Mapping[str, Callable[[Attempt], object]] = {
    "kind": lambda one: REHEARSAL,
    "session": lambda one: one.session,
    "begun": lambda one: one.began,
    "trainee": lambda one: one.who,
    "procedure": lambda one: one.procedure,
    "fault": lambda one: one.fault,
    "found": lambda one: "yes" if one.mark.found else "no",
    "named": lambda one: one.named,
    "mark": lambda one: one.mark.points or 0,
    "minutes": lambda one: f"{one.minutes:.1f}",
    "shortest": lambda one: f"{one.shortest:.1f}",
    "over": lambda one: f"{one.over:.1f}",
    "lost at": lambda one: "; ".join(f"{step} {took:.1f}" for step, took in one.lost.items()),
    "condemned wrongly": lambda one: "; ".join(one.mark.condemned),
    "cautions missed": lambda one: " ".join(one.slips),
}


def spoken(name: str) -> str:
    """A name of a file as it is spoken."""
    return name.replace("-", " ")
