"""Teaches the network of guesses further, where no GPU is: a few minutes of one processor.

Run: python -m training.talk.examples OLD.json                     (all that is learned from)
     python -m training.talk.examples NEW.json --of "far-[qrs].tsv"   (what came since)
     python -m training.talk.further NEW.json NET.npz --from talk.npz --replay OLD.json

It begins at the weights that are shipped, in whole numbers as they are. Each step sees new phrases,
old ones (Robins 1995) and some joined from halves of two. What is to be thought of them is a mix of
the label and what the network thought before (Li and Hoiem 2016), so that nothing old is lost. Its
parts of words stay; an intent or a place that came since begins at the mean of the others.
"""

import argparse
import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import torch
from torch import Tensor, nn
from torch.nn import functional

from training.talk.net import (
    DEVICE,
    LAST_RATE_IS,
    Example,
    Net,
    Task,
    Weights,
    arrays_of,
    batched,
    joined,
    labels,
    named,
    read,
)
from voiceassist import resources

Arrays = Mapping[str, np.ndarray]
_DROP, _WARM_UP, _TOGETHER = 0.05, 30, 32


@dataclass(frozen=True, slots=True)
class Plan:
    """How it is taught.

    Parts:
        epochs: how often the new phrases are seen.
        rate: of learning; the last layer learns faster.
        faster: how much.
        new, old, joins: phrases of each kind in a step.
        label: the share of the label in what is to be thought of a new phrase.
        old_label: the same for an old one.
        seed: of all chance.
    """

    epochs: int = 3
    rate: float = 1.5e-4
    faster: float = 2.0
    new: int = 48
    old: int = 56
    joins: int = 24
    label: float = 0.7
    old_label: float = 0.3
    seed: int = 1


def lines(stored: np.ndarray) -> list[str]:
    """The names that an array holds."""
    return bytes(stored).decode().split("\n")


def grown(names: Sequence[str], used: set[str]) -> list[str]:
    """The names known before, each in its place, then the new ones."""
    return [*names, *sorted(used - set(names))]


def plain(arrays: Arrays) -> Weights:
    """The weights of a written network under the names of the one that it began at."""
    order = _float(arrays, "order")
    found = {
        "embeddings.word_embeddings.weight": _float(arrays, "pieces"),
        "embeddings.position_embeddings.weight": order,
        "embeddings.token_type_embeddings.weight": torch.zeros_like(order[:1]),
        "embeddings.LayerNorm.weight": _float(arrays, "begin"),
        "embeddings.LayerNorm.bias": _float(arrays, "begin.bias"),
    }
    for number in range(_layers(arrays)):
        for part, end in (("weight", ""), ("bias", ".bias")):
            of = {n: _float(arrays, f"{number}.{n}{end}") for n in ("o", "seen", "f", "g", "end")}
            of |= zip("qkv", _float(arrays, f"{number}.qkv{end}").chunk(3), strict=True)
            found |= {named(number, name, part): value for name, value in of.items()}
    return found


def _layers(arrays: Arrays) -> int:
    return sum(name.endswith(".qkv") for name in arrays)


def _float(arrays: Arrays, name: str) -> Tensor:
    value = torch.from_numpy(arrays[name].astype(np.float32))
    scale = arrays.get(f"{name}.scale")
    return value if scale is None else value * torch.from_numpy(scale.astype(np.float32))[:, None]


def restored(arrays: Arrays, task: Task) -> Net:
    """The network as it was written, with room for all intents and places of the task."""
    net = Net(plain(arrays), range(len(task.known)), task, range(_layers(arrays)), _DROP)
    with torch.no_grad():
        net.place.copy_(_lengthened(_float(arrays, "place"), len(task.places)))
        net.out.weight.copy_(_lengthened(_float(arrays, "out"), len(task.intents)))
        net.out.bias.copy_(_lengthened(_float(arrays, "out.bias"), len(task.intents)))
    return net.to(DEVICE).eval()


def _lengthened(rows: Tensor, number: int) -> Tensor:
    """With as many rows as told, the new ones the mean of the others."""
    return torch.cat([rows, rows.mean(0, keepdim=True).repeat_interleave(number - len(rows), 0)])


def task_of(arrays: Arrays, new: Sequence[Example], old: Sequence[Example]) -> Task:
    """The parts of words are those of the network, the names all that it or an example has."""
    every = [*new, *old]
    return Task(
        old,
        grown(lines(arrays["intents"]), {name for each in every for name in each.intents}),
        grown(lines(arrays["places"]), {each.where for each in every}),
        {piece: at for at, piece in enumerate(lines(arrays["vocabulary"]))},
    )


