"""The calibration's weights as a vector, and the likeliest vector for labelled samples."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from benchmarks.hearing.evidence import Sample
from numpy.typing import NDArray
from scipy.optimize import minimize

from voiceassist.doubt.calibration import Calibration, Line, log_odds
from voiceassist.doubt.features import Features, features
from voiceassist.doubt.prior import log_prior

Floats = NDArray[np.float64]

#: How much a weight is pulled to its sensible value, by the square of the difference in units of
#: the spread of what it weighs; chosen by cross-validation on the part "fit".
PULL = 2.0
#: Sensible values, before any sound was heard; all else is 0.
_SENSIBLE = {"behind": 1.0, "prior": 0.5}
#: The fields of a ``Line``.
ENDS = ("quiet", "some", "full")
_NEVER_NEGATIVE = ("behind", "unlisted", "outside", "unexplained", "agreement", "prior")


@dataclass(frozen=True, slots=True)
class Weight:
    """One number of a calibration.

    Parts:
        part: of ``Calibration``.
        listener: whose it is; empty when it is nobody's own.
        end: of a line, one of ``ENDS``; empty when it does not change.
    """

    part: str
    listener: str = ""
    end: str = ""


def weights(listeners: Sequence[str]) -> tuple[Weight, ...]:
    """Those of a set of listeners."""
    return tuple(_weights(listeners))


def _weights(listeners: Sequence[str]) -> Iterator[Weight]:
    for end in ENDS:
        for name in listeners:
            yield Weight("behind", name, end)
            yield Weight("outside", name, end)
        yield Weight("none", "", end)
        yield Weight("crowd", "", end)
        yield Weight("unexplained", "", end)
        if len(listeners) > 1:
            yield Weight("agreement", "", end)
    for name in listeners:
        yield Weight("unlisted", name)
        yield Weight("silent", name)
    yield Weight("prior")


def calibration(listeners: Sequence[str], vector: Sequence[float]) -> Calibration:
    """The calibration of a vector in the order of ``weights``."""
    value = dict(zip(weights(listeners), map(float, vector), strict=True))

    def line(part: str, name: str = "") -> Line:
        return Line(*(value.get(Weight(part, name, end), 0.0) for end in ENDS))

    return Calibration(
        listeners=tuple(listeners),
        behind={name: line("behind", name) for name in listeners},
        unlisted={name: value[Weight("unlisted", name)] for name in listeners},
        outside={name: line("outside", name) for name in listeners},
        silent={name: value[Weight("silent", name)] for name in listeners},
        none=line("none"),
        crowd=line("crowd"),
        unexplained=line("unexplained"),
        agreement=line("agreement"),
        prior=value[Weight("prior")],
    )


@dataclass(frozen=True, slots=True)
class Table:
    """Samples as numbers; the log odds are linear in the weights, so a matrix holds them.

    Parts:
        found: features of each sample.
        prior: log prior of each sample's understandings.
        terms: a row for each understanding and each "none of these", a column a weight.
        sample: the number of each row's sample.
        right: whether a row is what was said.
    """

    found: tuple[Features, ...]
    prior: tuple[tuple[float, ...], ...]
    terms: Floats
    sample: NDArray[np.int64]
    right: NDArray[np.bool_]

    def only(self, kept: NDArray[np.bool_]) -> "Table":
        """The rows of the samples that are ``kept``."""
        rows = kept[self.sample]
        number = np.cumsum(kept) - 1
        return replace(
            self,
            terms=self.terms[rows],
            sample=number[self.sample[rows]],
            right=self.right[rows],
        )


def table(samples: Sequence[Sample], listeners: Sequence[str]) -> Table:
    """The numbers of samples as a set of listeners heard them."""
    units = [calibration(listeners, row) for row in np.eye(len(weights(listeners))).tolist()]
    found = tuple(features(s.heard_by(listeners), s.sound, s.expectation) for s in samples)
    prior = tuple(
        tuple(log_prior(key, s.expectation) for key in each.keys)
        for s, each in zip(samples, found, strict=True)
    )
    columns = [
        [odds for pair in zip(found, prior, strict=True) for odds in log_odds(unit, *pair)]
        for unit in units
    ]
    right = [_right(s, each) for s, each in zip(samples, found, strict=True)]
    return Table(
        found,
        prior,
        np.array(columns).T,
        np.repeat(np.arange(len(samples)), [len(each) for each in right]),
        np.concatenate([np.array(each) for each in right]),
    )


def _right(sample: Sample, found: Features) -> list[bool]:
    held = [sample.holds(key) for key in found.keys]
    return [*held, not any(held)]


def likeliest(of: Table, listeners: Sequence[str]) -> Floats:
    """The vector under which the right rows are likeliest, pulled a little to sensible values."""
    names = weights(listeners)
    start = np.array([_SENSIBLE.get(each.part, 0.0) for each in names])
    bounds = [(0.0 if each.part in _NEVER_NEGATIVE else None, None) for each in names]
    fit = minimize(_loss(of, start), start, jac=True, method="L-BFGS-B", bounds=bounds)
    return np.asarray(fit.x, dtype=np.float64)


def _loss(of: Table, sensible: Floats) -> Callable[[Floats], tuple[float, Floats]]:
    pull = PULL * of.terms.var(axis=0)

    def loss(vector: Floats) -> tuple[float, Floats]:
        all_rows, right_rows = log_shares(of, vector)
        likelihood = np.logaddexp.reduceat(
            np.where(of.right, all_rows, -np.inf), _starts(of.sample)
        )
        away = vector - sensible
        slope = of.terms.T @ (np.exp(all_rows) - np.exp(right_rows))
        return float(pull @ away**2 - likelihood.sum()), slope + 2 * pull * away

    return loss


def log_shares(of: Table, vector: Floats) -> tuple[Floats, Floats]:
    """Log probability of each row among its sample's, and among its sample's right ones."""
    odds = of.terms @ vector
    starts = _starts(of.sample)
    right = np.where(of.right, odds, -np.inf)
    return (
        odds - np.logaddexp.reduceat(odds, starts)[of.sample],
        right - np.logaddexp.reduceat(right, starts)[of.sample],
    )


def log_likelihood(of: Table, vector: Floats) -> float:
    """Mean over the samples of the log probability of what was said."""
    rows, _ = log_shares(of, vector)
    total = np.logaddexp.reduceat(np.where(of.right, rows, -np.inf), _starts(of.sample))
    return math.fsum(total) / len(total)


def _starts(sample: NDArray[np.int64]) -> NDArray[np.intp]:
    """Where the rows of each sample begin."""
    return np.flatnonzero(np.diff(sample, prepend=-1))
