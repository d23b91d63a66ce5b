"""Which test would tell most for its minutes."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np

from voiceassist.reason.infer import UNLISTED, Shares, of_numbers, of_word
from voiceassist.reason.samples import Samples

#: Vehicles that a test is tried on in thought.
_TRIES = 32
#: Less than so many bits tell nothing.
NOTHING_TOLD = 0.01

Group = Callable[[str], str]
#: Place and number read there -> standard uncertainty of that number.
Doubt = Callable[[int, float], float]


@dataclass(frozen=True, slots=True)
class Worth:
    """What a test is worth.

    Parts:
        place: its number in the table.
        bits: what it would tell on average of which finding is the right one.
        minutes: what it costs.
    """

    place: int
    bits: float
    minutes: float

    @property
    def rate(self) -> float:
        """Bits a minute."""
        return self.bits / self.minutes


def worths(
    samples: Samples, shares: Shares, tests: Iterable[tuple[int, float]], group: Group, doubt: Doubt
) -> list[Worth]:
    """What each of ``tests`` is worth, the best first.

    Args:
        samples: the table.
        shares: of each vehicle, as far as is known.
        tests: numbers of places, each with the minutes that its test costs.
        group: names the finding that a cause is to lead to.
        doubt: standard uncertainty of a number that is read at a place.
    """
    groups = _groups(samples, group)
    now = float(_entropies(groups @ shares.sum(axis=1)[:, None])[0])
    found = [
        Worth(place, max(0.0, now - _left(samples, shares, place, groups, doubt)), minutes)
        for place, minutes in tests
    ]
    return sorted(found, key=lambda worth: -worth.rate)


def _groups(samples: Samples, group: Group) -> Shares:
    """1 where a cause belongs to a finding, by finding and cause."""
    names = [group(cause) for cause in (*samples.causes, UNLISTED)]
    return np.array([[float(name == one) for name in names] for one in dict.fromkeys(names)])


def _entropies(shares: Shares) -> Shares:
    """Of each column, in bits."""
    found: Shares = -np.sum(shares * np.log2(np.where(shares > 0, shares, 1)), axis=0)
    return found


def _left(samples: Samples, shares: Shares, place: int, groups: Shares, doubt: Doubt) -> float:
    """Bits that are not known on average after the test of ``place``.

    It is tried on vehicles spread evenly over their shares, so that no luck is in it.
    """
    total = np.cumsum(shares[:-1].ravel())
    points = (np.arange(_TRIES) + 0.5) / _TRIES * total[-1]
    picked = np.searchsorted(total, points)
    numbers = samples.numbers[place].ravel()[picked]
    words = samples.seen[place].ravel()[picked]
    left = 0.0
    for code in np.unique(words):
        tried = numbers[words == code]
        if code and samples.words[code]:
            likely = of_word(samples, place, samples.words[code])[None]
            many = np.array([len(tried)])
        else:
            tried, many = np.unique(tried, return_counts=True)
            off = np.array([doubt(place, float(number)) for number in tried])
            likely = of_numbers(samples, place, tried, off)
        then = np.einsum("mck,ck->cm", likely, shares)
        left += float(_entropies(groups @ (then / then.sum(axis=0))) @ many) / _TRIES
    return left
