"""The operations of a speech network's graph, each as a function of torch tensors.

Weights of eight bits are used as the plain numbers they stand for, and the sound that runs
through is never rounded to eight bits: what comes out is what the network's authors had before
they made it small, or nearer to it.
"""

import math
from collections.abc import Callable, Mapping

import torch
from torch import Tensor
from torch.nn import functional

from training.arranging import ARRANGING, Operation, Settings

_TYPES = {1: torch.float32, 6: torch.int32, 7: torch.int64, 9: torch.bool, 2: torch.uint8}


def _together(a: Tensor, b: Tensor) -> tuple[Tensor, Tensor]:
    """Both on the accelerator when one is; the small numbers of shapes stay where they are."""
    if a.device == b.device:
        return a, b
    place = a.device if b.device.type == "cpu" else b.device
    return a.to(place), b.to(place)


def _binary(function: Callable[[Tensor, Tensor], Tensor]) -> Operation:
    def run(x: list[Tensor], _: Settings) -> Tensor:
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


def _padding(s: Settings) -> tuple[int, int]:
    left, right = s.get("pads", [0, 0])
    return left, right


def _convolve(x: list[Tensor], s: Settings) -> Tensor:
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


def _unconvolve(x: list[Tensor], s: Settings) -> Tensor:
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


def _layer_norm(x: list[Tensor], s: Settings) -> Tensor:
    bias = x[2] if len(x) > 2 else None
    return functional.layer_norm(x[0], x[1].shape, x[1], bias, s.get("epsilon", 1e-5))


def _skip_layer_norm(x: list[Tensor], s: Settings) -> tuple[Tensor, None, None, Tensor]:
    """The sum of two branches, then the norm; inputs are data, branch, scale, shift and bias."""
    total = x[0] + x[1] + (x[4] if len(x) > 4 and x[4] is not None else 0)
    norm = functional.layer_norm(total, x[2].shape, x[2], x[3], s.get("epsilon", 1e-12))
    return norm, None, None, total


def _fast_gelu(x: list[Tensor], _: Settings) -> Tensor:
    data = x[0] + x[1] if len(x) > 1 and x[1] is not None else x[0]
    return functional.gelu(data, approximate="tanh")


def _fused_matmul(x: list[Tensor], s: Settings) -> Tensor:
    a = x[0].transpose(-1, -2) if s.get("transA") else x[0]
    b = x[1].transpose(-1, -2) if s.get("transB") else x[1]
    return torch.mul(torch.matmul(a, b), s.get("alpha", 1.0))


def _resize(x: list[Tensor], s: Settings) -> Tensor:
    scale = x[2].tolist()[-1]
    size = math.floor(x[0].shape[-1] * scale)
    if s["mode"] == "nearest":
        return functional.interpolate(x[0], size=size, mode="nearest")
    return functional.interpolate(x[0], scale_factor=scale, mode="linear", align_corners=False)


def _stft(x: list[Tensor], _: Settings) -> Tensor:
    sound, step, window = x[0].reshape(x[0].shape[0], -1), int(x[1]), x[2]
    frames = sound.unfold(-1, len(window), step) * window
    return torch.view_as_real(torch.fft.rfft(frames))


def _clip(x: list[Tensor], _: Settings) -> Tensor:
    low, high = ((*x[1:], None, None))[:2]
    return torch.clamp(
        x[0], None if low is None else low.item(), None if high is None else high.item()
    )


OPERATIONS: Mapping[str, Operation] = {
    **ARRANGING,
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
    "Cast": lambda x, s: x[0].to(_TYPES[s["to"]]),
    "Softmax": lambda x, s: torch.softmax(x[0], s.get("axis", -1)),
    "LeakyRelu": lambda x, s: functional.leaky_relu(x[0], s.get("alpha", 0.01)),
    "CumSum": lambda x, _: torch.cumsum(x[0], int(x[1])),
    "DequantizeLinear": lambda x, _: (x[0].float() - x[2].float()) * x[1],
    "Clip": _clip,
    "Conv": _convolve,
    "ConvTranspose": _unconvolve,
    "FastGelu": _fast_gelu,
    "FusedMatMul": _fused_matmul,
    "LayerNormalization": _layer_norm,
    "Resize": _resize,
    "STFT": _stft,
    "SkipLayerNormalization": _skip_layer_norm,
}
