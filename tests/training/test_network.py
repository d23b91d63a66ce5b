"""The network is Moonshine's encoder, the losses are true sums, and graphs run as they should."""

from itertools import product
from pathlib import Path
from random import Random
from typing import Any

import numpy as np
import onnx
import onnxruntime
import pytest
import torch
from onnx import TensorProto, helper, numpy_helper

from training.ear import BLANK, LETTERS, Ear, read_off, spelled
from training.encoder import Encoder, states
from training.export import joined, mean, read, write
from training.graph import Graph
from training.losses import against_rivals, letters
from training.moonshine import encoder_weights, installed
from training.report import changes
from training.speech import Voices, on_processor


def sound(seconds: float = 1.5) -> torch.Tensor:
    noise = torch.randn(int(seconds * 16_000), generator=torch.Generator().manual_seed(1))
    return noise.cumsum(0).sin() * 0.3


@pytest.fixture(scope="module")
def encoder() -> Encoder:
    made = Encoder().eval()
    made.load_state_dict(encoder_weights(installed()))
    return made


@torch.inference_mode()
def test_the_encoder_gives_what_onnxruntime_gives_for_the_wheels_own_file(encoder: Encoder) -> None:
    """The file multiplies in eight bits, so the two agree but not to the last place."""
    wave = sound()[None]
    session = onnxruntime.InferenceSession(str(installed()))
    given = {"input_values": wave.numpy(), "attention_mask": np.ones(wave.shape, np.int64)}
    (wanted,) = session.run(None, given)
    found = encoder(wave, torch.tensor([wave.shape[1]])).numpy()
    assert found.shape == wanted.shape
    assert np.corrcoef(found.ravel(), wanted.ravel())[0, 1] > 0.998


@torch.inference_mode()
def test_a_sound_is_heard_the_same_alone_and_in_a_longer_batch(encoder: Encoder) -> None:
    wave = sound()
    alone = encoder(wave[None], torch.tensor([len(wave)]))
    padded = torch.zeros(2, len(wave) + 9000)
    padded[0, : len(wave)] = wave
    samples = torch.tensor([len(wave), padded.shape[1]])
    together = encoder(padded, samples)
    count = int(states(samples)[0])
    assert alone.shape[1] == count
    assert torch.allclose(together[0, :count], alone[0], atol=2e-4)


def test_letters_are_read_off_as_they_were_spelled() -> None:
    text = "it's twelve volts"
    path = [n for letter in spelled(text) for n in (letter, letter, BLANK)]
    scores = torch.nn.functional.one_hot(torch.tensor(path), len(LETTERS)).float()
    assert read_off(scores) == text


def _summed(scores: torch.Tensor, text: list[int]) -> float:
    """Minus the logarithm of the text's probability, by every path there is."""
    total = 0.0
    for path in product(range(scores.shape[1]), repeat=len(scores)):
        kept = [n for before, n in zip((BLANK, *path), path, strict=False) if n != before]
        if [n for n in kept if n != BLANK] == text:
            total += float(np.exp(sum(scores[t, n].item() for t, n in enumerate(path))))
    return -float(np.log(total))


def test_the_losses_are_the_sums_over_all_paths() -> None:
    torch.manual_seed(3)
    scores = torch.randn(1, 5, 4).log_softmax(-1)
    length, text = torch.tensor([5]), [1, 2]
    near = [[1, 3], [2], [2, 2]]
    right = letters(scores, length, [torch.tensor(text)])
    assert float(right) == pytest.approx(_summed(scores[0], text), rel=1e-5)
    shares = np.exp([-_summed(scores[0], t) for t in (text, *near)])
    lost = against_rivals(scores, length, right, [[torch.tensor(n) for n in near]])
    assert float(lost) == pytest.approx(-np.log(shares[0] / shares.sum()), rel=1e-5)
    ahead = against_rivals(scores, length, right, [[torch.tensor(n) for n in near]], margin=2.0)
    shares[1:] *= np.exp(2.0)
    assert float(ahead) == pytest.approx(-np.log(shares[0] / shares.sum()), rel=1e-5)


def test_an_ear_in_two_files_is_the_ear_in_half_precision(tmp_path: Path) -> None:
    ear = Ear()
    pieces = write(ear, tmp_path / "ear.npz", pieces=2)
    joined(pieces, tmp_path / "whole.npz")
    for name, weight in read(tmp_path / "whole.npz").items():
        assert torch.equal(weight, ear.state_dict()[name].half().float())
    assert (tmp_path / "whole.npz").stat().st_size < 20e6


def test_the_mean_of_ears_lies_between_them(tmp_path: Path) -> None:
    ears = [Ear(), Ear()]
    paths = [tmp_path / "one.npz", tmp_path / "other.npz"]
    for ear, path in zip(ears, paths, strict=True):
        write(ear, path)
    mean(paths, tmp_path / "mean.npz")
    middle = (ears[0].head.weight + ears[1].head.weight).detach() / 2
    assert torch.allclose(read(tmp_path / "mean.npz")["head.weight"], middle, atol=1e-3)


def _constant(name: str, values: object, kind: type = np.int64) -> onnx.TensorProto:
    return numpy_helper.from_array(np.array(values, kind), name)


