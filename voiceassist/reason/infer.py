"""From what was read to how likely each cause is: Bayes' rule over the sampled vehicles.

A vehicle that shows nearly what was read counts for more. How near is near enough goes by the
doubt of the reading and by how far apart the vehicles of one cause lie (a kernel density,
``Samples.spreads``).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voiceassist.reason.belief import Suspects
from voiceassist.reason.samples import Samples, Sight

Shares = NDArray[np.float64]

#: What is wrong is none of the faults of the file.
UNLISTED = "something not listed"
#: How likely that is beforehand, and that a reading was misread or taken at another point.
#: Common practice, no source.
UNLISTED_SHARE, SLIP = 0.03, 0.01
#: What is not listed shows what the listed causes show so often, else anything.
AS_LISTED = 0.3
#: Anything that can be read reaches at least so many spreads.
_REACH = 6


@dataclass(frozen=True, slots=True)
class Seen:
    """What was seen at a place.

    Parts:
        place: its number in the table.
        sight: the number or word.
        doubt: standard uncertainty of the number, in base units; of a word 0.
    """

    place: int
    sight: Sight
    doubt: float = 0.0


def prior(samples: Samples) -> Shares:
    """The share of each vehicle, by cause and vehicle, before anything is seen.

    The last row stands for what is not listed. They add up to 1.
    """
    listed = np.asarray(samples.likely)[:, None] * (1 - UNLISTED_SHARE)
    rows = np.vstack([listed, [[UNLISTED_SHARE]]])
    return np.repeat(rows / samples.vehicles, samples.vehicles, axis=1)


def after(samples: Samples, seen: Sequence[Seen], shares: Shares | None = None) -> Shares:
    """The share of each vehicle after all of ``seen``; ``shares`` from before it."""
    found = prior(samples) if shares is None else shares
    for one in seen:
        found = found * likelihood(samples, one)
        found = found / found.sum()
    return found


def belief(samples: Samples, shares: Shares, group: Callable[[str], str] = str) -> Suspects:
    """How likely each cause is, or each group of causes that ``group`` names alike."""
    sums = shares.sum(axis=1)
    names = (*samples.causes, UNLISTED)
    return Suspects.of(dict(zip(names, sums.tolist(), strict=True))).grouped(group)


def likelihood(samples: Samples, seen: Seen) -> Shares:
    """How likely each vehicle shows what was seen, by cause and vehicle; above zero.

    Of a number it is a density: only the ratio of two of them means something.
    """
    if seen.sight.number is None:
        return of_word(samples, seen.place, seen.sight.word)
    number, doubt = np.array([seen.sight.number]), np.array([seen.doubt])
    one: Shares = of_numbers(samples, seen.place, number, doubt)[0]
    return one


@dataclass(frozen=True, slots=True)
class Anything:
    """What one can see who sees just anything at a place, each way as likely as the others.

    Parts:
        words: that some vehicle shows there.
        low, high: a number from ``low`` to ``high`` is another way; alike where no number is.
        many: how many ways there are; where no number is, among them something that no vehicle
            of the table shows.
    """

    words: tuple[str, ...]
    low: float
    high: float
    many: int


def anything(samples: Samples, place: int) -> Anything:
    """What one can see at ``place``."""
    words = tuple(samples.words[code] for code in samples.codes[place] if code)
    known = samples.numbers[place][~np.isnan(samples.numbers[place])]
    if not len(known):
        return Anything(words, 0.0, 0.0, _many(samples, place))
    low, high = float(known.min()), float(known.max())
    more = max(0.0, _REACH * float(samples.spreads[place].max()) - (high - low)) / 2
    return Anything(words, low - more, high + more, _many(samples, place))


def _many(samples: Samples, place: int) -> int:
    codes = samples.codes[place]
    return len(codes) + (0 not in codes)


def of_word(samples: Samples, place: int, word: str) -> Shares:
    """The same of a word."""
    index = samples.words.index(word) if word in samples.words else -1
    found = (samples.seen[place] == index).astype(float)
    rest = np.array([1 / _many(samples, place)])
    one: Shares = _with_the_rest(samples, found[None], rest)[0]
    return one


def of_numbers(samples: Samples, place: int, numbers: Shares, doubts: Shares) -> Shares:
    """The same of several numbers; by number, cause and vehicle."""
    shown = samples.numbers[place]
    there = ~np.isnan(shown)
    known = shown[there]
    spread = np.hypot(samples.spreads[place][None, :], doubts[:, None])[:, :, None]
    off = (np.where(there, shown, np.inf)[None] - numbers[:, None, None]) / spread
    found = np.exp(-0.5 * off * off) / (spread * np.sqrt(2 * np.pi))
    low, high = np.minimum(known.min(initial=np.inf), numbers), np.maximum(
        known.max(initial=-np.inf), numbers
    )  # fmt: skip
    reach = np.maximum(high - low, _REACH * spread.max(axis=(1, 2)))
    return _with_the_rest(samples, found, 1 / reach / _many(samples, place))


def _with_the_rest(samples: Samples, found: Shares, rest: Shares) -> Shares:
    """``found`` with slips in it, and below it what a cause that is not listed would show."""
    mean = np.einsum("c,mck->m", np.asarray(samples.likely), found) / samples.vehicles
    other = AS_LISTED * mean + (1 - AS_LISTED) * rest
    rows = np.repeat(other[:, None, None], samples.vehicles, axis=2)
    return np.concatenate([(1 - SLIP) * found + SLIP * rest[:, None, None], rows], axis=1)
