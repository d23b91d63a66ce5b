"""The weights of the tiny English Moonshine encoder, out of the wheel ``moonshine-voice``.

The file holds them in eight bits; they are turned back into plain numbers.
"""

import hashlib
import re
from collections.abc import Mapping
from pathlib import Path

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor

Arrays = Mapping[str, NDArray[np.generic]]
_TYPES = {1: np.float32, 2: np.uint8, 3: np.int8, 6: np.int32, 7: np.int64, 9: np.bool_}
_KEPT = re.compile(r".*(layernorm|layer_norm)\.weight|layers\.\d+\.mlp\.fc\d\.bias")
_PRODUCT = re.compile(r"/layers\.(\d+)/(self_attn|mlp)/(\w+)/")
#: The file's own names for the two numbers of the group norm.
_GROUP_NORM = {"groupnorm.weight": "onnx::Mul_2080", "groupnorm.bias": "onnx::Add_2081"}


SHA256 = "94e90a4654fc45cdfedb77c4c08e1739f48862998e58fada384b25118134f221"


def installed() -> Path:
    """The encoder's file in the installed wheel."""
    import moonshine_voice

    return Path(moonshine_voice.__file__).parent / "assets" / "tiny-en" / "encoder_model.ort"


def encoder_weights(path: Path) -> dict[str, Tensor]:
    """The weights by the names they have in ``encoder.Encoder``.

    Raises:
        ValueError: the file is not the one that was pinned.
    """
    if hashlib.sha256(path.read_bytes()).hexdigest() != SHA256:
        raise ValueError(f"{path} is not the encoder of moonshine-voice 0.1.0; install that wheel")
    arrays, products = _read(path)
    found: dict[str, NDArray[np.generic]] = {}
    for layer in ("conv1", "conv2", "conv3"):
        fused = f"{layer}.weight_add_tensor"
        found[f"{layer}.weight"] = arrays.get(fused, arrays.get(f"{layer}.weight", np.zeros(0)))
        if f"{layer}.bias" in arrays:
            found[f"{layer}.bias"] = arrays[f"{layer}.bias"]
    found.update({name: arrays[there].reshape(-1) for name, there in _GROUP_NORM.items()})
    found.update({name: array for name, array in arrays.items() if _KEPT.fullmatch(name)})
    for output, base in products:
        match = _PRODUCT.match(output)
        if match:
            name = f"layers.{match[1]}.{match[2]}.{match[3]}.weight"
            found[name] = _plain(arrays, base).T.copy()
    return {name: torch.tensor(array) for name, array in found.items()}


def _plain(arrays: Arrays, base: str) -> NDArray[np.float32]:
    whole, zero, scale = (arrays[base + end] for end in ("_quantized", "_zero_point", "_scale"))
    return (whole.astype(np.float32) - zero.astype(np.float32)) * scale.astype(np.float32)


def _read(path: Path) -> tuple[dict[str, NDArray[np.generic]], list[tuple[str, str]]]:
    """All arrays of the file, and for each product its output and its weight's name."""
    from onnxruntime.tools.ort_format_model.ort_flatbuffers_py.fbs import InferenceSession

    graph = InferenceSession.InferenceSession.GetRootAsInferenceSession(path.read_bytes(), 0)
    graph = graph.Model().Graph()
    arrays = {}
    for tensor in map(graph.Initializers, range(graph.InitializersLength())):
        shape = [tensor.Dims(k) for k in range(tensor.DimsLength())]
        data: NDArray[np.generic] = np.frombuffer(
            tensor.RawDataAsNumpy().tobytes(), _TYPES[tensor.DataType()]
        )
        arrays[tensor.Name().decode()] = data.reshape(shape)
    products = []
    for node in map(graph.Nodes, range(graph.NodesLength())):
        inputs = [node.Inputs(k).decode() for k in range(node.InputsLength())]
        for name in inputs:
            if name.endswith("_quantized") and name in arrays:
                products.append((node.Outputs(0).decode(), name.removesuffix("_quantized")))
    return arrays, products
