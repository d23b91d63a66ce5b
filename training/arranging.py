"""The operations that cut, join and arrange what runs through a speech network."""

from collections.abc import Callable, Mapping
from typing import Any

import torch
from torch import Tensor
from torch.nn import functional

Settings = Mapping[str, Any]
Operation = Callable[[list[Tensor], Settings], Any]

_NOWHERE = 2**31


def _shape(wanted: list[int], given: Tensor) -> list[int]:
    return [given.shape[i] if n == 0 else n for i, n in enumerate(wanted)]


def _spread(given: Tensor, wanted: list[int]) -> list[int]:
    """The shape that holds both; where one of them is 1, the other counts."""
    rank = max(given.dim(), len(wanted))
    sizes = zip(
        (1,) * (rank - given.dim()) + tuple(given.shape),
        [1] * (rank - len(wanted)) + wanted,
        strict=True,
    )
    return [b if a == 1 else a for a, b in sizes]


def _slice(x: list[Tensor], _: Settings) -> Tensor:
    data, starts, ends = x[0], x[1].tolist(), x[2].tolist()
    axes = x[3].tolist() if len(x) > 3 and x[3] is not None else list(range(len(starts)))
    steps = x[4].tolist() if len(x) > 4 and x[4] is not None else [1] * len(starts)
    cut = [slice(None)] * data.dim()
    for start, end, axis, step in zip(starts, ends, axes, steps, strict=True):
        cut[axis] = slice(start, None if end > _NOWHERE else end, step)
    return data[tuple(cut)]


def _gather(x: list[Tensor], s: Settings) -> Tensor:
    data, index, axis = x[0], x[1], s.get("axis", 0)
    if index.dim() == 0 and index.device.type == "cpu":
        return data.select(axis, int(index))
    index = torch.where(index < 0, index + data.shape[axis], index).to(data.device)
    found = data.index_select(axis, index.reshape(-1))
    return found.reshape(*data.shape[:axis], *index.shape, *data.shape[axis + 1 :])


def _axes(x: list[Tensor], s: Settings) -> list[int]:
    return x[1].tolist() if len(x) > 1 else list(s["axes"])


def _unsqueeze(x: list[Tensor], s: Settings) -> Tensor:
    data, axes = x[0], _axes(x, s)
    rank = data.dim() + len(axes)
    for axis in sorted(a % rank for a in axes):
        data = data.unsqueeze(axis)
    return data


def _squeeze(x: list[Tensor], s: Settings) -> Tensor:
    return x[0].squeeze(tuple(_axes(x, s)))


def _split(x: list[Tensor], s: Settings) -> tuple[Tensor, ...]:
    return torch.split(x[0], x[1].tolist(), s.get("axis", 0))


def _reduce(function: Callable[..., Tensor]) -> Operation:
    def run(x: list[Tensor], s: Settings) -> Tensor:
        return function(x[0], _axes(x, s), keepdim=bool(s.get("keepdims", 1)))

    return run


def _pad(x: list[Tensor], s: Settings) -> Tensor:
    pads = x[1].tolist()
    rank = len(pads) // 2
    both = [n for axis in reversed(range(rank)) for n in (pads[axis], pads[axis + rank])]
    while len(both) > 2 and both[-2:] == [0, 0]:
        both = both[:-2]
    if s.get("mode", "constant") != "reflect":
        return functional.pad(x[0], both)
    data = x[0] if x[0].dim() > 1 else x[0][None]
    return functional.pad(data, both, mode="reflect").reshape(*x[0].shape[:-1], -1)


def _scatter(x: list[Tensor], _: Settings) -> Tensor:
    data = x[0].clone()
    data[tuple(x[1].unbind(-1))] = x[2]
    return data


def _where(x: list[Tensor], _: Settings) -> Tensor:
    place = next((t.device for t in x if t.device.type != "cpu"), x[0].device)
    chosen, one, other = (t.to(place) for t in x)
    return torch.where(chosen, one, other)


def _constant_of_shape(x: list[Tensor], s: Settings) -> Tensor:
    value = s.get("value")
    if value is None:
        return torch.zeros(x[0].tolist())
    return torch.full(x[0].tolist(), value.item(), dtype=value.dtype)


ARRANGING: Mapping[str, Operation] = {
    "Shape": lambda x, _: torch.tensor(x[0].shape),
    "Transpose": lambda x, s: x[0].permute(*s["perm"]),
    "Reshape": lambda x, _: x[0].reshape(_shape(x[1].tolist(), x[0])),
    "Expand": lambda x, _: x[0].broadcast_to(_spread(x[0], x[1].tolist())),
    "Concat": lambda x, s: torch.cat([t.to(x[0].device) for t in x], s["axis"]),
    "Range": lambda x, _: torch.arange(*(t.item() for t in x)),
    "ConstantOfShape": _constant_of_shape,
    "Gather": _gather,
    "Pad": _pad,
    "ReduceMean": _reduce(torch.mean),
    "ReduceSum": _reduce(torch.sum),
    "ScatterND": _scatter,
    "Slice": _slice,
    "Split": _split,
    "Squeeze": _squeeze,
    "Unsqueeze": _unsqueeze,
    "Where": _where,
}
