"""Several sessions on one page: those of a repair order, or those of a trainee. Pure values."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import median

from voiceassist.page.enclosed import NOTHING, Enclosed
from voiceassist.page.session_report import SessionReport
from voiceassist.page.times import day_and_minute, length

#: Sessions that stand side by side; the latest, where there are more.
MOST = 7


@dataclass(frozen=True, slots=True)
class Member:
    """One of the sessions.

    Parts:
        id: its name.
        report: what it came to.
        enclosed: the shop, its meter, its pictures.
    """

    id: str
    report: SessionReport
    enclosed: Enclosed = NOTHING


@dataclass(frozen=True, slots=True)
class Measure:
    """Something that is compared over the sessions.

    Parts:
        name: what it is.
        values: one for each session, in their order.
        shown: the same, as people read them.
    """

    name: str
    values: tuple[float, ...]
    shown: tuple[str, ...]

    @property
    def shares(self) -> tuple[float, ...]:
        """Of the greatest value, from 0 to 1."""
        most = max(self.values, default=0.0)
        return tuple(value / most if most else 0.0 for value in self.values)

    @property
    def trend(self) -> str:
        """How the later half stands against the earlier one, in words; empty for few sessions."""
        half = len(self.values) // 2
        if half < 2:
            return ""
        early, late = median(self.values[:half]), median(self.values[-half:])
        return "less" if late < early else "more" if late > early else "the same"


@dataclass(frozen=True, slots=True)
class StepOver:
    """A step over the sessions: seconds spent at it in each; None where it was not visited."""

    label: str
    seconds: tuple[float | None, ...]

    @property
    def shown(self) -> tuple[str, ...]:
        """As people read it."""
        return tuple("–" if one is None else length(one) for one in self.seconds)


def overview(members: Sequence[Member]) -> Iterator[tuple[str, str, str, str]]:
    """Of each session: when, what, how it ended, and the cause."""
    for one in members:
        report = one.report
        title = report.summary.title or report.summary.procedure or "Session"
        yield day_and_minute(report.summary.began), title, report.outcome, report.cause


def left_out(members: Sequence[Member]) -> str:
    """That not all sessions stand side by side, in a sentence; empty when they do."""
    if len(members) <= MOST:
        return ""
    return f"The latest {MOST} of {len(members)} sessions are compared."


def measures(members: Sequence[Member]) -> tuple[Measure, ...]:
    """What is compared, session by session."""
    reports = [one.report for one in members]
    minutes = [max(0.0, each.passed_s - each.paused_s) for each in reports]
    counted = {
        "Readings that did not count": [len(each.lesson.refused) for each in reports],
        "Turns taken back": [len(each.lesson.turns) for each in reports],
        "Help asked for": [len(each.lesson.helped) for each in reports],
        "Questions the assistant had to ask": [len(each.lesson.questions) for each in reports],
        "Steps skipped": [len(each.lesson.skipped) for each in reports],
    }
    return (
        Measure("Working time", tuple(minutes), tuple(length(each) for each in minutes)),
        *(
            Measure(name, tuple(map(float, found)), tuple(map(str, found)))
            for name, found in counted.items()
        ),
    )


def steps_over(members: Sequence[Member]) -> tuple[StepOver, ...]:
    """The steps that at least two of the sessions share, in the order in which they come up."""
    paces = [{pace.label: pace.seconds for pace in one.report.lesson.paces} for one in members]
    labels = dict.fromkeys(label for each in paces for label in each)
    found = (StepOver(label, tuple(each.get(label) for each in paces)) for label in labels)
    return tuple(step for step in found if sum(one is not None for one in step.seconds) > 1)
