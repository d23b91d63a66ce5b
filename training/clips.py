"""Clips of speech with their texts, in shards that travel packed as Opus."""

import io
import json
import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

RATE_HZ = 16_000
#: Opus between clips of a shard: a gap of silence, so that no clip rings into the next.
_GAP = RATE_HZ // 10

_PACKED = ".opus"


@dataclass(frozen=True, slots=True)
class Shard:
    """Some clips: what is said in each, and the sound of it."""

    texts: tuple[str, ...]
    sounds: tuple[NDArray[np.int16], ...]

    @property
    def seconds(self) -> float:
        """How long the sound is."""
        return sum(map(len, self.sounds)) / RATE_HZ

    def save(self, path: Path) -> None:
        """Keep the shard as plain samples; a file cut short never has the shard's name."""
        part = path.with_suffix(".part.npz")
        sizes = np.array([len(s) for s in self.sounds])
        samples = np.concatenate(self.sounds) if self.sounds else np.zeros(0, np.int16)
        np.savez(part, x=samples, n=sizes, t=np.array(json.dumps(self.texts)))
        os.replace(part, path)

    @classmethod
    def load(cls, path: Path) -> "Shard":
        """A shard of plain samples or of Opus, by the name's ending."""
        if path.suffix == _PACKED:
            return cls._unpacked(path)
        kept = np.load(path)
        ends = np.cumsum(kept["n"])[:-1]
        return cls(tuple(json.loads(str(kept["t"]))), tuple(np.split(kept["x"], ends)))

    def pack(self, path: Path) -> None:
        """Keep the shard as Opus, its texts and sizes beside it; about 2 kB a second."""
        import soundfile

        gap = np.zeros(_GAP, np.int16)
        samples = np.concatenate([piece for s in self.sounds for piece in (s, gap)])
        soundfile.write(
            path, samples, RATE_HZ, format="OGG", subtype="OPUS", compression_level=0.95
        )
        told = {"texts": self.texts, "sizes": [len(s) for s in self.sounds]}
        path.with_suffix(".json").write_text(json.dumps(told), encoding="utf-8")

    @classmethod
    def _unpacked(cls, path: Path) -> "Shard":
        import soundfile

        told = json.loads(path.with_suffix(".json").read_text(encoding="utf-8"))
        samples, rate = soundfile.read(io.BytesIO(path.read_bytes()), dtype="int16")
        if rate != RATE_HZ:
            samples = samples[:: rate // RATE_HZ]
        return cls(tuple(told["texts"]), tuple(_cut(samples, told["sizes"])))


def shards(folder: Path) -> Iterator[Shard]:
    """All shards of a folder, in the order of their names."""
    for path in sorted(folder.iterdir()):
        if path.suffix == _PACKED or (path.suffix == ".npz" and ".part" not in path.name):
            yield Shard.load(path)


def _cut(samples: NDArray[np.int16], sizes: Iterable[int]) -> Iterator[NDArray[np.int16]]:
    at = 0
    for size in sizes:
        yield samples[at : at + size]
        at += size + _GAP
