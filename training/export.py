"""Ears in files: half precision, by the names that the listener reads."""

from collections.abc import Iterable, Sequence
from pathlib import Path

import numpy as np
import torch
from torch import Tensor

from training.ear import Ear


def write(ear: Ear, path: Path, *, pieces: int = 1) -> list[Path]:
    """Keep the weights in half precision, in one file or in several of about the same size."""
    arrays = {name: w.detach().half().cpu().numpy() for name, w in ear.state_dict().items()}
    names = sorted(arrays, key=lambda name: -arrays[name].size)
    paths = [path] if pieces == 1 else [path.with_suffix(f".{k}.npz") for k in range(pieces)]
    for k, part in enumerate(paths):
        np.savez(part, **{name: arrays[name] for name in names[k::pieces]})
    return paths


def read(*paths: Path) -> dict[str, Tensor]:
    """The weights of one file, or of several that belong together."""
    found: dict[str, Tensor] = {}
    for path in paths:
        with np.load(path) as kept:
            found.update({n: torch.from_numpy(kept[n].astype(np.float32)) for n in kept.files})
    return found


def mean(ears: Sequence[Path], path: Path) -> None:
    """The mean of several ears of one chain of runs, which is often better than the last one."""
    found = [read(ear) for ear in ears]
    arrays = {
        name: torch.stack([weights[name] for weights in found]).mean(0).half().numpy()
        for name in Ear().state_dict()
    }
    np.savez(path, **arrays)  # type: ignore[arg-type]


def joined(parts: Iterable[Path], path: Path) -> None:
    """Several files as one, in the order of the network."""
    found = read(*parts)
    arrays = {name: found[name].half().numpy() for name in Ear().state_dict()}
    np.savez(path, **arrays)  # type: ignore[arg-type]
