"""Where an understanding leads at a step of the benchmark."""

from functools import cache

from voiceassist.doubt.evidence import Key
from voiceassist.doubt.policy import ASIDE
from voiceassist.doubt.prior import plausible
from voiceassist.doubt.same import settled
from voiceassist.language.expectation import Expectation
from voiceassist.language.meanings import Command, Correction, Meaning, Reading
from voiceassist.session.next_action import MOVE_NOTHING


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
    value = meaning.unit.to_base(meaning.value)
    ends = (low.in_base, (low.in_base + high.in_base) / 2, high.in_base)
    return f"reading in part {sum(value > end for end in ends)}"
