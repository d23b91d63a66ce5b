"""A tiny run learns: two minutes of sound, twenty steps, on the processor alone."""

import subprocess
from pathlib import Path
from random import Random

import numpy as np
import pytest
import soundfile

from training.batches import Clips
from training.clips import RATE_HZ, Shard
from training.export import read, write
from training.moonshine import encoder_weights, installed
from training.numbers import reading
from training.run import Plan, begin
from voiceassist.sound.resample import resampled
from voiceassist.sound.samples import clip_of, samples_of

LEAST_S = 120


def spoken(texts: list[str], folder: Path) -> Shard:
    """Texts by espeak-ng, in its plain voice."""
    sounds = []
    for text in texts:
        path = folder / "said.wav"
        subprocess.run(["espeak-ng", "-s", "130", "-w", str(path), text], check=True)
        samples, rate = soundfile.read(path, dtype="int16")
        sounds.append(np.asarray(samples_of(resampled(clip_of(samples, rate), RATE_HZ))))
    return Shard(tuple(texts), tuple(sounds))


def test_a_frozen_encoder_stays_as_it_is_and_the_letters_learn() -> None:
    noise = np.random.default_rng(1).normal(size=(3, RATE_HZ)) * 3000
    shard = Shard(("one", "two", "off"), tuple(each.astype(np.int16) for each in noise))
    plan = Plan(seconds=60, steps=2, batch_s=5.2, rate=1e-3, rivals_from=0, frozen=True)
    run = begin(Clips.gather([shard], "cpu"), encoder_weights(installed()), plan, "cpu")
    before = {name: weight.clone() for name, weight in run.ear.state_dict().items()}
    run.go()
    changed = {n for n, weight in run.ear.state_dict().items() if not weight.equal(before[n])}
    assert changed
    assert not any(name.startswith("enc.") for name in changed)


@pytest.mark.slow
def test_twenty_steps_bring_the_letters_nearer(tmp_path: Path) -> None:
    rng = Random(1)
    shard = spoken([reading(rng) for _ in range(70)], tmp_path)
    assert shard.seconds > LEAST_S
    clips = Clips.gather([shard], "cpu")
    plan = Plan(seconds=900, steps=20, batch_s=5.5, rate=2e-3, warm_up=5, rivals_from=0.7)
    run = begin(clips, encoder_weights(installed()), plan, "cpu")
    run.go()
    assert run.step == 20
    assert run.told[-1]["letters"] < 0.7 * run.told[0]["letters"]
    assert "rivals" in run.told[-1]
    assert "rivals" not in run.told[0]
    (path,) = write(run.ear, tmp_path / "ear.npz")
    again = begin(clips, encoder_weights(installed()), plan, "cpu", start=path)
    assert again.ear.state_dict().keys() == read(path).keys()
