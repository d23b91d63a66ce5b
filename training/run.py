"""The run that teaches the ear, by the clock: so many seconds, then it keeps what it has."""

import math
import time
from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

import torch
from torch import Tensor, nn

from training.batches import LENGTHS_S, Clips
from training.chance import Chance
from training.ear import Ear, spelled
from training.encoder import Encoder, states
from training.losses import against_rivals, distance, letters
from training.machines import remade
from training.rivals import rivals
from training.rooms import placed

_RIVALS = 8
_NOTHING = torch.zeros(0, dtype=torch.long)


@dataclass(frozen=True, slots=True)
class Plan:
    """How a run goes.

    Parts:
        seconds: how long it runs; ``steps`` ends it sooner.
        steps: the most steps.
        batch_s: seconds of sound in a batch.
        rate: the learning rate of the head; the encoder learns at half of it.
        hold: weight of the distance to the untouched encoder.
        rivals_from: share of the run after which rivals are weighed too.
        rivals_weight: how much they weigh.
        margin: nats that they are given ahead, so that they fall far behind where it is quiet.
        warm_up: steps until the rate is reached.
        frozen: whether the encoder stays as it is, so that a step takes less than half the time.
        machines: the share of clips that a machine says again.
        seed: of all chance.
    """

    seconds: float
    steps: int = 10**9
    batch_s: float = 700.0
    rate: float = 4e-4
    hold: float = 20.0
    rivals_from: float = 0.6
    rivals_weight: float = 1.0
    margin: float = 0.0
    warm_up: int = 300
    frozen: bool = False
    machines: float = 0.25
    seed: int = 1


