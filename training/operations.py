"""The operations of a speech network's graph, each as a function of torch tensors.

Weights of eight bits are used as the plain numbers they stand for, and the sound that runs
through is never rounded to eight bits: what comes out is what the network's authors had before
they made it small, or nearer to it.
"""

import math
from collections.abc import Callable, Mapping
from typing import Any

import torch
from torch import Tensor
from torch.nn import functional

Settings = Mapping[str, Any]
Operation = Callable[[list[Any], Settings], Any]

_TYPES = {1: torch.float32, 6: torch.int32, 7: torch.int64, 9: torch.bool, 2: torch.uint8}
_NOWHERE = 2**31


def _together(a: Tensor, b: Tensor) -> tuple[Tensor, Tensor]:
    """Both on the accelerator when one is; the small numbers of shapes stay where they are."""
    if a.device == b.device:
        return a, b
    place = a.device if b.device.type == "cpu" else b.device
    return a.to(place), b.to(place)


def _binary(function: Callable[[Tensor, Tensor], Tensor]) -> Operation:
    def run(x: list[Any], _: Settings) -> Tensor:
        return function(*_together(x[0], x[1]))

    return run


def _unary(function: Callable[[Tensor], Tensor]) -> Operation:
    return lambda x, _: function(x[0])


def _angle(slope: Tensor) -> Tensor:
    """The angle of a slope; in silence the slope is nothing by nothing, and the angle none."""
    return torch.atan(torch.nan_to_num(slope, nan=0.0, posinf=None, neginf=None))


def _divide(a: Tensor, b: Tensor) -> Tensor:
    whole = not a.is_floating_point()
    return torch.div(a, b, rounding_mode="trunc" if whole else None)


def _shape(wanted: list[int], given: Tensor) -> list[int]:
    return [given.shape[i] if n == 0 else n for i, n in enumerate(wanted)]


def _slice(x: list[Any], _: Settings) -> Tensor:
    data, starts, ends = x[0], x[1].tolist(), x[2].tolist()
    axes = x[3].tolist() if len(x) > 3 and x[3] is not None else list(range(len(starts)))
    steps = x[4].tolist() if len(x) > 4 and x[4] is not None else [1] * len(starts)
    cut = [slice(None)] * data.dim()
    for start, end, axis, step in zip(starts, ends, axes, steps, strict=True):
        cut[axis] = slice(start, None if end > _NOWHERE else end, step)
    return data[tuple(cut)]


def _gather(x: list[Any], s: Settings) -> Tensor:
    data, index, axis = x[0], x[1], s.get("axis", 0)
    if index.dim() == 0 and index.device.type == "cpu":
        return data.select(axis, int(index))
    index = torch.where(index < 0, index + data.shape[axis], index).to(data.device)
    found = data.index_select(axis, index.reshape(-1))
    return found.reshape(*data.shape[:axis], *index.shape, *data.shape[axis + 1 :])


def _axes(x: list[Any], s: Settings) -> list[int]:
    return x[1].tolist() if len(x) > 1 else list(s["axes"])


def _unsqueeze(x: list[Any], s: Settings) -> Tensor:
    data, axes = x[0], _axes(x, s)
    rank = data.dim() + len(axes)
    for axis in sorted(a % rank for a in axes):
        data = data.unsqueeze(axis)
    return data


def _squeeze(x: list[Any], s: Settings) -> Tensor:
    return x[0].squeeze(tuple(_axes(x, s)))


def _split(x: list[Any], s: Settings) -> tuple[Tensor, ...]:
    return torch.split(x[0], x[1].tolist(), s.get("axis", 0))


def _reduce(function: Callable[..., Tensor]) -> Operation:
    def run(x: list[Any], s: Settings) -> Tensor:
        return function(x[0], _axes(x, s), keepdim=bool(s.get("keepdims", 1)))

    return run


def _padding(s: Settings) -> tuple[int, int]:
    left, right = s.get("pads", [0, 0])
    return left, right


def _convolve(x: list[Any], s: Settings) -> Tensor:
    left, right = _padding(s)
    data = functional.pad(x[0], (left, right)) if left != right else x[0]
    return functional.conv1d(
        data,
        x[1],
        x[2] if len(x) > 2 else None,
        stride=s.get("strides", [1]),
        padding=left if left == right else 0,
        dilation=s.get("dilations", [1]),
        groups=s.get("group", 1),
    )


def _convolve_whole(x: list[Any], s: Settings) -> Tensor:
    """A convolution with a weight of whole numbers; what zero stands for is taken off first."""
    weight = x[1].float() - (x[3].float() if len(x) > 3 else 0)
    return _convolve([x[0], weight], s)


def _multiply_whole(x: list[Any], _: Settings) -> Tensor:
    weight = x[1].float() - (x[3].float() if len(x) > 3 else 0)
    return torch.matmul(x[0], weight)


def _unconvolve(x: list[Any], s: Settings) -> Tensor:
    left, right = _padding(s)
    if left != right:
        raise ValueError(f"padding {left} and {right} differ, which no known network wants")
    return functional.conv_transpose1d(
        x[0],
        x[1],
        x[2] if len(x) > 2 else None,
        stride=s.get("strides", [1]),
        padding=left,
        output_padding=s.get("output_padding", [0]),
        groups=s.get("group", 1),
        dilation=s.get("dilations", [1]),
    )


def _layer_norm(x: list[Any], s: Settings) -> Tensor:
    bias = x[2] if len(x) > 2 else None
    return functional.layer_norm(x[0], x[1].shape, x[1], bias, s.get("epsilon", 1e-5))


