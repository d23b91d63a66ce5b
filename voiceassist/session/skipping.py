"""Whether a step can be left out."""

from voiceassist.measure.limit import Verdict
from voiceassist.procedure.model import IN_DOUBT, NEVER, NOT_SURE, PASS, Kind, Step
from voiceassist.session.outputs import VerdictGiven
from voiceassist.session.session import Session, SessionSetup, Stage
from voiceassist.session.states import State


def why_not_skip(setup: SessionSetup, session: Session) -> str:
    """Key of the sentence that says why this step cannot be skipped; empty when it can."""
    step = setup.step(session)
    reasons = {
        "skip.correcting": session.correcting,
        "skip.never": step.skip == NEVER,
        "skip.question": step.kind is Kind.ASK and not way_on(setup, step),
        "skip.repair": session.stage is Stage.REPAIR,
        "skip.proof": session.stage is Stage.BEFORE_FITTING and _proves(setup, session),
        "skip.needed": _needed(setup, session),
    }
    return next((key for key, holds in reasons.items() if holds), "")


def way_on(setup: SessionSetup, step: Step) -> str:
    """Where the job goes on without the step; empty for a question that alone decides it.

    A question can be left out where its file tells, or where all its answers but those that are
    a finding lead to one step; else as when one is not sure.
    """
    if step.skip or step.kind is not Kind.ASK:
        return step.skip or step.routes.get(PASS, "")
    sure = [to for key, to in step.routes.items() if key not in IN_DOUBT]
    steps = {to for to in sure if to in setup.procedure.steps}
    return steps.pop() if len(steps) == 1 else step.routes.get(NOT_SURE, "")


def known_reason(session: Session) -> str:
    """Why the step is skipped, where it was just told that it can be; empty when not known."""
    if session.state is State.WAIT:
        return "no-wait"
    if session.tries:
        return "too-close"
    told = (o.verdict for o in session.prompt if isinstance(o, VerdictGiven))
    why = {Verdict.TOO_CLOSE: "too-close", Verdict.NOT_VALID: "no-value"}
    return next((why[Verdict(v)] for v in told), "") if session.state is State.COMPUTE else ""


def _needed(setup: SessionSetup, session: Session) -> bool:
    """True when a limit is taken from the step's reading; a sum can do without."""
    judged = (s for s in setup.procedure.steps.values() if s.kind is not Kind.COMPUTE)
    return any(session.step in step.names for step in judged)


def _proves(setup: SessionSetup, session: Session) -> bool:
    finding = setup.procedure.findings.get(session.finding)
    return finding is not None and session.step in {step for _, step in finding.proved_by}
