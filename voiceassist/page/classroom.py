"""The rehearsals of a class on one page: who, which faults, where time is lost. Pure values."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from statistics import mean

from voiceassist.page.attempt import REHEARSAL, Attempt

#: So many places where time is lost are told.
_MOST = 12


@dataclass(frozen=True, slots=True)
class GridRow:
    """One row of a table: its cells, and the share of the greatest value for its bar, 0 to 1."""

    cells: tuple[str, ...]
    share: float = 0.0


@dataclass(frozen=True, slots=True)
class Grid:
    """One table of the page.

    Parts:
        title: above it.
        columns: their headings.
        rows: may be empty; then ``none`` is told.
        none: what is told instead of an empty table.
        wide: share of the width that each column takes, together 1.
        bars: its rows have a bar, in the last column.
        whole: columns whose cells stay on one line.
    """

    title: str
    columns: tuple[str, ...]
    rows: tuple[GridRow, ...]
    none: str
    wide: tuple[float, ...]
    bars: bool = False
    whole: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Classroom:
    """What the page tells.

    Parts:
        name: of the class; empty for none.
        attempts: the rehearsals, the oldest first.
    """

    name: str
    attempts: tuple[Attempt, ...]

    @property
    def told(self) -> str:
        """How many there are, of whom and when, and that none is a job."""
        people = len({one.who for one in self.attempts})
        first, last = self.attempts[0].began[:10], self.attempts[-1].began[:10]
        when = f"on {first}" if first == last else f"from {first} to {last}"
        who = _counted(people, "trainee")
        many = _counted(len(self.attempts), "rehearsal")
        return f"{many} by {who}, {when}. All on simulated vehicles: none of them is a job."

    def tables(self) -> Iterator[Grid]:
        """What was compared, then every rehearsal."""
        yield self._people()
        yield self._faults()
        yield self._time()
        yield self._slips()
        yield self._condemned()
        yield self._each()

    def _people(self) -> Grid:
        rows = [
            GridRow((who, str(len(each)), f"{_found(each)} of {len(each)}", *_figures(each)))
            for (who,), each in _by(self.attempts, lambda one: (one.who,))
        ]
        columns = ("Trainee", "Rehearsals", "Found", "Mark", "Over", "Condemned", "Slips")
        return Grid("Who", columns, tuple(rows), "", (0.28, 0.12, 0.12, 0.12, 0.12, 0.13, 0.11))

    def _faults(self) -> Grid:
        rows = []
        for (procedure, fault), each in _by(self.attempts, lambda one: (one.procedure, one.fault)):
            wrong = dict.fromkeys(one.named or "none" for one in each if not one.mark.found)
            found = f"{_found(each)} of {len(each)}"
            over = f"{mean(one.over for one in each):.1f} min"
            rows.append(GridRow((fault, procedure, found, over, ", ".join(wrong) or "–")))
        columns = ("Fault", "Procedure", "Found", "Over", "Named instead")
        return Grid("Which faults", columns, tuple(rows), "", (0.26, 0.26, 0.12, 0.1, 0.26))

    def _time(self) -> Grid:
        sums: dict[tuple[str, str], list[float]] = {}
        for one in self.attempts:
            for step, minutes in one.lost.items():
                sums.setdefault((step, one.procedure), []).append(minutes)
        ranked = sorted(sums.items(), key=lambda each: -sum(each[1]))[:_MOST]
        most = max((sum(each) for _, each in ranked), default=0.0)
        rows = [
            GridRow((step, procedure, str(len(each)), f"{sum(each):.1f} min"), sum(each) / most)
            for (step, procedure), each in ranked
        ]
        columns = ("Step", "Procedure", "Rehearsals", "Over the shortest way")
        return Grid(
            "Where time is lost", columns, tuple(rows),
            "Nobody took longer than the shortest way.", (0.34, 0.26, 0.12, 0.28), bars=True,
        )  # fmt: skip

    def _slips(self) -> Grid:
        told = [(slip, one) for one in self.attempts for slip in one.slips]
        rows = _blamed(told)
        columns = ("What was not safe or did damage", "Rehearsals", "Who")
        return Grid("Cautions missed", columns, rows, "No caution was missed.", (0.6, 0.12, 0.28))

    def _condemned(self) -> Grid:
        told = [(part, one) for one in self.attempts for part in one.mark.condemned]
        columns = ("Good part", "Rehearsals", "Who")
        none = "No good part was condemned."
        return Grid("Parts condemned wrongly", columns, _blamed(told), none, (0.6, 0.12, 0.28))

    def _each(self) -> Grid:
        rows = []
        for one in self.attempts:
            took = f"{one.minutes:.1f} / {one.shortest:.1f} min"
            points = str(one.mark.points or 0)
            cells = (f"{REHEARSAL} {one.began[:10]}", one.who, one.procedure, one.fault)
            rows.append(GridRow((*cells, one.result, points, took)))
        columns = ("Begun", "Trainee", "Procedure", "Fault", "Result", "Mark", "Took / shortest")
        wide = (0.2, 0.14, 0.18, 0.15, 0.14, 0.06, 0.13)
        whole = ("Begun", "Took / shortest")
        return Grid("Every rehearsal", columns, tuple(rows), "", wide, whole=whole)


def _figures(each: Sequence[Attempt]) -> tuple[str, ...]:
    """Mean mark, mean minutes over the shortest way, parts condemned, slips."""
    points = mean(one.mark.points or 0 for one in each)
    over = mean(one.over for one in each)
    condemned = sum(len(one.mark.condemned) for one in each)
    slips = sum(len(one.slips) for one in each)
    return f"{points:.0f}", f"{over:.1f} min", str(condemned), str(slips)


def _blamed(told: Sequence[tuple[str, Attempt]]) -> tuple[GridRow, ...]:
    """What was told of rehearsals, the most frequent first, with who it was."""
    by: dict[str, list[Attempt]] = {}
    for what, one in told:
        by.setdefault(what, []).append(one)
    ranked = sorted(by.items(), key=lambda each: -len(each[1]))
    return tuple(
        GridRow((what, str(len(each)), ", ".join(dict.fromkeys(one.who for one in each))))
        for what, each in ranked
    )


def _found(each: Sequence[Attempt]) -> int:
    return sum(bool(one.mark.found) for one in each)


def _by(
    attempts: Sequence[Attempt], key: Callable[[Attempt], tuple[str, ...]]
) -> Iterator[tuple[tuple[str, ...], list[Attempt]]]:
    for names, each in groupby(sorted(attempts, key=key), key):
        yield names, list(each)


def _counted(many: int, noun: str) -> str:
    return f"1 {noun}" if many == 1 else f"{many} {noun}s"