def _skip_layer_norm(x: list[Any], s: Settings) -> tuple[Tensor, None, None, Tensor]:
    """The sum of two branches, then the norm; inputs are data, branch, scale, shift and bias."""
    total = x[0] + x[1] + (x[4] if len(x) > 4 and x[4] is not None else 0)
    norm = functional.layer_norm(total, x[2].shape, x[2], x[3], s.get("epsilon", 1e-12))
    return norm, None, None, total


def _fast_gelu(x: list[Any], _: Settings) -> Tensor:
    data = x[0] + x[1] if len(x) > 1 and x[1] is not None else x[0]
    return functional.gelu(data, approximate="tanh")


def _fused_matmul(x: list[Any], s: Settings) -> Tensor:
    a = x[0].transpose(-1, -2) if s.get("transA") else x[0]
    b = x[1].transpose(-1, -2) if s.get("transB") else x[1]
    return torch.matmul(a, b) * s.get("alpha", 1.0)


def _resize(x: list[Any], s: Settings) -> Tensor:
    scale = x[2].tolist()[-1]
    size = math.floor(x[0].shape[-1] * scale)
    if s["mode"] == "nearest":
        return functional.interpolate(x[0], size=size, mode="nearest")
    return functional.interpolate(x[0], scale_factor=scale, mode="linear", align_corners=False)


def _pad(x: list[Any], s: Settings) -> Tensor:
    pads = x[1].tolist()
    rank = len(pads) // 2
    both = [n for axis in reversed(range(rank)) for n in (pads[axis], pads[axis + rank])]
    while len(both) > 2 and both[-2:] == [0, 0]:
        both = both[:-2]
    if s.get("mode", "constant") != "reflect":
        return functional.pad(x[0], both)
    data = x[0] if x[0].dim() > 1 else x[0][None]
    return functional.pad(data, both, mode="reflect").reshape(*x[0].shape[:-1], -1)


def _stft(x: list[Any], _: Settings) -> Tensor:
    sound, step, window = x[0].reshape(x[0].shape[0], -1), int(x[1]), x[2]
    frames = sound.unfold(-1, len(window), step) * window
    return torch.view_as_real(torch.fft.rfft(frames))


def _scatter(x: list[Any], _: Settings) -> Tensor:
    data = x[0].clone()
    data[tuple(x[1].unbind(-1))] = x[2]
    return data


def _where(x: list[Any], _: Settings) -> Tensor:
    place = next((t.device for t in x if t.device.type != "cpu"), x[0].device)
    return torch.where(*(t.to(place) for t in x))


def _constant_of_shape(x: list[Any], s: Settings) -> Tensor:
    value = s.get("value")
    if value is None:
        return torch.zeros(x[0].tolist())
    return torch.full(x[0].tolist(), value.item(), dtype=value.dtype)


def _clip(x: list[Any], _: Settings) -> Tensor:
    low, high = ((*x[1:], None, None))[:2]
    return torch.clamp(x[0], None if low is None else low.item(), None if high is None else high.item())


OPERATIONS: Mapping[str, Operation] = {
    "Add": _binary(torch.add),
    "Sub": _binary(torch.sub),
    "Mul": _binary(torch.mul),
    "Div": _binary(_divide),
    "Pow": _binary(torch.pow),
    "Equal": _binary(torch.eq),
    "Greater": _binary(torch.gt),
    "GreaterOrEqual": _binary(torch.ge),
    "Less": _binary(torch.lt),
    "And": _binary(torch.logical_and),
    "MatMul": _binary(torch.matmul),
    "Sqrt": _unary(torch.sqrt),
    "Floor": _unary(torch.floor),
    "Round": _unary(torch.round),
    "Sin": _unary(torch.sin),
    "Cos": _unary(torch.cos),
    "Exp": _unary(torch.exp),
    "Atan": _unary(_angle),
    "Tanh": _unary(torch.tanh),
    "Sigmoid": _unary(torch.sigmoid),
    "NonZero": _unary(lambda x: torch.nonzero(x).t()),
    "Shape": lambda x, _: torch.tensor(x[0].shape),
    "Cast": lambda x, s: x[0].to(_TYPES[s["to"]]),
    "Transpose": lambda x, s: x[0].permute(*s["perm"]),
    "Reshape": lambda x, _: x[0].reshape(_shape(x[1].tolist(), x[0])),
    "Expand": lambda x, _: x[0].expand(torch.broadcast_shapes(x[0].shape, tuple(x[1].tolist()))),
    "Concat": lambda x, s: torch.cat([t.to(x[0].device) for t in x], s["axis"]),
    "Softmax": lambda x, s: torch.softmax(x[0], s.get("axis", -1)),
    "LeakyRelu": lambda x, s: functional.leaky_relu(x[0], s.get("alpha", 0.01)),
    "CumSum": lambda x, _: torch.cumsum(x[0], int(x[1])),
    "Range": lambda x, _: torch.arange(*(t.item() for t in x)),
    "DequantizeLinear": lambda x, _: (x[0].float() - x[2].float()) * x[1],
    "Clip": _clip,
    "ConstantOfShape": _constant_of_shape,
    "Conv": _convolve,
    "ConvInteger": _convolve_whole,
    "ConvTranspose": _unconvolve,
    "FastGelu": _fast_gelu,
    "FusedMatMul": _fused_matmul,
    "Gather": _gather,
    "LayerNormalization": _layer_norm,
    "MatMulInteger": _multiply_whole,
    "Pad": _pad,
    "ReduceMean": _reduce(torch.mean),
    "ReduceSum": _reduce(torch.sum),
    "Resize": _resize,
    "STFT": _stft,
    "ScatterND": _scatter,
    "SkipLayerNormalization": _skip_layer_norm,
    "Slice": _slice,
    "Split": _split,
    "Squeeze": _squeeze,
    "Unsqueeze": _unsqueeze,
    "Where": _where,
}
