"""What the doubt policy makes of samples, counted."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from benchmarks.hearing.evidence import Sample

from voiceassist.doubt.calibration import Belief
from voiceassist.doubt.evidence import Key
from voiceassist.doubt.policy import ASIDE, Accept, AskAmong, Costs, Decision, Reject, decide
from voiceassist.doubt.prior import plausible
from voiceassist.doubt.same import settled
from voiceassist.language.expectation import Expectation
from voiceassist.language.meanings import Command, Correction, Meaning, Reading
from voiceassist.session.leads import MOVE_NOTHING


class Outcome(StrEnum):
    """What becomes of a sound; a sound that means nothing can be wrong, asked or rejected only."""

    RIGHT = "accepted and right"
    WRONG = "accepted and wrong"
    ASKED = "asked"
    REJECTED = "rejected"


@dataclass(frozen=True, slots=True)
class Judged:
    """A sample with what was believed and decided.

    Parts:
        sample: the sound.
        first: whether the likeliest understanding is what was said.
        outcome: of the decision.
        wrong_turn: accepted, wrong, and leading elsewhere than the right one.
        probability: of the likeliest understanding; 0 when there is none.
        doubt: how likely the acceptance is to be wrong; 0 when it was not accepted.
    """

    sample: Sample
    first: bool
    outcome: Outcome
    wrong_turn: bool
    probability: float
    doubt: float


def judge(sample: Sample, belief: Belief, costs: Costs) -> Judged:
    """Decide as the assistant does.

    An understanding with two meanings, and a reading that is not plausible, it asks about even
    when the listeners are sure.
    """
    decision: Decision = decide(belief, lambda key: lead(key, sample.expectation), costs)
    if not sample.detected:
        decision = Reject(1.0)
    best, probability = belief.likely[0] if belief.likely else ((), 0.0)
    first = sample.holds(best)
    outcome, turned = Outcome.REJECTED, False
    if isinstance(decision, AskAmong) or (
        isinstance(decision, Accept) and asked_anyway(best, sample.expectation)
    ):
        outcome = Outcome.ASKED
    elif isinstance(decision, Accept):
        outcome = Outcome.RIGHT if first else Outcome.WRONG
        truth = () if sample.truth is None else (sample.truth,)
        turned = not first and lead(best, sample.expectation) != lead(truth, sample.expectation)
    accepted = outcome in {Outcome.RIGHT, Outcome.WRONG}
    return Judged(sample, first, outcome, turned, probability, accepted * (1 - probability))


def asked_anyway(key: Key, expectation: Expectation) -> bool:
    """Whether a session asks about it even when the listeners are sure."""
    plain = [each.meaning if isinstance(each, Correction) else each for each in key]
    odd = [m for m in plain if isinstance(m, Reading) and not plausible(m, expectation)]
    return len(key) > 1 or bool(expectation.quantities and odd)


@cache
def lead(key: Key, expectation: Expectation) -> str:
    """What comes next after an understanding.

    A reading leads by where it lies: beyond what is plausible, or in the lower or upper half of
    it. Real limits are narrower than these halves and differ from step to step. Commands that
    move nothing lead aside, as in a session. Everything else leads by itself.
    """
    return ", ".join(_lead(meaning, expectation) for meaning in settled(key, expectation))


def _lead(meaning: Meaning, expectation: Expectation) -> str:
    if isinstance(meaning, Command) and meaning.name in MOVE_NOTHING:
        return ASIDE
    if isinstance(meaning, Correction):
        return f"correction {_lead(meaning.meaning, expectation)}"
    low, high = expectation.lowest, expectation.highest
    if not isinstance(meaning, Reading) or meaning.unit is None or low is None or high is None:
        return repr(meaning)
    if meaning.unit.quantity != low.unit.quantity:
        return repr(meaning)
    value = meaning.value.scaleb(meaning.unit.exponent)
    ends = (low.in_base, (low.in_base + high.in_base) / 2, high.in_base)
    return f"reading in part {sum(value > end for end in ends)}"


def share(judged: Sequence[Judged], *outcomes: Outcome) -> float:
    """Share of some outcomes; 0 of none."""
    if not judged:
        return 0.0
    return sum(each.outcome in outcomes for each in judged) / len(judged)
