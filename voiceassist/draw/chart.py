"""A procedure as a chart: steps, the findings they lead to, and the outcomes between them."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from voiceassist.procedure.checks.flow import reached, targets
from voiceassist.procedure.model import (
    FAIL,
    HIGH,
    IN_DOUBT,
    LAMP_STATES,
    LOW,
    Finding,
    Kind,
    Need,
    Point,
    Procedure,
    Step,
    Torque,
    written,
)

#: What a step begins with, before its text; the others need no word.
_BEGINS = {
    Kind.MEASURE: "measure the", Kind.SWEEP: "read the", Kind.COUNT: "count the",
    Kind.LAMP: "lamp", Kind.COMPUTE: "work out", Kind.WAIT: "wait for",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Likely:
    """How often each way is taken.

    Parts:
        exits: step and target to how many of the jobs that come to the step go there, 0 to 1.
        ends: finding to how many of all jobs come to it.
    """

    exits: Mapping[tuple[str, str], float]
    ends: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Exit:
    """A way out of a step.

    Parts:
        step: it leaves.
        target: step or finding it leads to.
        label: its outcomes in a file's words: "low, high".
        taken: by the session that is shown.
    """

    step: str
    target: str
    label: str
    taken: bool = False


@dataclass(frozen=True, slots=True)
class Chart:
    """What is drawn.

    Parts:
        procedure: drawn.
        steps: those that a path leads to, in the order of the file.
        exits: of each of them.
        taken: names of the steps and the finding on the path of a session; empty for none.
        likely: how often each way is taken; None where that is not shown.
    """

    procedure: Procedure
    steps: tuple[Step, ...]
    exits: tuple[Exit, ...]
    taken: frozenset[str]
    likely: Likely | None = None

    def inner(self) -> Iterator[Exit]:
        """The exits that lead to steps."""
        return (one for one in self.exits if one.target in self.procedure.steps)

    def findings_of(self, step: str) -> list[tuple[Exit, Finding]]:
        """The exits of ``step`` that end at findings."""
        findings = self.procedure.findings
        ends = (one for one in self.exits if one.step == step and one.target in findings)
        return [(one, findings[one.target]) for one in ends]

    def share_of(self, finding: str) -> str:
        """How many of all jobs come to ``finding``, in words; empty where that is not shown."""
        if self.likely is None:
            return ""
        return f"{percent(self.likely.ends.get(finding, 0.0))} of all jobs"


def chart_of(procedure: Procedure, path: Sequence[str] = (), likely: Likely | None = None) -> Chart:
    """The chart of ``procedure``.

    Args:
        procedure: to be drawn.
        path: steps that a session has taken, in order, and the finding it came to; an exit
            counts as taken when both its ends stand in it, one right after the other.
        likely: is written on the exits; None for nothing.
    """
    names = reached(procedure)
    went = set(pairwise(path))
    steps = tuple(step for name, step in procedure.steps.items() if name in names)
    exits = tuple(one for step in steps for one in _exits(step, went))
    if likely is not None:
        exits = tuple(_with_share(one, likely) for one in exits)
    return Chart(procedure, steps, exits, frozenset(path), likely)


def percent(share: float) -> str:
    """``share`` as people read it; what is next to nothing and what never is stay apart."""
    rounded = round(100 * share)
    return "under 1 %" if share and not rounded else f"{rounded} %"


def _with_share(one: Exit, likely: Likely) -> Exit:
    """``one`` with its number; without, where no job comes to its step."""
    share = likely.exits.get((one.step, one.target))
    comes = any(step == one.step for step, _ in likely.exits)
    return replace(one, label=f"{one.label}: {percent(share or 0.0)}") if comes else one


def _exits(step: Step, went: set[tuple[str, str]]) -> Iterator[Exit]:
    for target in targets(step):
        outcomes = [key for key, to in step.routes.items() if to == target]
        label = ", ".join(_outcome(step, key) for key in outcomes) or "skipped"
        yield Exit(step.name, target, label, (step.name, target) in went)


def _outcome(step: Step, key: str) -> str:
    own = [reply.phrases[0] for reply in step.replies if reply.name == key and reply.phrases]
    if own:
        return own[0]
    answers = {LOW, HIGH, *LAMP_STATES} & set(step.routes)
    if key in IN_DOUBT:
        return key.replace("-", " ")
    return "else" if key == FAIL and answers else written(key)


def wish(step: Step) -> str:
    """What a step wants, in the words of its file."""
    begins = _BEGINS.get(step.kind, "")
    text = step.text.removeprefix("the ") if begins.endswith(" the") else step.text
    return f"{begins} {text}".strip()


def before(step: Step) -> tuple[str, ...]:
    """What comes before it: whether it is for this vehicle, its cautions, the states it needs."""
    cautions = tuple(f"{one.signal}: {one.hazard}" for one in step.cautions)
    each = (f"{name} {' or '.join(map(written, answers))}" for name, answers in step.only_if)
    only = " and ".join(each)
    states = ", ".join(map(_state, step.needs))
    first = f"first {step.before}" if step.before else ""
    with_states = f"with {states}" if states else ""
    lines = (f"only if {only}" if only else "", *cautions, first, with_states)
    return tuple(line for line in lines if line)


def _state(need: Need) -> str:
    """A state that a step needs, and how long it may be held."""
    held = f", {need.hold.most_s} s at most" if need.hold and need.hold.most_s else ""
    return f"{need.condition} {need.state}{held}"


def takes(step: Step) -> tuple[str, ...]:
    """What it takes: time and access, then tools, parts and torque; one line for each told."""
    details = step.details
    time = f"{-(-details.effort_s // 60)} min" if details.effort_s else ""
    opened = f"opens {', '.join(details.opens)}" if details.opens else ""
    torques = [f"{one.what} {_torque(one)}".strip() for one in details.torques]
    lines = (
        ", ".join(filter(None, (time, opened))),
        f"tools: {', '.join(details.tools)}" if details.tools else "",
        f"parts: {', '.join(details.parts)}" if details.parts else "",
        f"torque: {', '.join(torques)}" if torques else "",
    )
    return tuple(line for line in lines if line)


def _torque(one: Torque) -> str:
    low, high = one.limit.low, one.limit.high
    if low == high or high is None:
        return f"{low}" if low == high else f"at least {low}"
    return f"{low} to {high}" if low is not None else f"at most {high}"


def pins(step: Step) -> tuple[str, ...]:
    """Its test points with pin and wire, one line for each of which anything is told."""
    return tuple(filter(None, (_pin(point) for point in step.points)))


def _pin(point: Point) -> str:
    seat = f"{point.connector} pin {point.pin}" if point.pin else ""
    made = " ".join(filter(None, (point.colour, point.size)))
    seat_and_make = ", ".join(filter(None, (seat, made)))
    return f"{point.name}: {seat_and_make}" if seat_and_make else ""


def limit_text(step: Step) -> str:
    """What passes, as written; empty where nothing is compared."""
    if step.limit is not None:
        return step.limit.text
    if step.table is not None:
        return f"by {step.table.by}"
    if step.bright_enough:
        return " or ".join(step.bright_enough)
    if step.sweep is not None:
        return "rising" if step.sweep.rising else "falling"
    return ""
