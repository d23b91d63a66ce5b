"""Fits the calibration of every set of listeners on the part "fit", and writes it.

    python tests/benchmarks/hearing/fit.py [--heard /tmp/voiceassist-hearing/heard.jsonl]

The weights are those of greatest likelihood. A wrong turn has a fixed cost; the other costs are
those under which, cross-validated by phrase, the fewest questions are asked and mistakes made. What
it prints is cross-validated too. It never reads the part "kept".
"""

import argparse
import random
import sys
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

import numpy as np
from benchmarks.hearing.collect import OTHER, TEMPORARY
from benchmarks.hearing.evidence import SETS, Sample, samples
from benchmarks.hearing.judge import Judged, Outcome, judge, share
from benchmarks.hearing.model import calibration, likeliest, log_likelihood, table
from benchmarks.hearing.phrases import LEVELS

import voiceassist.doubt
from voiceassist.doubt.calibration import Belief, Calibration, belief
from voiceassist.doubt.policy import Costs
from voiceassist.doubt.stored import read, written

NOISE = "noise"
FOLDS = 5
#: Decides which phrases are judged together.
SEED = 5
#: What a wrong turn costs, in questions: the assistant's goals allow from 30 (in quiet) to 40 (at
#: 20 and 10 dB) phrases asked about or let pass for one that is silently taken wrongly.
WRONG_TURN = 40.0
_VALUES = (1.0, 0.5, 0.25)
_NONE = (0.3, 0.5, 0.7, 0.9)
_WORTH = (0.02, 0.05, 0.1)
_FILE = Path(voiceassist.doubt.__file__ or "").parent / "calibration.toml"


@dataclass(frozen=True, slots=True)
class Fit:
    """What was fitted for a set of listeners.

    Parts:
        calibration: with its costs.
        log_likelihood: mean over the samples, cross-validated.
        judged: every sample, by the calibration that was fitted without its phrase.
    """

    calibration: Calibration
    log_likelihood: float
    judged: tuple[Judged, ...]


def fitted(heard: Sequence[Sample], listeners: Sequence[str]) -> Fit:
    """The calibration of a set of listeners."""
    of = table(heard, listeners)
    fold = folds(heard)
    beliefs: list[Belief] = [Belief((), 1.0)] * len(heard)
    likelihood = 0.0
    for number in range(FOLDS):
        vector = likeliest(of.only(fold != number), listeners)
        likelihood += log_likelihood(of.only(fold == number), vector) * float(
            np.mean(fold == number)
        )
        weighed = calibration(listeners, vector.tolist())
        for i in np.flatnonzero(fold == number):
            beliefs[i] = belief(weighed, of.found[i], of.prior[i])
    costs = chosen(heard, beliefs)
    whole = calibration(listeners, likeliest(of, listeners).tolist())
    judged = tuple(judge(s, b, costs) for s, b in zip(heard, beliefs, strict=True))
    return Fit(replace(whole, costs=costs, fitted_on=told(heard)), likelihood, judged)


def folds(heard: Sequence[Sample]) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    """The number of each sample's fold; sounds of the same words share one."""
    names = sorted({s.words or s.id for s in heard})
    random.Random(SEED).shuffle(names)
    place = {name: number % FOLDS for number, name in enumerate(names)}
    return np.array([place[s.words or s.id] for s in heard], dtype=np.int64)


def chosen(heard: Sequence[Sample], beliefs: Sequence[Belief]) -> Costs:
    """The costs under which, all in all, the least is paid in questions and mistakes."""
    offered = [
        Costs(WRONG_TURN * value, WRONG_TURN, none, worth)
        for value, none, worth in product(_VALUES, _NONE, _WORTH)
    ]

    def burden(costs: Costs) -> float:
        pairs = zip(heard, beliefs, strict=True)
        return _burden([judge(sample, each, costs) for sample, each in pairs])

    return min(offered, key=burden)


def _burden(judged: Sequence[Judged]) -> float:
    """In questions: each phrase asked about or let pass is one, each sound taken wrongly many.

    Other sounds that are let pass cost nothing.
    """
    asked = sum(each.outcome is Outcome.ASKED for each in judged)
    lost = sum(e.outcome is Outcome.REJECTED and e.sample.truth is not None for e in judged)
    wrong = sum(each.outcome is Outcome.WRONG for each in judged)
    return asked + lost + WRONG_TURN * wrong


def at_level(judged: Sequence[Judged], level: str) -> list[Judged]:
    """The phrases of a level, or the sounds that mean nothing."""
    if level == OTHER:
        return [each for each in judged if each.sample.truth is None]
    return [each for each in judged if each.sample.truth is not None and each.sample.level == level]


def told(heard: Sequence[Sample]) -> str:
    """What the calibration was fitted on, for its file."""
    kinds = Counter("other sounds" if s.truth is None else "phrases" for s in heard)
    voices = sorted({s.voice for s in heard if s.truth is not None})
    counts = " and ".join(f"{count} {kind}" for kind, count in sorted(kinds.items(), reverse=True))
    return f"{counts}, voices {' and '.join(voices)}, part fit with its seeds, folds seed {SEED}"


def report(name: str, fit: Fit) -> str:
    """One line of Markdown a level."""
    lines = []
    for level in (*LEVELS, OTHER):
        judged = at_level(fit.judged, level)
        if judged:
            shares = [sum(each.first for each in judged) / len(judged)]
            shares += [share(judged, outcome) for outcome in Outcome]
            cells = " | ".join(f"{100 * each:.1f}" for each in shares)
            lines.append(f"| {name} | {level} | {len(judged)} | {cells} |")
    costs = fit.calibration.costs
    lines.append(f"| {name} | log likelihood {fit.log_likelihood:.4f}, {costs} |")
    return "\n".join(lines)


def main() -> None:
    """Fit, print and write."""
    options = argparse.ArgumentParser(description="Fit the calibrations.")
    options.add_argument("--heard", type=Path, default=TEMPORARY / "heard.jsonl")
    options.add_argument("--out", type=Path, default=_FILE)
    given = options.parse_args()
    heard = samples(given.heard, "fit")
    if not heard:
        options.error(f"{given.heard} holds nothing of the part fit; run collect.py first")
    print(
        "| listeners | level | sounds | right first % | right % | wrong % | asked % | rejected % |"
    )
    print("|---|---|---|---|---|---|---|---|")
    made = {}
    for name in SETS:
        fit = fitted(heard, name.split("+"))
        made[name] = fit.calibration
        print(report(name, fit), flush=True)
    text = written(made)
    read(text)
    given.out.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
