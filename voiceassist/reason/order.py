"""The quickest order of tests on one vehicle: always the one that tells most for its minutes."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from voiceassist.procedure.checks.flow import asked_first
from voiceassist.reason.adviser import Adviser
from voiceassist.reason.infer import Seen
from voiceassist.reason.samples import Place, Sight

#: From this probability on a cause is taken for found.
SURE = 0.95
_MOST_TESTS = 40


@dataclass(frozen=True, slots=True)
class Course:
    """Tests that were made one after another.

    Parts:
        steps: their names.
        minutes: about how long they take, with the waits and works that come ahead of them.
        finding: the likeliest one after them.
        share: how likely that is.
        changes: minutes, among those told, of bringing about the states of the vehicle.
    """

    steps: tuple[str, ...]
    minutes: float
    finding: str
    share: float
    changes: float = 0.0


def advised(
    adviser: Adviser, steps: Sequence[str], see: Callable[[Place], Sight], sure: float = SURE
) -> Course:
    """Follow the advice on a vehicle until a finding is ``sure``, or no test tells any more.

    Args:
        adviser: of the procedure.
        steps: that may be taken.
        see: what the vehicle shows at a place.
        sure: from this probability on it is over.
    """
    left, seen, spent, taken = list(steps), list[Seen](), 0.0, list[str]()
    for _ in range(_MOST_TESTS):
        finding, share = adviser.belief(seen).ranked[0]
        best = adviser.next_tests(seen, left) if share < sure else []
        if not best:
            break
        place = adviser.samples.places[best[0].place]
        seen.append(adviser.seen_at(best[0].place, see(place)))
        spent += adviser.takes(place.step, taken)
        taken.append(place.step)
        left.remove(place.step)
    finding, share = adviser.belief(seen).ranked[0]
    return Course(tuple(taken), spent, finding, share)


def with_proof(adviser: Adviser, course: Course) -> Course:
    """``course`` with the tests at its end that the proof of its finding wants besides."""
    finding = adviser.setup.procedure.findings.get(course.finding)
    steps, spent = list(course.steps), course.minutes
    for step in asked_first(finding) if finding is not None else ():
        if step not in steps:
            spent += adviser.takes(step, steps)
            steps.append(step)
    return replace(course, steps=tuple(steps), minutes=spent)
