"""The network: sound to how likely each letter is at each moment.

Three convolutions, eight layers of attention with rotary positions (Su et al. 2021), and a linear
layer to the signs of ``shape.SIGNS``: 41.7 times a second, the log probability of each sign, as
connectionist temporal classification has it (Graves et al. 2006). In plain numpy, on one core.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from voiceassist.recognise.ear.shape import ENCODER_LAYERS, HEADS, LAYERS, TURNED, WIDTH, WINDOWS
from voiceassist.recognise.ear.weights import FILE, SHA256, Floats, Stored, stored_weights

#: So much sound is needed for one answer, in samples: 0.05 s.
SHORTEST = 127 + 64 * (7 - 1 + 3 * (3 - 1))
_TINY = 1e-5
#: Moments that look at all others at once; a long sound would take much memory otherwise.
_AT_ONCE = 256
_HEAD = WIDTH // HEADS
#: The part of a GELU that is not linear, x times the upper tail of the normal distribution, by
#: the nearest of these places: right to 1e-4, while half-precision weights are right to 5e-4.
_FARTHEST, _PLACES = 8.0, 32_768


def _tails() -> Floats:
    """By Simpson's rule, summed from the far end: ten times as quick as one by one."""
    at = np.linspace(0, _FARTHEST, 2 * _PLACES + 1)
    density = np.exp(-at * at / 2) / math.sqrt(2 * math.pi)
    between = density[:-2:2] + 4 * density[1::2] + density[2::2]
    last = math.erfc(_FARTHEST / math.sqrt(2)) / 2
    parts = np.append(between * (_FARTHEST / _PLACES / 6), last)
    tails: Floats = (at[::2] * parts[::-1].cumsum()[::-1]).astype(np.float32)
    return tails


_TAILS = _tails()


@dataclass(frozen=True, slots=True)
class _Layer:
    """One layer's weights, ready to be multiplied with rows."""

    before: Floats
    inputs: Floats
    output: Floats
    after: Floats
    wider: tuple[Floats, Floats]
    narrower: tuple[Floats, Floats]


class LetterNetwork:
    """Tells letters in sound.

    Args:
        weights: as ``read_weights`` or ``stored_weights`` gives them.
    """

    def __init__(self, weights: Mapping[str, Stored]) -> None:
        self._first = _windowed(weights["enc.conv1.weight"])
        self._second = _windowed(weights["enc.conv2.weight"]), _single(weights["enc.conv2.bias"])
        self._third = _windowed(weights["enc.conv3.weight"]), _single(weights["enc.conv3.bias"])
        self._level = (
            _single(weights["enc.groupnorm.weight"]),
            _single(weights["enc.groupnorm.bias"]),
        )
        self._layers = [_layer(weights, name) for name in LAYERS]
        self._between = _single(weights["enc.layer_norm.weight"])
        self._last = _single(weights["norm.weight"])
        self._head = _single(weights["head.weight"].T), _single(weights["head.bias"])

    def letters(self, sound: Floats) -> Floats:
        """Natural logarithms of the probability of each sign at each moment, shape (moments, 29).

        Args:
            sound: 16 kHz, full scale at 1; ``SHORTEST`` samples or more.
        """
        rows = self._heard(sound)
        turn = _turning(len(rows))
        for number, layer in enumerate(self._layers):
            if number == ENCODER_LAYERS:
                rows = _normal(rows, self._between)
            rows = _through(layer, rows, turn)
        rows = _normal(rows, self._last) @ self._head[0] + self._head[1]
        rows -= rows.max(axis=1, keepdims=True)
        logs: Floats = rows - np.log(np.exp(rows).sum(axis=1, keepdims=True))
        return logs

    def _heard(self, sound: Floats) -> Floats:
        """What the convolutions make of ``sound``, shape (moments, width)."""
        (window, step), *_ = WINDOWS
        rows = np.tanh(sliding_window_view(sound, window)[::step] @ self._first)
        scale, shift = self._level
        rows = (rows - rows.mean()) * (scale / math.sqrt(float(rows.var()) + _TINY)) + shift
        for (weights, bias), (window, step) in zip(
            (self._second, self._third), WINDOWS[1:], strict=True
        ):
            rows = _gelu(_windows(rows, window, step) @ weights + bias)
        heard: Floats = rows
        return heard