_RANDOM = np.random.default_rng(5)
#: Kind of node, its settings, the shape that goes in, and its other inputs.
NODES: dict[str, tuple[dict[str, Any], tuple[int, ...], list[tuple[str, Any]]]] = {
    "Slice": ({}, (2, 9), [("s", [1]), ("e", [2**62]), ("a", [1]), ("p", [2])]),
    "Gather": ({"axis": 1}, (3, 5), [("i", [[0, -1]])]),
    "Unsqueeze": ({}, (3, 5), [("a", [0, 3])]),
    "Expand": ({}, (3, 1), [("n", [2, 1, 4])]),
    "Reshape": ({}, (2, 6), [("n", [0, 2, -1])]),
    "Softmax": ({"axis": 1}, (2, 5), []),
    "Pad": ({"mode": "reflect"}, (1, 2, 7), [("p", [0, 0, 2, 0, 0, 3])]),
    "ReduceMean": ({"axes": [1], "keepdims": 1}, (2, 4, 3), []),
    "LeakyRelu": ({"alpha": 0.2}, (2, 4), []),
    "CumSum": ({}, (2, 6), [("a", 1)]),
}


@pytest.mark.parametrize("kind", NODES)
def test_a_node_gives_what_onnxruntime_gives(kind: str, tmp_path: Path) -> None:
    settings, shape, others = NODES[kind]
    names = ["x", *(name for name, _ in others)]
    node = helper.make_node(kind, names, ["y"], **settings)
    constants = [_constant(name, values) for name, values in others]
    _compare([node], constants, shape, tmp_path)


def test_convolutions_and_upsampling_give_what_onnxruntime_gives(tmp_path: Path) -> None:
    weight = numpy_helper.from_array(_RANDOM.normal(size=(3, 2, 5)).astype(np.float32), "w")
    up = numpy_helper.from_array(_RANDOM.normal(size=(3, 2, 4)).astype(np.float32), "u")
    scales = numpy_helper.from_array(np.array([1, 1, 3], np.float32), "n")
    nodes = [
        helper.make_node("Conv", ["x", "w"], ["c"], pads=[2, 1], dilations=[1], strides=[2]),
        helper.make_node("ConvTranspose", ["c", "u"], ["t"], strides=[2], pads=[1, 1]),
        helper.make_node("Resize", ["t", "", "n"], ["y"], mode="linear"),
    ]
    _compare(nodes, [weight, up, scales], (1, 2, 20), tmp_path)


def test_a_product_of_eight_bits_is_near_onnxruntimes(tmp_path: Path) -> None:
    weight = numpy_helper.from_array(_RANDOM.integers(0, 255, (6, 4)).astype(np.uint8), "w")
    zero = numpy_helper.from_array(np.array(128, np.uint8), "z")
    nodes = [
        helper.make_node("DynamicQuantizeLinear", ["x"], ["q", "s", "o"]),
        helper.make_node("MatMulInteger", ["q", "w", "o", "z"], ["m"]),
        helper.make_node("Cast", ["m"], ["f"], to=TensorProto.FLOAT),
        helper.make_node("Mul", ["f", "s"], ["y"]),
    ]
    _compare(nodes, [weight, zero], (5, 6), tmp_path, within=0.02)


def test_the_networks_own_runtime_gives_what_the_graph_gives(tmp_path: Path) -> None:
    weight = numpy_helper.from_array(_RANDOM.normal(size=(4, 3)).astype(np.float32), "w")
    given = helper.make_tensor_value_info("tokens", TensorProto.FLOAT, (2, 4))
    made = helper.make_empty_tensor_value_info("y")
    node = helper.make_node("MatMul", ["tokens", "w"], ["y"])
    graph = helper.make_graph([node], "one", [given], [made], [weight])
    model = helper.make_model(graph, opset_imports=[helper.make_opsetid("", 17)], ir_version=8)
    onnx.save(model, str(tmp_path / "one.onnx"))
    tokens = torch.randn(2, 4)
    by_graph = Graph(tmp_path / "one.onnx", "cpu")(tokens=tokens)
    assert torch.allclose(on_processor(tmp_path / "one.onnx")(tokens=tokens), by_graph, atol=1e-6)


def test_some_voices_are_those_of_their_names_and_accents() -> None:
    styles = np.arange(12, dtype=np.float32).reshape(3, 2, 2)
    voices = Voices(("af_one", "bm_two", "zf_three"), styles)
    two = voices.those(lambda name: name != "af_one")
    assert (two.names, voices.accents, two.accents) == (("bm_two", "zf_three"), "ab", "b")
    assert two.pick("b", 2, Random(1)).shape == (1, 2)
    assert np.array_equal(two.styles[0], styles[1])


@pytest.mark.parametrize(
    ("read", "count"), [("volts", 0), ("bolts", 1), ("volt", 1), ("millivolts", 5), ("", 5)]
)
def test_wrong_letters_are_counted_as_the_fewest_changes(read: str, count: int) -> None:
    assert changes("volts", read) == count


def _compare(
    nodes: list[onnx.NodeProto],
    constants: list[onnx.TensorProto],
    shape: tuple[int, ...],
    folder: Path,
    within: float = 1e-5,
) -> None:
    given = helper.make_tensor_value_info("x", TensorProto.FLOAT, shape)
    made = helper.make_empty_tensor_value_info("y")
    graph = helper.make_graph(nodes, "one", [given], [made], constants)
    model = helper.make_model(graph, opset_imports=[helper.make_opsetid("", 17)], ir_version=8)
    onnx.save(model, str(folder / "one.onnx"))
    x = _RANDOM.normal(size=shape).astype(np.float32)
    (wanted,) = onnxruntime.InferenceSession(str(folder / "one.onnx")).run(None, {"x": x})
    found = Graph(folder / "one.onnx", "cpu")(x=torch.from_numpy(x)).numpy()
    assert found.shape == wanted.shape
    assert np.abs(found - wanted).max() <= within * np.abs(wanted).max()
