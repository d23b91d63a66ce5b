"""Which letters the ear writes for which: a table of costs, measured on speech it never met.

The letters of what was said are laid along the sound by the likeliest alignment (Viterbi over the
network's log probabilities). Where a letter was written most surely, each other letter falls short
of it by so many nats, and so does the blank; in the gaps between letters each letter falls short of
the blank. The means of these, over all occurrences and levels of noise, are the costs of taking a
letter for another, of losing it and of adding it.
"""

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

import numpy as np
from numpy.typing import NDArray

from training.clips import shards
from training.report import noisy
from voiceassist.recognise.ear.network import LetterNetwork
from voiceassist.recognise.ear.shape import BLANK, NUMBERS, SIGNS
from voiceassist.recognise.ear.weights import read_weights

Doubles = NDArray[np.float64]
LEVELS: tuple[float | None, ...] = (None, 20.0, 10.0)
_COUNT = len(SIGNS)


@dataclass(slots=True)
class Costs:
    """Sums of how far each sign fell short, and of how many times.

    Parts:
        taken: shape (signs, signs), row by the letter that was said; column 0 for none.
        said: how often each letter was said.
        added: of each sign in gaps.
        gaps: how many there were.
    """

    taken: Doubles = field(default_factory=lambda: np.zeros((_COUNT, _COUNT)))
    said: Doubles = field(default_factory=lambda: np.zeros(_COUNT))
    added: Doubles = field(default_factory=lambda: np.zeros(_COUNT))
    gaps: int = 0

    def count(self, logs: Doubles, text: str) -> None:
        """Take in one phrase."""
        signs = [NUMBERS[letter] for letter in text]
        places = aligned(logs, signs)
        if places is None:
            return
        for sign, (begin, end) in zip(signs, places, strict=True):
            peak = logs[begin:end][logs[begin:end, sign].argmax()]
            self.taken[sign] += peak[sign] - peak
            self.said[sign] += 1
        edges = [0, *(at for place in places for at in place), len(logs)]
        for end, begin in zip(edges[::2], edges[1::2], strict=True):
            if begin > end:
                gap = logs[end:begin]
                self.added += (gap[:, [BLANK]] - gap).min(axis=0)
                self.gaps += 1

    def told(self, least: int = 20) -> dict[str, object]:
        """Plain data; letters said less often than ``least`` are left out."""
        known = [sign for sign in range(1, _COUNT) if self.said[sign] >= least]
        return {
            "taken": {
                SIGNS[a]: {
                    SIGNS[b]: round(float(self.taken[a, b] / self.said[a]), 2)
                    for b in (BLANK, *known)
                    if b != a
                }
                for a in known
            },
            "added": {SIGNS[a]: round(float(self.added[a] / self.gaps), 2) for a in known},
        }


def aligned(logs: Doubles, signs: Sequence[int]) -> list[tuple[int, int]] | None:
    """Where each letter begins and ends in the likeliest alignment; None when there is none."""
    rows = [BLANK, *(sign for letter in signs for sign in (letter, BLANK))]
    best = np.full(len(rows), -np.inf)
    best[:2] = logs[0, rows[:2]]
    skips = np.array([s > 1 and rows[s] not in {BLANK, rows[s - 2]} for s in range(len(rows))])
    came = np.zeros((len(logs), len(rows)), int)
    for moment in range(1, len(logs)):
        ways = np.full((3, len(rows)), -np.inf)
        ways[0] = best
        ways[1, 1:] = best[:-1]
        ways[2, 2:] = np.where(skips[2:], best[:-2], -np.inf)
        came[moment] = ways.argmax(axis=0)
        best = ways.max(axis=0) + logs[moment, rows]
    row = len(rows) - 1 if best[-1] >= best[-2] else len(rows) - 2
    if not np.isfinite(best[row]):
        return None
    path = [row]
    for moment in range(len(logs) - 1, 0, -1):
        row -= int(came[moment, row])
        path.append(row)
    path.reverse()
    return [
        (path.index(2 * n + 1), len(path) - path[::-1].index(2 * n + 1)) for n in range(len(signs))
    ]


def heard(weights: Path, speech: Path, most: int, seed: int = 0) -> Iterator[tuple[Doubles, str]]:
    """Up to ``most`` phrases of a folder at each level of noise, as the network hears them."""
    network = LetterNetwork(read_weights(weights))
    pairs = [p for shard in shards(speech) for p in zip(shard.texts, shard.sounds, strict=True)]
    chosen = Random(seed).sample(pairs, min(most, len(pairs)))
    chance = np.random.default_rng(seed)
    for text, sound in chosen:
        for level in LEVELS:
            yield network.letters(noisy(sound, level, chance)).astype(np.float64), text


def confusions(weights: Path, speech: Path, out: Path, most: int) -> int:
    """Write the table; how many clips it is made from."""
    costs, clips = Costs(), 0
    for logs, text in heard(weights, speech, most):
        costs.count(logs, text)
        clips += 1
    out.write_text(json.dumps(costs.told(), indent=None, sort_keys=True) + "\n", encoding="utf-8")
    return clips
