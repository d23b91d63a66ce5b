"""Steps of a procedure taken earlier: which can be, and the procedure with one of them moved.

A step moves only along the way that a job goes on while all passes, past steps that nothing else
leads to; so every path takes the same steps as before, or ends earlier at a finding.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from voiceassist.procedure.checks.flow import asked_first, failing, passes, targets
from voiceassist.procedure.model import PASS, Kind, Procedure, Step

#: Kinds that change the vehicle or tell nothing: no step moves past them, and they stay.
_FIXED = frozenset({Kind.DO, Kind.WAIT, Kind.IDENTIFY})
#: Words by which a step leans on the one before it: "lamp still lit", "the same pin".
_LEANS = re.compile(
    r"\b(still|again|same|now|then|next|another|other|as before|this time|meanwhile|back)\b", re.I
)


@dataclass(frozen=True, slots=True)
class Move:
    """A step that is taken earlier.

    Parts:
        step: its name.
        past: steps that came before it and come after it then, in their order.
    """

    step: str
    past: tuple[str, ...]

    @property
    def before(self) -> str:
        """The step that it is taken before."""
        return self.past[0]


def moves(procedure: Procedure) -> Iterator[Move]:
    """Every step that can be taken earlier, and how far."""
    led_from = _led_from(procedure)
    for name, step in procedure.steps.items():
        past: list[str] = []
        at = name
        while len(led_from.get(at, ())) == 1 and (came := led_from[at][0]) in procedure.steps:
            if not _can_swap(procedure.steps[came], at, step) or not way_on(procedure, step):
                break
            past.insert(0, came)
            yield Move(name, tuple(past))
            at = came


def moved(procedure: Procedure, move: Move) -> Procedure:
    """``procedure`` with the step of ``move`` taken earlier."""
    step, first, last = move.step, move.past[0], move.past[-1]
    onward = way_on(procedure, procedure.steps[step])
    leads: dict[str, Mapping[str, str]] = {name: {} for name in move.past}
    leads |= {last: {step: onward}, step: {onward: first}}
    found = {n: one.led(leads.get(n, {first: step})) for n, one in procedure.steps.items()}
    repairs = {name: one.led({first: step}) for name, one in procedure.repairs.items()}
    findings = {
        name: replace(one, go_on=step) if one.go_on == first else one
        for name, one in procedure.findings.items()
    }
    ordered = {name: found[name] for name in _ordered(procedure, move)}
    return replace(procedure, steps=ordered, repairs=repairs, findings=findings)


def way_on(procedure: Procedure, step: Step) -> str:
    """Where a job goes on while nothing is wrong; empty where it is not told by one outcome."""
    good = {to for outcome, to in step.routes.items() if passes(step, outcome)}
    if step.kind is Kind.ASK and not step.good:
        good = {to for to in step.routes.values() if to in procedure.steps}
    return good.pop() if len(good) == 1 else ""


def _ordered(procedure: Procedure, move: Move) -> Iterator[str]:
    for name in procedure.steps:
        if name == move.before:
            yield move.step
        if name != move.step:
            yield name


def _can_swap(came: Step, at: str, step: Step) -> bool:
    """Whether ``step`` may come before ``came``, which leads on to ``at``."""
    kinds = {step.kind, came.kind}
    fixed = step.fact or came.fact or kinds & _FIXED or step.kind is Kind.COMPUTE
    fixed = fixed or kinds == {Kind.ASK}  # two questions: their order is the writer's own
    words = " ".join((step.text, step.how, step.before))
    goes_on = any(to == at for key, to in came.routes.items() if passes(came, key))
    asks_on = came.kind is Kind.ASK and not came.good and at in came.routes.values()
    return not fixed and not _LEANS.search(words) and (goes_on or asks_on)


def _led_from(procedure: Procedure) -> dict[str, list[str]]:
    """Each step to the steps and findings that lead to it."""
    found: dict[str, list[str]] = {}
    for name, step in procedure.steps.items():
        for target in targets(step):
            found.setdefault(target, []).append(name)
    for name, finding in procedure.findings.items():
        beyond = {finding.go_on} - {""}
        for listed in (*asked_first(finding), *finding.repair):
            beyond |= {to for to in failing(procedure.step(listed)) if to and to != PASS}
        for target in beyond:
            found.setdefault(target, []).append(name)
    return found