class Course:
    """The way of a network through the new phrases and some of the old."""

    def __init__(
        self, arrays: Arrays, new: Sequence[Example], old: Sequence[Example], plan: Plan
    ) -> None:
        self.task = task_of(arrays, new, old)
        self.net, self._before = restored(arrays, self.task), restored(arrays, self.task)
        self._known = len(lines(arrays["intents"]))
        self._new, self._old, self._all, self._plan = new, old, [*new, *old], plan
        self._rng = random.Random(plan.seed)

    def run(self) -> Net:
        """The network, taught."""
        plan = self._plan
        torch.manual_seed(plan.seed)
        steps = plan.epochs * -(-len(self._new) // plan.new)
        optimizer = torch.optim.AdamW(faster_at_its_end(self.net, plan), weight_decay=0.01)
        schedule = torch.optim.lr_scheduler.LambdaLR(
            optimizer, lambda at: min((at + 1) / _WARM_UP, 1) * max(LAST_RATE_IS, 1 - at / steps)
        )
        self.net.train()
        for _ in range(plan.epochs):
            order = self._rng.sample(self._new, len(self._new))
            for at in range(0, len(order), plan.new):
                optimizer.zero_grad(set_to_none=True)
                self._learn(order[at : at + plan.new])
                nn.utils.clip_grad_norm_(self.net.parameters(), 1.0)
                optimizer.step()
                schedule.step()
        return self.net.eval()

    def _learn(self, new: Sequence[Example]) -> None:
        """Gradients of one step; phrases of about the same length together, which is sooner."""
        plan = self._plan
        old = self._rng.sample(self._old, min(plan.old, len(self._old)))
        some = [(each, plan.label) for each in new] + [(each, plan.old_label) for each in old]
        some += [(each, 0.0) for each in joined(self._all, self._rng, plan.joins)]
        some.sort(key=lambda one: len(one[0].words))
        for at in range(0, len(some), _TOGETHER):
            loss = self.loss(some[at : at + _TOGETHER]) / len(some)
            loss.backward()  # type: ignore[no-untyped-call]

    def loss(self, some: Sequence[tuple[Example, float]]) -> Tensor:
        """How far it is from what is to be thought of phrases with the shares of their labels."""
        examples = [each for each, _ in some]
        share = torch.tensor([share for _, share in some], device=DEVICE)[:, None]
        pieces, where = batched(examples, self.task, self._rng)
        thought = self._thought(pieces, where)
        target = share * labels(examples, self.task) + (1 - share) * thought
        with torch.autocast(DEVICE, dtype=torch.bfloat16):
            scores = self.net(pieces, where).float()
        counts = torch.tensor([each.count for each in examples], device=DEVICE)
        return (-(target * functional.log_softmax(scores, -1)).sum(-1) * counts).sum()

    @torch.no_grad()
    def _thought(self, pieces: Tensor, where: Tensor) -> Tensor:
        """What was thought before, which was nothing of an intent that came since."""
        with torch.autocast(DEVICE, dtype=torch.bfloat16):
            scores = self._before(pieces, where).float()
        scores[:, self._known :] = -torch.inf
        return functional.softmax(scores, -1)


def faster_at_its_end(net: Net, plan: Plan) -> list[dict[str, Any]]:
    """The weights in two groups; the last layer and the places learn faster."""
    end = [p for name, p in net.named_parameters() if name.startswith(("out", "place"))]
    rest = [p for name, p in net.named_parameters() if not name.startswith(("out", "place"))]
    return [{"params": rest, "lr": plan.rate}, {"params": end, "lr": plan.rate * plan.faster}]


def main() -> None:
    """Teach, and write the network."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("new", type=Path)
    parser.add_argument("net", type=Path)
    parser.add_argument("--from", dest="old", type=Path, required=True, help="the network so far")
    parser.add_argument("--replay", type=Path, required=True, help="all that it has learned from")
    options = parser.parse_args()
    new, replay = read(options.new), read(options.replay)
    fresh = set(new)
    course = Course(
        resources.arrays(options.old), new, [e for e in replay if e not in fresh], Plan()
    )
    np.savez(options.net, **arrays_of(course.run(), course.task))  # type: ignore[arg-type]


if __name__ == "__main__":
    main()