@dataclass(slots=True)
class Run:
    """A run as it goes.

    Parts:
        ear: what learns.
        taught: the untouched encoder.
        clips: what is heard.
        plan: how the run goes.
        device: where it runs.
        step: how many steps are done.
        told: means of the losses, every so many steps.
        near: rivals of the texts met so far.
    """

    ear: Ear
    taught: Encoder
    clips: Clips
    plan: Plan
    device: str
    step: int = 0
    told: list[dict[str, float]] = field(default_factory=list)
    near: dict[str, list[Tensor]] = field(default_factory=dict)

    def go(self) -> None:
        """Learn until the time is over."""
        chance, rng = Chance.seeded(self.plan.seed, self.device), Random(self.plan.seed)
        torch.manual_seed(self.plan.seed)
        optimiser = self._optimiser()
        start, since = time.monotonic(), 0
        sums: dict[str, Tensor] = {}
        while self.step < self.plan.steps:
            done = (time.monotonic() - start) / self.plan.seconds
            done = max(done, self.step / self.plan.steps)
            if done >= 1:
                break
            self._set_rate(optimiser, done)
            parts = self._losses(chance, rng, weighed=done >= self.plan.rivals_from)
            loss = self._total(parts)
            optimiser.zero_grad(set_to_none=True)
            loss.backward()  # type: ignore[no-untyped-call]
            nn.utils.clip_grad_norm_(self.ear.parameters(), 5.0)
            optimiser.step()
            self.step += 1
            since += 1
            sums = {name: sums.get(name, 0) + part.detach() for name, part in parts.items()}
            if since == (200 if self.device == "cuda" else 5):
                self._tell(time.monotonic() - start, sums, since)
                sums, since = {}, 0

    def _losses(self, chance: Chance, rng: Random, *, weighed: bool) -> dict[str, Tensor]:
        group = self.clips.group(chance)
        count = max(2, int(self.plan.batch_s / LENGTHS_S[group]))
        chosen = self.clips.pick(group, count, chance)
        voices, samples = self.clips.voices(chosen, group, chance)
        room = placed(remade(voices, chance, self.plan.machines), samples, chance, voices)
        with torch.autocast(self.device, torch.bfloat16, enabled=self.device == "cuda"):
            heard, scores = self.ear(room.noisy, samples)
        scores, length = scores.float().log_softmax(-1), states(samples)
        numbers = [
            None if silent else number
            for number, silent in zip(chosen.tolist(), room.silent.tolist(), strict=True)
        ]
        targets = [_NOTHING if n is None else self.clips.letters[n] for n in numbers]
        each = letters(scores, length, targets)
        parts = {"letters": each.mean()}
        if not self.plan.frozen:
            parts["distance"] = distance(heard, self._taught(room.clean, samples), length)
        if weighed:
            near = [self._near(n, targets, rng) for n in numbers]
            behind = against_rivals(scores, length, each, near, self.plan.margin)
            parts["rivals"] = behind.clamp(max=20 + self.plan.margin).mean()
        return parts

    @torch.no_grad()
    def _taught(self, clean: Tensor, samples: Tensor) -> Tensor:
        with torch.autocast(self.device, torch.bfloat16, enabled=self.device == "cuda"):
            wanted: Tensor = self.taught(clean, samples)
        return wanted

    def _near(self, number: int | None, targets: list[Tensor], rng: Random) -> list[Tensor]:
        """Rivals of a clip's text; others of the batch where it has too few of its own."""
        own = _NOTHING if number is None else self.clips.letters[number]
        known = [] if number is None else self._rivals_of(self.clips.texts[number], rng)
        found = rng.sample(known, _RIVALS) if len(known) > _RIVALS else list(known)
        while len(found) < _RIVALS:
            other = rng.choice(targets)
            if len(other) and not torch.equal(other, own):
                found.append(other)
        return found

    def _rivals_of(self, text: str, rng: Random) -> list[Tensor]:
        if text not in self.near:
            self.near[text] = [torch.tensor(spelled(r)) for r in rivals(text, 3 * _RIVALS, rng)]
        return self.near[text]

    def _total(self, parts: Mapping[str, Tensor]) -> Tensor:
        weights = {"distance": self.plan.hold, "rivals": self.plan.rivals_weight}
        return torch.stack([weights.get(name, 1.0) * part for name, part in parts.items()]).sum()

    def _optimiser(self) -> torch.optim.Optimizer:
        head = [p for n, p in self.ear.named_parameters() if not n.startswith("enc.")]
        groups = [
            {"params": list(self.ear.enc.parameters()), "share": 0.5},
            {"params": head, "share": 1.0},
        ]
        return torch.optim.AdamW(groups, lr=self.plan.rate, weight_decay=0.01, betas=(0.9, 0.98))

    def _set_rate(self, optimiser: torch.optim.Optimizer, done: float) -> None:
        """Rise, then fall as half a cosine, to a hundredth."""
        rise = min(1.0, (self.step + 1) / self.plan.warm_up)
        fall = 0.5 + 0.5 * math.cos(math.pi * min(1.0, done))
        for group in optimiser.param_groups:
            group["lr"] = self.plan.rate * group["share"] * (rise * fall * 0.99 + 0.01)

    def _tell(self, seconds: float, sums: Mapping[str, Tensor], count: int) -> None:
        self.told.append({name: float(total) / count for name, total in sums.items()})
        line = " ".join(f"{name} {mean:.4f}" for name, mean in self.told[-1].items())
        print(f"{self.step} {seconds:.0f} s {line}", flush=True)


def begin(
    clips: Clips,
    untouched: Mapping[str, Tensor],
    plan: Plan,
    device: str,
    start: Path | None = None,
) -> Run:
    """A run from the untouched encoder, or from an ear that another run has made."""
    ear, taught = Ear(), Encoder()
    taught.load_state_dict(dict(untouched))
    ear.enc.load_state_dict(deepcopy(dict(untouched)))
    if start is not None:
        from training.export import read

        ear.load_state_dict(read(start))
    taught.eval().requires_grad_(False)
    ear.enc.requires_grad_(not plan.frozen)
    return Run(ear.to(device).train(), taught.to(device), clips, plan, device)
