"""Clips that a machine says again keep their words' shape: loudness in time, hums and hisses."""

import numpy as np
import pytest
import torch
from scipy.linalg import solve_toeplitz
from scipy.signal import lfilter

from training.chance import Chance
from training.clips import RATE_HZ
from training.machines import _levinson, analysed, remade, spoken_again

FORMANTS_HZ = (700, 1220, 2600)


def vowel(pitch_hz: float = 120, seconds: float = 1.0) -> np.ndarray:
    """Pulses through three resonances, near those of the vowel in "father" (from memory)."""
    sound = np.zeros(int(seconds * RATE_HZ))
    sound[:: int(RATE_HZ / pitch_hz)] = 1
    for formant in FORMANTS_HZ:
        turn, narrow = 2 * np.pi * formant / RATE_HZ, 0.97
        sound = lfilter([1], [1, -2 * narrow * np.cos(turn), narrow**2], sound)
    return np.asarray(sound / np.abs(sound).max() / 2)


def hiss(seconds: float = 1.0) -> np.ndarray:
    return np.random.default_rng(2).normal(size=int(seconds * RATE_HZ)) / 10


def rows(*sounds: np.ndarray) -> torch.Tensor:
    return torch.from_numpy(np.stack(sounds).astype(np.float32))


def loudness(sound: np.ndarray) -> np.ndarray:
    return np.asarray(np.sqrt((sound[: len(sound) // 400 * 400].reshape(-1, 400) ** 2).mean(1)))


# scipy.linalg.solve_toeplitz as an independent reference.
def test_the_prediction_is_the_solution_of_the_normal_equations() -> None:
    alike = np.correlate(vowel()[:512], vowel()[:512], "full")[511 : 511 + 13]
    alike[0] *= 1.01
    wanted = solve_toeplitz(alike[:-1], -alike[1:])
    found, _ = _levinson(torch.from_numpy(alike)[None, None])
    assert found[0, 0, 1:].numpy() == pytest.approx(wanted, rel=1e-4, abs=1e-4)


def test_a_vowel_buzzes_and_a_hiss_does_not() -> None:
    voiced = analysed(rows(vowel(), hiss()), 16).voiced[:, 20:-20].mean(1)
    assert float(voiced[0]) > 0.9
    assert float(voiced[1]) < 0.1


def test_words_stay_where_they_were_and_as_loud_as_they_were() -> None:
    swell = np.abs(np.sin(np.arange(RATE_HZ) * 3 * np.pi / RATE_HZ))
    sound = vowel() * swell
    again = spoken_again(rows(*[sound] * 12), Chance.seeded(3, "cpu")).numpy()
    assert again.shape == (12, RATE_HZ)
    for each in again:
        assert np.corrcoef(loudness(each), loudness(sound))[0, 1] > 0.8
        assert np.abs(each).max() == pytest.approx(np.abs(sound).max(), rel=1e-3)


def test_only_the_share_asked_for_is_said_again() -> None:
    voices = rows(*[vowel(seconds=0.3)] * 200)
    assert torch.equal(remade(voices, Chance.seeded(4, "cpu"), 0.0), voices)
    changed = (remade(voices, Chance.seeded(4, "cpu"), 0.25) != voices).any(1).sum()
    assert 25 < int(changed) < 80


def test_silence_stays_silent() -> None:
    again = spoken_again(torch.zeros(2, RATE_HZ // 2), Chance.seeded(5, "cpu"))
    assert torch.isfinite(again).all()
    assert not again.any()
