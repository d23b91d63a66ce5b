"""How well an ear hears: one table for each ear and folder of speech, printed as Markdown.

Three figures for each level of noise. *Spelled*: the share of phrases whose letters come out right
with no grammar at all. *Letters wrong*: of all letters, those left out, added or changed in that
spelling. *First*: the share where the phrase itself is likeliest among its own
rivals and those of all other phrases of the folder, each weighed over all its alignments.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from random import Random

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor

from training.clips import RATE_HZ, shards
from training.ear import Ear, read_off, spelled
from training.encoder import states
from training.export import read
from training.losses import letters
from training.rivals import rivals

LEVELS: tuple[float | None, ...] = (None, 20.0, 10.0, 5.0, 0.0)
HEADER = (
    "| noise | phrases | spelled right % | letters wrong % | first right % |\n|---|---|---|---|---|"
)
_AROUND = int(0.3 * RATE_HZ)


@dataclass(frozen=True, slots=True)
class Row:
    """The figures of one level: how many phrases, spelled right, and first; letters, mistakes."""

    level: float | None
    phrases: int
    spelled: int
    first: int
    letters: int
    mistakes: int

    def __str__(self) -> str:
        name = "quiet" if self.level is None else f"{self.level:.0f} dB"
        shares = (
            self.spelled / self.phrases,
            self.mistakes / self.letters,
            self.first / self.phrases,
        )
        return f"| {name} | {self.phrases} | " + " | ".join(f"{100 * s:.1f}" for s in shares) + " |"


def report(weights: Path, speech: Path, most: int, seed: int = 0) -> list[Row]:
    """Hear up to ``most`` phrases of the folder at each level of noise."""
    ear = Ear().eval()
    ear.load_state_dict(read(weights))
    pairs = [p for shard in shards(speech) for p in zip(shard.texts, shard.sounds, strict=True)]
    rng = Random(seed)
    chosen = rng.sample(pairs, min(most, len(pairs)))
    texts = list(dict.fromkeys(text for text, _ in chosen))
    return [_row(ear, chosen, texts, level, seed) for level in LEVELS]


def _row(
    ear: Ear,
    chosen: Sequence[tuple[str, NDArray[np.int16]]],
    texts: Sequence[str],
    level: float | None,
    seed: int,
) -> Row:
    chance, right, first, mistakes = np.random.default_rng(seed), 0, 0, 0
    for text, sound in chosen:
        scores = _scores(ear, noisy(sound, level, chance))
        read = read_off(scores)
        right += read == text
        mistakes += changes(text, read)
        first += _is_first(scores, text, texts)
    count = sum(len(text) for text, _ in chosen)
    return Row(level, len(chosen), right, first, count, mistakes)


def changes(text: str, read: str) -> int:
    """The fewest letters to leave out, add or change (Levenshtein 1966)."""
    row = list(range(len(read) + 1))
    for k, letter in enumerate(text, start=1):
        before, row = row, [k]
        for j, other in enumerate(read, start=1):
            row.append(min(before[j] + 1, row[-1] + 1, before[j - 1] + (letter != other)))
    return row[-1]


@torch.inference_mode()
def _scores(ear: Ear, sound: NDArray[np.float32]) -> Tensor:
    samples = torch.tensor([len(sound)])
    _, scores = ear(torch.from_numpy(sound)[None], samples)
    return torch.as_tensor(scores[0, : int(states(samples))].log_softmax(-1))


def _is_first(scores: Tensor, text: str, texts: Sequence[str]) -> bool:
    others = [*rivals(text, 40, Random(1)), *texts]
    candidates = [text, *(t for t in dict.fromkeys(others) if t != text)]
    targets = [torch.tensor(spelled(t)) for t in candidates]
    many = scores[None].expand(len(targets), -1, -1)
    losses = letters(many, torch.full((len(targets),), len(scores)), targets)
    losses = torch.where(losses == 0, torch.inf, losses)
    return int(losses.argmin()) == 0


def noisy(
    sound: NDArray[np.int16], level: float | None, chance: np.random.Generator
) -> NDArray[np.float32]:
    """Among noise that falls by 3 dB an octave, so many decibels below the voice."""
    quiet = np.zeros(_AROUND)
    voice = np.concatenate((quiet, sound / 32768, quiet))
    if level is not None:
        spectrum = np.fft.rfft(chance.normal(size=len(voice)))
        noise = np.fft.irfft(spectrum / np.sqrt(np.arange(len(spectrum)) + 20), len(voice))
        power = float(np.mean((sound / 32768) ** 2)) / 10 ** (level / 10)
        voice = voice + noise * np.sqrt(power / np.mean(noise**2))
    return np.asarray(voice / np.abs(voice).max() * 0.5, np.float32)
