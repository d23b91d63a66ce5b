"""The decoder network of Whisper: from the encoded sound and the tokens so far to the next token.

Radford et al., "Robust Speech Recognition via Large-Scale Weak Supervision" (2022): layers that
normalise first, attend to the tokens so far, then to the sound, then pass a network of two
layers; the output shares its weights with the embedding of tokens.

It is worked out here, and not by the library that encodes the sound, since that one cannot be
held to a grammar: it gives whole texts only, and not what may come next.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from voiceassist.recognise.whisper.weights import Floats

Whole = NDArray[np.intp]
#: Keys and values of each layer, shape (heads, frames, size of a head) each.
Memory = Sequence[tuple[Floats, Floats]]

_EPSILON = np.float32(1e-5)  # of the layers that normalise


@dataclass(frozen=True, slots=True)
class Network:
    """The decoder's weights.

    Parts:
        weights: by name, as in the model file; matrices are (out, in).
        layers, heads: how many.
    """

    weights: Mapping[str, Floats]
    layers: int
    heads: int

    @classmethod
    def of(cls, weights: Mapping[str, Floats]) -> "Network":
        """The network that ``weights`` make.

        Raises:
            KeyError: one is missing.
        """
        tops = {name.split("/")[0] for name in weights} - {"layer_norm"}
        layers = sum(top.startswith("layer_") for top in tops)
        for layer in range(layers):
            for part in ("self_attention/linear_1", "attention/linear_2", "ffn/linear_1"):
                weights[f"layer_{layer}/{part}/weight"]
        return cls(weights, layers, int(weights["num_heads"]))

    @property
    def positions(self) -> int:
        """How many tokens a text can have, with those before it."""
        return len(self.weights["position_encodings/encodings"])

    def memory(self, sound: Floats) -> Memory:
        """What the layers attend to in the encoded ``sound``, shape (frames, width)."""
        found = []
        for layer in range(self.layers):
            both = self.linear(f"layer_{layer}/attention/linear_1", sound)
            keys, values = np.split(self.headed(both[None])[0], 2)
            found.append((np.ascontiguousarray(keys), np.ascontiguousarray(values)))
        return found

    def linear(self, name: str, inputs: Floats) -> Floats:
        """A layer of the kind weight × input + bias."""
        weight = self.weights[f"{name}/weight"]
        # One product for all rows; the library would otherwise make one of each.
        out = inputs.reshape(-1, inputs.shape[-1]) @ weight.T
        bias = self.weights.get(f"{name}/bias")
        if bias is not None:
            out += bias
        return out.reshape(*inputs.shape[:-1], len(weight))

    def normed(self, name: str, inputs: Floats) -> Floats:
        """A layer that makes the mean 0 and the spread 1, then scales."""
        centred = inputs - inputs.mean(axis=-1, keepdims=True)
        spread = np.sqrt((centred * centred).mean(axis=-1, keepdims=True) + _EPSILON)
        out: Floats = centred / spread * self.weights[f"{name}/gamma"]
        return out + self.weights[f"{name}/beta"]

    def headed(self, inputs: Floats) -> Floats:
        """(rows, tokens, parts × width) to (rows, parts × heads, tokens, size of a head)."""
        rows, tokens, _ = inputs.shape
        size = self.weights["embeddings/weight"].shape[1] // self.heads
        return inputs.reshape(rows, tokens, -1, size).transpose(0, 2, 1, 3)


@dataclass(slots=True)
class Decoding:
    """Texts being written side by side, each a row; from several sounds at once.

    Every row is there once for each sound: all rows of the first sound, then all of the second.

    Parts:
        network: that writes.
        memories: of the sounds.
        output: shape (columns, width), the embeddings of the tokens that can come next; at first
            of all.
        ids: shape (columns,), the token each column stands for.
    """

    network: Network
    memories: Sequence[Memory]
    output: Floats = field(init=False)
    ids: Whole = field(init=False)
    _kept: list[tuple[Floats, Floats]] = field(default_factory=list)
    _length: int = 0

    def __post_init__(self) -> None:
        self.output = self.network.weights["embeddings/weight"]
        self.ids = np.arange(len(self.output))

    def narrow(self, output: Floats, ids: Whole) -> None:
        """From now on only the tokens ``ids`` can come next, shape (columns,)."""
        self.output, self.ids = output, ids

    def begin(self, prompt: Sequence[int]) -> Floats:
        """Every text begins with the token ids ``prompt``; may be given bit by bit.

        Returns:
            As ``step`` does, with one row.
        """
        return self._run(np.tile(np.asarray(prompt, dtype=np.intp), (len(self.memories), 1)))

    def step(self, rows: Whole, columns: Whole) -> Floats:
        """Go on from ``rows`` with the tokens of ``columns``, shape (n,) each.

        Returns:
            Log probabilities of the next token, shape (sounds, n, columns).
        """
        before = len(self._kept[0][0]) // len(self.memories)
        all_rows = np.concatenate([rows + before * n for n in range(len(self.memories))])
        self._kept = [(keys[all_rows], values[all_rows]) for keys, values in self._kept]
        tokens = np.tile(self.ids[columns], len(self.memories))
        return self._run(tokens.reshape(-1, 1))

    def _run(self, tokens: Whole) -> Floats:
        net = self.network
        rows, count = tokens.shape
        places = net.weights["position_encodings/encodings"][self._length : self._length + count]
        flow: Floats = net.weights["embeddings/weight"][tokens] + places
        self._length += count
        for layer in range(net.layers):
            name = f"layer_{layer}"
            flow = flow + self._to_tokens(name, layer, flow)
            flow = flow + self._to_sound(name, layer, flow)
            inner = net.linear(f"{name}/ffn/linear_0", net.normed(f"{name}/ffn/layer_norm", flow))
            flow = flow + net.linear(f"{name}/ffn/linear_1", gelu(inner))
        out = net.normed("layer_norm", flow[:, -1]) @ self.output.T
        return log_softmax(out).reshape(len(self.memories), rows // len(self.memories), -1)

    def _to_tokens(self, name: str, layer: int, flow: Floats) -> Floats:
        net, part = self.network, f"{name}/self_attention"
        three = net.headed(net.linear(f"{part}/linear_0", net.normed(f"{part}/layer_norm", flow)))
        queries, keys, values = np.split(three, 3, axis=1)
        if layer < len(self._kept):
            keys = np.concatenate([self._kept[layer][0], keys], axis=2)
            values = np.concatenate([self._kept[layer][1], values], axis=2)
            self._kept[layer] = keys, values
        else:
            self._kept.append((keys, values))
        return net.linear(f"{part}/linear_1", attended(queries, keys, values))

    def _to_sound(self, name: str, layer: int, flow: Floats) -> Floats:
        net, part = self.network, f"{name}/attention"
        asked = net.linear(f"{part}/linear_0", net.normed(f"{part}/layer_norm", flow))
        # The rows of a sound as if they were one text, since they attend to the same sound.
        queries = net.headed(asked.reshape(len(self.memories), -1, asked.shape[-1]))
        mixed = [
            attended(queries[[n]], *(each[None] for each in memory[layer]), causal=False)
            for n, memory in enumerate(self.memories)
        ]
        return net.linear(f"{part}/linear_2", np.concatenate(mixed).reshape(asked.shape))


def attended(queries: Floats, keys: Floats, values: Floats, *, causal: bool = True) -> Floats:
    """Scaled dot-product attention (Vaswani et al. 2017).

    Args:
        queries: shape (rows, heads, tokens, size).
        keys, values: shape (rows, heads, seen, size); the last ``tokens`` of those seen are the
            queries' own.
        causal: a query sees nothing later than itself.

    Returns:
        Shape (rows, tokens, heads × size).
    """
    rows, heads, count, size = queries.shape
    scores = (queries * np.float32(size**-0.5)) @ keys.transpose(0, 1, 3, 2)
    seen = keys.shape[2]
    if causal and count > 1:
        scores += np.triu(np.full((count, seen), -np.inf, np.float32), seen - count + 1)
    scores = np.exp(scores - scores.max(axis=-1, keepdims=True))
    mixed: Floats = (scores / scores.sum(axis=-1, keepdims=True)) @ values
    return mixed.transpose(0, 2, 1, 3).reshape(rows, count, heads * size)


def gelu(x: Floats) -> Floats:
    """x times the chance that a normal deviate is less (Hendrycks and Gimpel 2016)."""
    half = np.float32(0.5)
    return x * (half + half * erf(x * np.float32(0.5**0.5)))


def erf(x: Floats) -> Floats:
    """The error function, within 1e-6 in these short floats.

    Abramowitz and Stegun, Handbook of Mathematical Functions, 7.1.26.
    """
    size: Floats = np.abs(x)
    t: Floats = (1 / (1 + np.float32(0.3275911) * size)).astype(np.float32, copy=False)
    series: Floats = np.zeros_like(x)
    for factor in (1.061405429, -1.453152027, 1.421413741, -0.284496736, 0.254829592):
        series = ((series + np.float32(factor)) * t).astype(np.float32, copy=False)
    found: Floats = np.copysign(1 - series * np.exp(-size * size), x)
    return found


def log_softmax(scores: Floats) -> Floats:
    """Logarithms of the probabilities that ``scores`` stand for, along the last axis."""
    shifted: Floats = scores - scores.max(axis=-1, keepdims=True)
    shifted -= np.log(np.exp(shifted).sum(axis=-1, keepdims=True))
    return shifted
