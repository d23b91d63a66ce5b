"""Runs the graph of an ONNX network in torch, so that a speech network runs on a GPU."""

from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import onnx
import torch
from numpy.typing import NDArray
from onnx import helper, numpy_helper
from torch import Tensor

from training.arranging import Operation, Settings
from training.operations import OPERATIONS

#: Order of the gates i, o, f, c of the file as torch has them: i, f, c, o.
_GATES = (0, 2, 3, 1)


@dataclass(frozen=True, slots=True)
class _Node:
    """One step: the operation, names of what goes in and out, and what is done with after it."""

    run: Operation
    settings: Settings
    inputs: tuple[str, ...]
    outputs: tuple[str, ...]
    spent: tuple[str, ...]


class Graph:
    """An ONNX network as a list of torch steps.

    Parts:
        inputs: the names of what it wants.
        output: the name of the sound that it makes.
    """

    def __init__(self, path: Path, device: str) -> None:
        """Read the file and work out at once all that does not depend on the input."""
        graph = onnx.load(str(path)).graph
        self.device = device
        self.inputs = tuple(i.name for i in graph.input)
        self.output = graph.output[0].name
        self._known: dict[str, Any] = {"": None}
        for tensor in graph.initializer:
            self._known[tensor.name] = self._placed(numpy_helper.to_array(tensor).copy())
        self._nodes = self._with_ends([node for n in graph.node if (node := self._read(n))])

    @torch.inference_mode()
    def __call__(self, **given: Tensor) -> Tensor:
        """The sound for the inputs, which lie on the graph's device."""
        values: dict[str, Any] = dict(given)
        known = self._known
        for node in self._nodes:
            inputs = [values[n] if n in values else known[n] for n in node.inputs]
            results = node.run(inputs, node.settings)
            if not isinstance(results, tuple):
                results = (results,)
            for name, result in zip(node.outputs, results, strict=False):
                values[name] = result
            for name in node.spent:
                values.pop(name, None)
        sound: Tensor = values[self.output]
        return sound

    def _placed(self, array: NDArray[Any]) -> Tensor:
        """Weights go to the device; the few whole numbers of shapes stay with the processor."""
        tensor = torch.from_numpy(array)
        shape_like = tensor.dtype in (torch.int64, torch.int32) and tensor.dim() < 2
        return tensor if shape_like else tensor.to(self.device)

    def _read(self, proto: onnx.NodeProto) -> _Node | None:
        settings = {a.name: _setting(a) for a in proto.attribute}
        inputs, outputs = tuple(proto.input), tuple(proto.output)
        if proto.op_type == "DynamicQuantizeLinear":
            self._known[outputs[1]] = torch.tensor(1.0)
            self._known[outputs[2]] = torch.tensor(0)
            return _Node(lambda x, _: x[0], {}, inputs, outputs[:1], ())
        if proto.op_type == "DynamicQuantizeLSTM":
            return _Node(self._lstm(inputs), {}, inputs[:1], outputs[:1], ())
        if proto.op_type in ("MatMulInteger", "ConvInteger"):
            return self._plain_weight(proto.op_type, settings, inputs, outputs)
        run = OPERATIONS[proto.op_type]
        if all(name in self._known for name in inputs):
            results = run([self._known[n] for n in inputs], settings)
            results = results if isinstance(results, tuple) else (results,)
            self._known.update(zip(outputs, results, strict=False))
            return None
        return _Node(run, settings, inputs, outputs, ())

    def _plain_weight(
        self, kind: str, settings: Settings, inputs: tuple[str, ...], outputs: tuple[str, ...]
    ) -> _Node:
        """A product with a weight of eight bits, turned into plain numbers once and for all."""
        data, weight = inputs[:2]
        plain = weight + " plain"
        if plain not in self._known:
            zero = self._known[inputs[3]].float() if len(inputs) > 3 else 0
            self._known[plain] = self._known[weight].float() - zero
        run = OPERATIONS["MatMul" if kind == "MatMulInteger" else "Conv"]
        return _Node(run, settings, (data, plain), outputs, ())

    def _lstm(self, inputs: tuple[str, ...]) -> Operation:
        """A layer both ways, its weights put in torch's order."""
        forward, across = (self._weight(inputs[k], inputs[8 + 2 * (k - 1)]) for k in (1, 2))
        bias = self._known[inputs[3]]
        hidden = forward.shape[-1] // 4
        layer = torch.nn.LSTM(forward.shape[1], hidden, bidirectional=True).to(self.device)
        layer.requires_grad_(False)
        for k, end in enumerate(("", "_reverse")):
            getattr(layer, "weight_ih_l0" + end).copy_(_gates(forward[k].t()))
            getattr(layer, "weight_hh_l0" + end).copy_(_gates(across[k].t()))
            getattr(layer, "bias_ih_l0" + end).copy_(_gates(bias[k][: 4 * hidden]))
            getattr(layer, "bias_hh_l0" + end).copy_(_gates(bias[k][4 * hidden :]))

        def run(x: list[Any], _: Settings) -> Tensor:
            sound: Tensor = layer(x[0])[0]
            return sound.reshape(*sound.shape[:-1], 2, hidden).transpose(1, 2)

        return run

    def _weight(self, name: str, scale: str) -> Tensor:
        factor = self._known[scale].to(self.device)
        weight: Tensor = self._known[name].float()
        return torch.mul(weight, factor.reshape(factor.shape[0], 1, -1))

    def _with_ends(self, nodes: list[_Node]) -> list[_Node]:
        """Say after each step what no later step wants, so that the memory is free again."""
        left = Counter(name for node in nodes for name in node.inputs)
        left[self.output] += 1
        ended = []
        for node in nodes:
            left.subtract(node.inputs)
            spent = tuple({n for n in (*node.inputs, *node.outputs) if left[n] == 0})
            ended.append(_Node(node.run, node.settings, node.inputs, node.outputs, spent))
        return ended


def _gates(weight: Tensor) -> Tensor:
    return weight.reshape(4, -1, *weight.shape[1:])[list(_GATES)].flatten(0, 1)


def _setting(attribute: onnx.AttributeProto) -> object:
    value: object = helper.get_attribute_value(attribute)
    if isinstance(value, bytes):
        return value.decode()
    if isinstance(value, onnx.TensorProto):
        return torch.from_numpy(numpy_helper.to_array(value).copy())
    return value
