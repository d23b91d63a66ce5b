"""What an instructor would say of a rehearsal: what was found, what it took, what told most."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from voiceassist.procedure.model import Procedure
from voiceassist.prove.vehicle import Vehicle
from voiceassist.reason.adviser import Adviser
from voiceassist.reason.order import Course, advised, with_proof
from voiceassist.rehearse.acts import MINUTES, Act
from voiceassist.rehearse.eye import Eye
from voiceassist.rehearse.looked import Looked, looked_at
from voiceassist.rehearse.tested import seen_in, with_tests
from voiceassist.rehearse.wishes import HINTS, Verb


class Strictness(StrEnum):
    """How hard slips count."""

    MILD = "mild"
    STRICT = "strict"


@dataclass(frozen=True, slots=True)
class Points:
    """Points of a hundred that are lost by each.

    Parts:
        lost: the fault was not found.
        guess: the cause was named though it was not likely yet, and tests were left that tell.
        condemned: a good part was changed.
        slip: something was not safe or did damage.
        idle: a test of his own choice that could tell nothing at that time.
        hint: a question to the instructor.
        slow: the time was twice that of the quickest way; more for more. Not where the
            procedure led.
    """

    lost: int
    guess: int
    condemned: int
    slip: int
    idle: int
    hint: int
    slow: int


#: Points by strictness. Ours; common practice, no source.
COSTS = {
    Strictness.MILD: Points(lost=50, guess=20, condemned=20, slip=5, idle=1, hint=2, slow=5),
    Strictness.STRICT: Points(lost=60, guess=40, condemned=30, slip=15, idle=3, hint=5, slow=10),
}
_MOST_SLOW = 4
#: A cause that is at least so likely is not guessed.
_LIKELY = 0.5
#: What comes after the diagnosis.
_REPAIRS = frozenset({Verb.CHANGE, Verb.MEND})


@dataclass(frozen=True, slots=True)
class Mark:
    """What a rehearsal came to.

    Parts:
        fault: that was in the vehicle; empty for none.
        right: findings that name it.
        named: the finding that was reached; empty for none.
        condemned: good parts that were changed or condemned.
        slips: what was not safe or did damage, each in a sentence.
        looked: every test of the diagnosis, in order.
        minutes: about how long the diagnosis would take in a workshop.
        quickest: the shortest way that would have been sure, with the proof of its finding.
        points: of a hundred.
        off: what was taken off, by its name in ``Points``.
        misread: what was told otherwise than the meter showed it, each in a sentence.
    """

    fault: str
    right: tuple[str, ...]
    named: str
    condemned: tuple[str, ...]
    slips: tuple[str, ...]
    looked: tuple[Looked, ...]
    minutes: float
    quickest: Course
    points: int
    off: tuple[tuple[str, int], ...] = ()
    misread: tuple[str, ...] = ()

    @property
    def found(self) -> bool:
        """The fault was named."""
        return self.named in self.right

    @property
    def idle(self) -> tuple[Looked, ...]:
        """Tests that could tell nothing when they were made."""
        return tuple(one for one in self.looked if one.idle)


@dataclass(frozen=True, slots=True)
class Completed:
    """A rehearsal that is over.

    Parts:
        fault: that was in the vehicle; empty for none.
        named: the finding that was reached; empty for none.
        acts: what was done.
        car: the vehicle as it was met, untouched.
        led: the procedure led.
        put_right: findings that were put right, in order.
        many: so many of the acts were done before the vehicle was good; None for all.
    """

    fault: str
    named: str
    acts: tuple[Act, ...]
    car: Vehicle
    led: bool = False
    put_right: tuple[str, ...] = ()
    many: int | None = None


def mark(adviser: Adviser, done: Completed, how: Strictness = Strictness.MILD) -> Mark:
    """The mark of ``done``."""
    adviser, acts = with_tests(adviser, done.acts[: done.many])
    procedure = adviser.setup.procedure
    right = right_findings(procedure, done.fault)
    named = next((name for name in done.put_right if name in right), done.named)
    looked = tuple(looked_at(adviser, acts, led=done.led))
    spent = sum(act.minutes for act in acts if act.wish.verb not in _REPAIRS)
    fault = procedure.faults[done.fault] if done.fault else None
    eye = Eye(procedure, done.car, fault if fault and fault.comes else None)
    sure = advised(adviser, tuple(procedure.steps), eye)
    quickest = _with_changes(adviser, with_proof(adviser, sure))
    wrong = _wrongly_condemned(procedure, right, done)
    slips = tuple(slip for act in done.acts for slip in act.slips)
    cost = COSTS[how]
    lost = {
        "lost": cost.lost * (named not in right),
        "guess": cost.guess * (named in right and _is_guess(adviser, acts, right, led=done.led)),
        "condemned": cost.condemned * len(wrong),
        "slip": cost.slip * len(slips),
        "idle": cost.idle * sum(one.idle and not one.led for one in looked),
        "hint": cost.hint * sum(act.wish.verb in HINTS for act in done.acts),
        "slow": 0 if done.led else cost.slow * _slowness(spent, quickest.minutes),
    }
    points = max(0, 100 - sum(lost.values()))
    off = tuple((reason, many) for reason, many in lost.items() if many)
    return Mark(done.fault, right, named, wrong, slips, looked, spent, quickest, points, off)


def _with_changes(adviser: Adviser, course: Course) -> Course:
    """``course`` with the minutes that its changes to the vehicle take, as the trainee's do."""
    circuit = adviser.setup.procedure.circuit
    states = dict(circuit.at_first) if circuit is not None else {}
    many = 0
    for place in map(adviser.first, course.steps):
        for condition, state in adviser.samples.places[place].states if place is not None else ():
            many += states.get(condition) != state
            states[condition] = state
    took = many * MINUTES[Verb.BRING]
    return replace(course, minutes=course.minutes + took, changes=took)


def right_findings(procedure: Procedure, fault: str) -> tuple[str, ...]:
    """The findings that name ``fault``; of a good vehicle, those that find nothing wrong."""
    if fault:
        return procedure.faults[fault].found_as
    return tuple(name for name, finding in procedure.findings.items() if finding.no_fault)


def _wrongly_condemned(
    procedure: Procedure, right: Sequence[str], done: Completed
) -> tuple[str, ...]:
    """Parts that were changed, or are condemned by what was named, and are good."""
    bad = {procedure.findings[name].condemns for name in right}
    changed = [act.condemned for act in done.acts]
    named = [procedure.findings[name].condemns for name in (*done.put_right, done.named) if name]
    return tuple(part for part in dict.fromkeys(changed + named) if part and part not in bad)


def _is_guess(adviser: Adviser, acts: Sequence[Act], right: Sequence[str], *, led: bool) -> bool:
    """Whether the right cause was not likely yet, and a test left that tells; never where led."""
    seen = list({one.place: one for act in acts if (one := seen_in(adviser, act))}.values())
    if led or adviser.belief(seen).share(*right) >= _LIKELY:
        return False
    return bool(adviser.next_tests(seen, tuple(adviser.setup.procedure.steps)))


def _slowness(spent: float, quickest: float) -> int:
    """How many times the quickest way the time was beyond it, at most four."""
    return min(_MOST_SLOW, int(spent / max(quickest, 1.0)) - 1) if spent > quickest else 0
