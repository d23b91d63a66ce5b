"""Accept, ask or reject: what a wrong turn costs against what a question costs."""

from collections.abc import Callable
from dataclasses import dataclass

from voiceassist.doubt.belief import Belief
from voiceassist.doubt.costs import Costs
from voiceassist.doubt.evidence import Key

__all__ = [
    "Accept",
    "AskAmong",
    "Costs",
    "Decision",
    "Leads",
    "Reject",
    "Share",
    "decide",
    "in_place",
]


@dataclass(frozen=True, slots=True)
class Accept:
    """Take this understanding.

    Parts:
        key: what was understood.
        probability: its own.
        sure: all that would lead elsewhere is together hardly possible, so that even a wrong
            finding is no dearer than a question.
    """

    key: Key
    probability: float
    sure: bool = False


@dataclass(frozen=True, slots=True)
class AskAmong:
    """Ask which of these it was, the likeliest first; one alone is asked to be confirmed."""

    keys: tuple[Key, ...]
    probability: float


@dataclass(frozen=True, slots=True)
class Reject:
    """Let it pass: most likely nothing for the session. ``none`` is how likely."""

    none: float


Decision = Accept | AskAmong | Reject
#: Understanding to the name of what comes next if it is right.
Leads = Callable[[Key], str]
#: Understanding to how much of its probability is left by what the listener does not know.
Share = Callable[[Key], float]

#: What an understanding leads to that moves nothing: an answer to a question, a louder voice.
ASIDE = "aside"
#: What one leads to that cannot be, such as a reading that the step rules out.
NOT_HERE = "not here"
#: What it costs to do such a thing though something else was said: about two questions.
_WRONG_ASIDE = 5.0


def decide(belief: Belief, leads: Leads, costs: Costs) -> Decision:
    """Decide what to do about what was heard.

    Args:
        belief: how likely each understanding is.
        leads: what each would lead to; ASIDE for what moves nothing, NOT_HERE for what cannot be.
        costs: of being wrong, in questions.

    Returns:
        Accept when the expected cost of being wrong is below that of asking; Reject when none
        of the understandings is worth a question; AskAmong the two likeliest otherwise.
    """
    if not belief.likely or belief.none > costs.none:
        return Reject(belief.none)
    best, probability = belief.likely[0]
    if _expected_cost(belief, leads, costs) < 1.0 and probability > belief.none:
        return Accept(best, probability, _astray(belief, leads) * costs.astray < 1.0)
    worth = [key for key, p in belief.likely[:2] if p >= costs.worth]
    return AskAmong(tuple(worth), probability) if worth else Reject(belief.none)


def in_place(belief: Belief, share: Share) -> Belief:
    """``belief`` with some less likely by their ``share``, and all else likelier for it.

    That it was none of them stays as likely as it was.
    """
    weighed = [(key, p * share(key)) for key, p in belief.likely]
    whole, left = (sum(p for _, p in each) for each in (belief.likely, weighed))
    if not left:
        return belief
    likely = sorted(((key, p * whole / left) for key, p in weighed), key=lambda pair: -pair[1])
    return Belief(tuple(likely), belief.none)


def _astray(belief: Belief, leads: Leads) -> float:
    """How likely all is that would lead elsewhere than the likeliest, or nowhere."""
    there = leads(belief.likely[0][0])
    return belief.none + sum(p for key, p in belief.likely[1:] if leads(key) != there)


def _expected_cost(belief: Belief, leads: Leads, costs: Costs) -> float:
    """Of accepting the likeliest understanding, in questions."""
    best, _ = belief.likely[0]
    there = leads(best)
    if there == ASIDE:
        return (1 - belief.likely[0][1]) * _WRONG_ASIDE
    cost = belief.none * costs.wrong_turn
    for key, probability in belief.likely[1:]:
        cost += probability * (costs.wrong_value if leads(key) == there else costs.wrong_turn)
    return cost
