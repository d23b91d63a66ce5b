"""Batches of clips of about one length, each clip at another speed and another place."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import torch
from torch import Tensor

from training.chance import Chance
from training.clips import RATE_HZ, Shard
from training.ear import spelled

#: Lengths of the batches in seconds; a clip goes where it fits at its slowest.
LENGTHS_S = (2.6, 3.6, 5.0, 7.0, 10.0, 14.3)
_SLOWEST, _FASTEST = 0.85, 1.2
#: Most voices begin at once; some late, as after a pause or in a recording with quiet around it.
_BEFORE_S, _LATE_S, _LATE, _AFTER_S = 0.4, 1.1, 0.35, (0.06, 1.0)
#: How often a clip is put into a batch one length longer, where it has room to begin late.
_ROOMIER = 0.3


@dataclass(frozen=True, slots=True)
class Clips:
    """All clips on the device, one after another.

    Parts:
        samples: of all clips.
        starts, sizes: of each.
        texts: what is said.
        letters: the same as numbers.
        groups: numbers of the clips for each length of batch.
    """

    samples: Tensor
    starts: Tensor
    sizes: Tensor
    texts: tuple[str, ...]
    letters: tuple[Tensor, ...]
    groups: tuple[Tensor, ...]

    @classmethod
    def gather(cls, shards: Iterable[Shard], device: str) -> "Clips":
        """The clips of all shards; those too long for any batch are left out."""
        sounds: list[np.ndarray[tuple[int], np.dtype[np.int16]]] = []
        texts: list[str] = []
        for shard in shards:
            for text, sound in zip(shard.texts, shard.sounds, strict=True):
                if len(sound) > 1600 and _room_for(len(sound)) is not None:
                    sounds.append(sound)
                    texts.append(text)
        sizes = torch.tensor([len(s) for s in sounds])
        starts = sizes.cumsum(0) - sizes
        fits = torch.tensor([_room_for(len(s)) for s in sounds])
        roomier = torch.arange(len(sounds)) % round(1 / _ROOMIER) == 0
        fits = (fits + roomier).clamp(max=len(LENGTHS_S) - 1)
        groups = tuple((fits == g).nonzero().flatten().to(device) for g in range(len(LENGTHS_S)))
        letters = tuple(torch.tensor(spelled(t)) for t in texts)
        samples = torch.from_numpy(np.concatenate(sounds)).to(device)
        return cls(samples, starts.to(device), sizes.to(device), tuple(texts), letters, groups)

    @property
    def hours(self) -> float:
        """How much sound there is."""
        return float(self.sizes.sum()) / RATE_HZ / 3600

    def group(self, chance: Chance) -> int:
        """A length of batch, by how much sound there is for it."""
        weights = torch.tensor([len(g) * s for g, s in zip(self.groups, LENGTHS_S, strict=True)])
        return int(torch.multinomial(weights.to(chance.device), 1, generator=chance.generator))

    def pick(self, group: int, count: int, chance: Chance) -> Tensor:
        """Numbers of some clips of the group."""
        return self.groups[group][chance.below(len(self.groups[group]), count)]

    def voices(self, chosen: Tensor, group: int, chance: Chance) -> tuple[Tensor, Tensor]:
        """Sounds of the clips, each sped up or slowed down, and how long each batch row is."""
        count, size = len(chosen), int(LENGTHS_S[group] * RATE_HZ)
        pace = chance.between(_SLOWEST, _FASTEST, count)
        pace = torch.where(chance.happens(0.3, count), torch.ones_like(pace), pace)
        spoken = self.sizes[chosen] / pace
        spare = (size - spoken).clamp(min=0)
        late = torch.where(chance.happens(_LATE, count), _LATE_S, _BEFORE_S)
        lead = torch.minimum(chance.between(0, 1, count) * late * RATE_HZ, spare)
        place = torch.arange(size, device=chosen.device) - lead[:, None]
        at = place * pace[:, None]
        last = (self.sizes[chosen] - 2)[:, None]
        inside = (at >= 0) & (at < last)
        left = torch.minimum(at.clamp(min=0).long(), last)
        share = at.clamp(min=0) - left
        left = left + self.starts[chosen][:, None]
        sound = self.samples[left].float() * (1 - share) + self.samples[left + 1].float() * share
        after = chance.between(*_AFTER_S, count) * RATE_HZ
        ends = (lead + spoken + after).clamp(max=size).long()
        return sound * inside / 32768, ends


def _room_for(samples: int) -> int | None:
    """The shortest batch that holds a clip at its slowest, with a little around it."""
    needed = samples / RATE_HZ / _SLOWEST + 0.15
    return next((g for g, length in enumerate(LENGTHS_S) if needed <= length), None)
