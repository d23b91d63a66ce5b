"""The network in numpy, against the engine that its encoder's ancestor was made for."""

import os
import subprocess
import sys
from math import erf, sqrt
from typing import Any

import numpy as np
import pytest

from voiceassist.recognise.ear import network
from voiceassist.recognise.ear.network import SHORTEST, LetterNetwork
from voiceassist.recognise.ear.shape import LAYERS, SIGNS
from voiceassist.recognise.ear.weights import FILE, SHA256, Floats, read_weights


@pytest.fixture(scope="module")
def made() -> LetterNetwork:
    return LetterNetwork(read_weights(FILE, SHA256))


def noise(samples: int) -> Floats:
    return (np.random.default_rng(4).standard_normal(samples) * 0.1).astype(np.float32)


@pytest.mark.parametrize("samples", [SHORTEST, SHORTEST + 1, 16_000, 36_800])
def test_each_moment_has_a_probability_for_each_sign(made: LetterNetwork, samples: int) -> None:
    logs = made.letters(noise(samples))
    assert logs.shape[1] == len(SIGNS)
    assert np.allclose(np.exp(logs).sum(axis=1), 1, atol=1e-5)
    # windows and steps of the three convolutions, in turn
    first = (samples - 127) // 64 + 1
    assert len(logs) == ((first - 7) // 3 + 1 - 3) // 2 + 1


def test_a_long_sound_is_heard_in_parts_as_if_at_once(
    made: LetterNetwork, monkeypatch: pytest.MonkeyPatch
) -> None:
    sound = noise(64_000)
    whole = made.letters(sound)
    monkeypatch.setattr(network, "_AT_ONCE", 7)
    assert np.allclose(made.letters(sound), whole, atol=1e-3)


@pytest.mark.parametrize("order", ["voiceassist, numpy", "numpy, voiceassist"])
def test_its_sums_have_one_thread(order: str) -> None:
    counted = (
        f"import {order}, threadpoolctl;"
        "print({each['num_threads'] for each in threadpoolctl.threadpool_info()})"
    )
    plain = {name: each for name, each in os.environ.items() if "THREADS" not in name}
    done = subprocess.run(
        [sys.executable, "-c", counted], env=plain, check=True, capture_output=True, text=True
    )
    assert done.stdout.strip() == "{1}"


def test_the_curve_of_its_neurons_is_right() -> None:
    """GELU by its definition (Hendrycks and Gimpel 2016), with the error function of C99."""
    at = np.linspace(-12, 12, 10_001).astype(np.float32)
    due = [x * (1 + erf(x / sqrt(2))) / 2 for x in at.tolist()]
    assert np.abs(network._gelu(at) - due).max() < 1e-4


def test_it_agrees_with_the_same_layers_in_a_well_known_library(made: LetterNetwork) -> None:
    """torch, whose layers the weights were trained in."""
    torch = pytest.importorskip("torch")
    weights = {name: torch.from_numpy(array) for name, array in read_weights(FILE, SHA256).items()}
    sound = noise(24_000)
    assert np.allclose(made.letters(sound), _in_torch(torch, weights, sound), atol=2e-2)


def _in_torch(torch: Any, weights: dict[str, Any], sound: Floats) -> Any:  # noqa: ANN401
    functional = torch.nn.functional
    rows = torch.tanh(
        functional.conv1d(
            torch.from_numpy(sound)[None, None], weights["enc.conv1.weight"], stride=64
        )
    )
    rows = functional.group_norm(
        rows, 1, weights["enc.groupnorm.weight"], weights["enc.groupnorm.bias"], 1e-5
    )
    for name, step in (("conv2", 3), ("conv3", 2)):
        rows = functional.gelu(
            functional.conv1d(
                rows, weights[f"enc.{name}.weight"], weights[f"enc.{name}.bias"], step
            )
        )
    rows = rows[0].T
    angles = torch.outer(
        torch.arange(len(rows)).float(), 1 / 10000 ** (torch.arange(0, 32, 2).float() / 32)
    )
    angles = angles.repeat_interleave(2, -1)

    def normal(x: Any, name: str) -> Any:  # noqa: ANN401
        return functional.layer_norm(x, (288,), weights[name])

    def turned(x: Any) -> Any:  # noqa: ANN401
        pairs, rest = x[..., :32], x[..., 32:]
        half = torch.stack((-pairs[..., 1::2], pairs[..., 0::2]), -1).flatten(-2)
        return torch.cat((pairs * angles.cos() + half * angles.sin(), rest), -1)

    for layer in LAYERS:
        if layer == "top.0":
            rows = normal(rows, "enc.layer_norm.weight")
        x = normal(rows, f"{layer}.input_layernorm.weight")
        q, k, v = (
            (x @ weights[f"{layer}.self_attn.{part}_proj.weight"].T)
            .view(len(rows), 8, 36)
            .transpose(0, 1)
            for part in "qkv"
        )
        mixed = functional.scaled_dot_product_attention(turned(q), turned(k), v)
        rows = (
            rows
            + mixed.transpose(0, 1).reshape(len(rows), 288)
            @ weights[f"{layer}.self_attn.o_proj.weight"].T
        )
        x = normal(rows, f"{layer}.post_attention_layernorm.weight")
        x = functional.gelu(
            x @ weights[f"{layer}.mlp.fc1.weight"].T + weights[f"{layer}.mlp.fc1.bias"]
        )
        rows = rows + x @ weights[f"{layer}.mlp.fc2.weight"].T + weights[f"{layer}.mlp.fc2.bias"]
    rows = normal(rows, "norm.weight") @ weights["head.weight"].T + weights["head.bias"]
    return rows.log_softmax(-1).numpy()
