"""A judgement that is not taken yet, and how one is refused."""

from collections.abc import Sequence
from dataclasses import dataclass

from voiceassist.measure.limit import Limit, Verdict
from voiceassist.procedure.model import Step
from voiceassist.session.outputs import VerdictGiven
from voiceassist.session.session import Result, SessionSetup
from voiceassist.session.shown import short, show_limit


@dataclass(frozen=True, slots=True)
class Judged:
    """A result with its verdict, not yet taken.

    Parts:
        result: None when it does not count (``verdict`` says why).
        verdict: what is spoken of it; None when there is nothing to say.
        target: where it leads; empty when the step stays.
    """

    result: Result | None
    verdict: VerdictGiven | None
    target: str

    @property
    def too_close(self) -> bool:
        """True when the meter cannot tell."""
        return self.verdict is not None and self.verdict.verdict == Verdict.TOO_CLOSE


def route(step: Step, keys: Sequence[str]) -> str:
    """The target of the first of ``keys`` that the step has a route for; empty without one."""
    return next((step.routes[key] for key in keys if key in step.routes), "")


def not_valid(step: Step, shown: str, text: str) -> Judged:
    """No result: ``text`` says why ``shown`` does not count."""
    verdict = VerdictGiven(
        step=step.name, text=text, reading=shown, limit="", verdict=Verdict.NOT_VALID.value
    )
    return Judged(None, verdict, "")


def verdict_given(
    setup: SessionSetup, step: Step, shown: str, verdict: Verdict, limit: Limit | None, text: str
) -> VerdictGiven:
    """The verdict on what is ``shown``, with its limit."""
    return VerdictGiven(
        step=step.name,
        text=text,
        reading=shown,
        limit=show_limit(limit, setup.book) if limit else "",
        verdict=verdict.value,
        low=short(limit.low) if limit else "",
        high=short(limit.high) if limit else "",
    )