@cache
def shipped_network() -> LetterNetwork:
    """The network with the shipped weights, made once in a process.

    Raises:
        RecogniseError: the weights are missing, damaged or of another version.
    """
    return LetterNetwork(stored_weights(FILE, SHA256))


def _single(weights: Stored) -> Floats:
    """In single precision, and row by row in memory."""
    return np.ascontiguousarray(weights, np.float32)


def _windowed(weights: Stored) -> Floats:
    """A convolution's weights as a matrix for the rows of ``_windows``."""
    outputs = weights.shape[0]
    return _single(weights.transpose(2, 1, 0).reshape(-1, outputs))


def _windows(rows: Floats, window: int, step: int) -> Floats:
    """Each ``window`` rows side by side, ``step`` rows apart."""
    rows = np.ascontiguousarray(rows)
    flat = sliding_window_view(rows.reshape(-1), window * rows.shape[1])
    return flat[:: step * rows.shape[1]]


def _layer(weights: Mapping[str, Stored], name: str) -> _Layer:
    def of(part: str) -> Floats:
        return _single(weights[f"{name}.{part}"].T)

    inputs = [of(f"self_attn.{part}_proj.weight") for part in "qkv"]
    inputs[0] = inputs[0] * np.float32(1 / math.sqrt(_HEAD))
    return _Layer(
        before=of("input_layernorm.weight"),
        inputs=np.ascontiguousarray(np.concatenate(inputs, axis=1)),
        output=of("self_attn.o_proj.weight"),
        after=of("post_attention_layernorm.weight"),
        wider=(of("mlp.fc1.weight"), of("mlp.fc1.bias")),
        narrower=(of("mlp.fc2.weight"), of("mlp.fc2.bias")),
    )


def _through(layer: _Layer, rows: Floats, turn: NDArray[np.complex64]) -> Floats:
    count = len(rows)
    parts = (_normal(rows, layer.before) @ layer.inputs).reshape(count, 3, HEADS, _HEAD)
    queries, keys, values = parts.transpose(1, 2, 0, 3)
    queries, keys = _turned(queries, turn), _turned(keys, turn).transpose(0, 2, 1)
    mixed = np.concatenate(
        [_mixed(queries[:, at : at + _AT_ONCE], keys, values) for at in range(0, count, _AT_ONCE)],
        axis=1,
    )
    rows = (
        rows
        + mixed.astype(np.float32, copy=False).transpose(1, 0, 2).reshape(count, WIDTH)
        @ layer.output
    )
    inner = _gelu(_normal(rows, layer.after) @ layer.wider[0] + layer.wider[1])
    through: Floats = rows + inner @ layer.narrower[0] + layer.narrower[1]
    return through


def _mixed(queries: Floats, keys: Floats, values: Floats) -> Floats:
    """For each query the values, each by how well its key fits."""
    fits = queries @ keys
    fits -= fits.max(axis=2, keepdims=True)
    np.exp(fits, out=fits)
    mixed: Floats = (fits @ values) / fits.sum(axis=2, keepdims=True)
    return mixed


def _turning(count: int) -> NDArray[np.complex64]:
    """By how much each pair of a head's numbers turns at each moment, as complex numbers."""
    speeds = 10_000.0 ** (-np.arange(0, TURNED, 2) / TURNED)
    turning: NDArray[np.complex64] = np.exp(1j * np.outer(np.arange(count), speeds)).astype(
        np.complex64
    )
    return turning


def _turned(heads: Floats, turn: NDArray[np.complex64]) -> Floats:
    """``heads``, shape (heads, moments, size), with its pairs turned; the last numbers stay."""
    turned = np.ascontiguousarray(heads)
    pairs = np.ascontiguousarray(turned[..., :TURNED]).view(np.complex64) * turn
    turned[..., :TURNED] = pairs.view(np.float32)
    return turned


def _normal(rows: Floats, weight: Floats) -> Floats:
    rows = rows - rows.mean(axis=1, keepdims=True)
    spread = np.einsum("ij,ij->i", rows, rows)[:, None] / np.float32(WIDTH) + np.float32(_TINY)
    normal: Floats = rows * (weight / np.sqrt(spread))
    return normal


def _gelu(rows: Floats) -> Floats:
    places = np.abs(rows)
    places *= np.float32(_PLACES / _FARTHEST)
    places += np.float32(0.5)
    nearest = np.minimum(places, _PLACES).astype(np.int32)
    gelu: Floats = np.maximum(rows, 0)
    gelu -= _TAILS.take(nearest)
    return gelu
