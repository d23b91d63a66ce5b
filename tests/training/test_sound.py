"""Clips keep their sound when packed; rooms and batches change no more than they should."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import torch

from training.batches import LENGTHS_S, Clips
from training.chance import Chance
from training.clips import RATE_HZ, Shard, shards
from training.noises import babble, beating, cutting, mixture
from training.rooms import placed
from training.sources import Source, check

TONE_HZ = 440


def shard(seconds: tuple[float, ...] = (0.8, 1.5, 2.4, 5.5, 7.5, 12.0)) -> Shard:
    """A tone for each clip, that swells and falls."""
    sounds = []
    for length in seconds:
        t = np.arange(int(length * RATE_HZ)) / RATE_HZ
        wave = np.sin(2 * np.pi * TONE_HZ * t) * np.sin(np.pi * t / length)
        sounds.append((wave * 20_000).astype(np.int16))
    return Shard(tuple(f"clip {'abcdef'[k]}" for k in range(len(seconds))), tuple(sounds))


def test_a_shard_comes_back_as_it_was(tmp_path: Path) -> None:
    shard().save(tmp_path / "one.npz")
    (back,) = shards(tmp_path)
    assert back.texts == shard().texts
    assert all(np.array_equal(a, b) for a, b in zip(back.sounds, shard().sounds, strict=True))


def test_a_packed_shard_keeps_every_clip_in_its_place(tmp_path: Path) -> None:
    shard().pack(tmp_path / "one.opus")
    (back,) = shards(tmp_path)
    assert back.texts == shard().texts
    for kept, was in zip(back.sounds, shard().sounds, strict=True):
        assert len(kept) == len(was)
        assert np.corrcoef(kept, was)[0, 1] > 0.95
    assert (tmp_path / "one.opus").stat().st_size < 0.2 * 2 * RATE_HZ * shard().seconds


def test_a_clip_lies_whole_in_a_batch_and_silence_follows_it() -> None:
    clips, chance = Clips.gather([shard()], "cpu"), Chance.seeded(4, "cpu")
    assert len(clips.texts) == len(shard().texts)
    for group in (g for g in range(len(LENGTHS_S)) if len(clips.groups[g])):
        chosen = clips.pick(group, 6, chance)
        voices, samples = clips.voices(chosen, group, chance)
        assert voices.shape == (6, int(LENGTHS_S[group] * RATE_HZ))
        for voice, end in zip(voices, samples.tolist(), strict=True):
            assert 0.5 < float(voice.abs().max()) <= 1
            assert not voice[end:].any()
            assert float(voice[-1]) == 0


def test_noise_has_power_one_and_a_room_clips_nothing_beyond_full_scale() -> None:
    chance = Chance.seeded(5, "cpu")
    voices = torch.sin(torch.arange(RATE_HZ * 2) / 9).repeat(8, 1)
    assert mixture(voices, chance).std(-1).tolist() == pytest.approx([1.0] * 8, rel=0.01)
    samples = torch.full((8,), RATE_HZ)
    room = placed(voices, samples, chance)
    assert torch.isfinite(room.noisy).all()
    assert float(room.noisy.abs().max()) <= 1.0001
    assert not room.noisy[:, RATE_HZ:].any()
    assert not room.clean[:, RATE_HZ:].any()


def test_some_voices_begin_late_and_most_at_once() -> None:
    clips, chance = Clips.gather([shard((0.8,) * 6)], "cpu"), Chance.seeded(8, "cpu")
    voices, _ = clips.voices(clips.pick(1, 400, chance), 1, chance)
    begun = (voices != 0).float().argmax(-1) / RATE_HZ
    assert 0.1 < float((begun > 0.5).float().mean()) < 0.35
    assert float(begun.max()) > 0.9


def test_all_is_silent_around_some_voices_and_never_within() -> None:
    chance, size = Chance.seeded(9, "cpu"), RATE_HZ * 2
    voices = torch.zeros(400, size)
    said = slice(RATE_HZ // 2, RATE_HZ * 3 // 2)
    voices[:, said] = torch.sin(torch.arange(RATE_HZ) / 9)
    noisy = placed(voices, torch.full((400,), size), chance).noisy
    before, after = noisy[:, : RATE_HZ // 2], noisy[:, said.stop + 100 :]
    for part in (before, after):
        assert 0.1 < float((~part.any(-1)).float().mean()) < 0.35
    assert noisy[:, said].any(-1).all()


@pytest.mark.parametrize("noise", [cutting, beating])
def test_tools_are_heard_at_power_one_and_never_the_same_twice(
    noise: Callable[[int, int, Chance], torch.Tensor],
) -> None:
    """A tool may rest for as long as a clip lasts."""
    made = noise(12, RATE_HZ * 2, Chance.seeded(10, "cpu"))
    heard = made[made.any(-1)]
    assert len(heard) >= 9
    assert heard.std(-1).tolist() == pytest.approx([1.0] * len(heard), rel=0.01)
    assert np.abs(np.corrcoef(heard.numpy()) - np.eye(len(heard))).max() < 0.9


def test_others_talk_at_other_pitches_than_they_were_recorded_at() -> None:
    """The same tone in each row: only another pace can move it."""
    tone = torch.sin(torch.arange(RATE_HZ * 2) * 2 * torch.pi * TONE_HZ / RATE_HZ).repeat(60, 1)
    heard = babble(tone, Chance.seeded(11, "cpu"))
    assert heard.std(-1).tolist() == pytest.approx([1.0] * 60, rel=0.01)
    loudest = torch.fft.rfft(heard).abs().argmax(-1) / 2
    assert float(loudest.min()) < 0.95 * TONE_HZ
    assert float(loudest.max()) > 1.3 * TONE_HZ


def test_the_same_seed_makes_the_same_batch() -> None:
    clips = Clips.gather([shard()], "cpu")

    def batch() -> torch.Tensor:
        chance = Chance.seeded(6, "cpu")
        torch.manual_seed(6)
        voices, samples = clips.voices(clips.pick(0, 4, chance), 0, chance)
        return placed(voices, samples, chance).noisy

    assert torch.equal(batch(), batch())


def test_a_file_of_a_registry_that_is_not_the_pinned_one_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a.whl").write_bytes(b"something else")
    source = Source("a", "1", "a.whl", "0" * 64, "MIT")
    with pytest.raises(ValueError, match=r"SHA-256 is .*, not 0000"):
        check(tmp_path, source)
