"""From features to probabilities, by weights that were fitted on labelled sound.

A log-linear model: the log odds of an understanding are a weighted sum of how far it lies behind
at each listener, of how many listeners agree on it, and of its prior; those of "none of these" a
weighted sum of what the listeners say of it. Most weights change with the noise.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from voiceassist.doubt.costs import Costs
from voiceassist.doubt.evidence import Key
from voiceassist.doubt.features import Features, log_sum
from voiceassist.errors import DoubtError

#: Where a weight is fitted, as noise from 0 to 1: at 30 dB and more, at 20 dB and at 0 dB. What
#: listeners are worth falls fast between the first two and slowly after.
KNOTS = (0.0, 1 / 3, 1.0)


@dataclass(frozen=True, slots=True)
class Line:
    """A weight that changes with the noise, straight between its three ``KNOTS``."""

    quiet: float
    some: float
    full: float

    def at(self, noise: float) -> float:
        """The weight at ``noise``, 0 to 1."""
        knee = KNOTS[1]
        if noise <= knee:
            return self.quiet + (self.some - self.quiet) * noise / knee
        return self.some + (self.full - self.some) * (noise - knee) / (1 - knee)


@dataclass(frozen=True, slots=True)
class Calibration:
    """The fitted weights of one set of listeners.

    Parts:
        listeners: their names, in alphabetical order.
        behind: for each, what lying behind takes from the log odds.
        unlisted: for each, what not being listed takes from them besides.
        outside: for each, the weight of "none of these".
        silent: for each, what having heard nothing adds to the log odds of "none of these".
        none: log odds of "none of these" before anything is heard.
        crowd: what the number of understandings adds to them.
        unexplained: what each second adds to them that the best guess leaves over.
        agreement: what each further listener that agrees adds to those of an understanding.
        prior: weight of the step's prior.
        costs: of mistakes, chosen so that few of them are made with these listeners.
        fitted_on: how many clips, and which, for the record.
    """

    listeners: tuple[str, ...]
    behind: Mapping[str, Line]
    unlisted: Mapping[str, float]
    outside: Mapping[str, Line]
    silent: Mapping[str, float]
    none: Line
    crowd: Line
    unexplained: Line
    agreement: Line
    prior: float
    costs: Costs = field(default_factory=Costs)
    fitted_on: str = ""

    def __post_init__(self) -> None:
        for weights in (self.behind, self.unlisted, self.outside, self.silent):
            for name in self.listeners:
                if name not in weights:
                    raise DoubtError(f"the calibration lacks the listener {name!r}")


@dataclass(frozen=True, slots=True)
class Belief:
    """How likely each understanding is.

    Parts:
        likely: understandings with their probabilities, the likeliest first.
        none: probability that it was none of them; all sum to one.
    """

    likely: tuple[tuple[Key, float], ...]
    none: float

    def of(self, key: Key) -> float:
        """Probability of ``key``; 0 when it is not among them."""
        return dict(self.likely).get(key, 0.0)


def belief(calibration: Calibration, found: Features, log_prior: Sequence[float]) -> Belief:
    """Probabilities of the understandings in ``found``.

    Args:
        calibration: fitted for just these listeners.
        found: features of the clip.
        log_prior: natural logarithm of each understanding's prior, up to a constant.

    Raises:
        DoubtError: the calibration is for other listeners.
    """
    *odds, none = log_odds(calibration, found, log_prior)
    total = log_sum([none, *odds])
    likely = sorted(
        ((key, math.exp(each - total)) for key, each in zip(found.keys, odds, strict=True)),
        key=lambda pair: -pair[1],
    )
    return Belief(tuple(likely), math.exp(none - total))


def log_odds(
    calibration: Calibration, found: Features, log_prior: Sequence[float]
) -> tuple[float, ...]:
    """Of each understanding in ``found``, and last of "none of these"; linear in the weights.

    Raises:
        DoubtError: the calibration is for other listeners.
    """
    if set(calibration.listeners) != set(found.behind):
        raise DoubtError(
            f"the calibration is for {'+'.join(calibration.listeners)}, "
            f"not for {'+'.join(sorted(found.behind))}"
        )
    agreement = calibration.agreement.at(found.noise)
    odds = [
        calibration.prior * prior + agreement * agreed - _behind(calibration, found, i)
        for i, (prior, agreed) in enumerate(zip(log_prior, found.agreement, strict=True))
    ]
    return (*odds, _none(calibration, found))


def _behind(calibration: Calibration, found: Features, i: int) -> float:
    return sum(
        calibration.behind[name].at(found.noise) * found.behind[name][i]
        + calibration.unlisted[name] * found.unlisted[name][i]
        for name in calibration.listeners
    )


def _none(calibration: Calibration, found: Features) -> float:
    before = calibration.none.at(found.noise) + calibration.crowd.at(found.noise) * found.crowd
    before += calibration.unexplained.at(found.noise) * found.unexplained
    return before + sum(
        calibration.outside[name].at(found.noise) * found.outside[name]
        + calibration.silent[name] * found.silent[name]
        for name in calibration.listeners
    )
