"""Puts a clean voice into a room, in front of a microphone, among noise."""

from dataclasses import dataclass

import torch
from torch import Tensor

from training.chance import Chance
from training.clips import RATE_HZ
from training.noises import echoed, filtered, frequencies, mixture, tilt

#: Decibels between voice and noise.
QUIETEST, LOUDEST = 34.0, -4.0
_TAIL = RATE_HZ // 2
#: How often all is silent before a voice, and how often after it.
_GATED = 0.15


@dataclass(frozen=True, slots=True)
class Room:
    """What a batch of voices became.

    Parts:
        noisy: as a microphone would hear them.
        clean: the voices alone, all equally loud.
        silent: where the voice was left out, so that there is nothing but noise.
    """

    noisy: Tensor
    clean: Tensor
    silent: Tensor


def placed(voices: Tensor, samples: Tensor, chance: Chance, plain: Tensor | None = None) -> Room:
    """The voices of a batch, each ``samples`` long, each in another room.

    ``plain`` are the same voices before a machine said them again.
    """
    first = voices if plain is None else plain
    count, size = voices.shape
    silent = chance.happens(0.03, count)
    heard = filtered(_reverberant(voices, chance), tilt(count, size, chance, bends=7, decibels=4))
    noise = mixture(voices, chance) * _level_of_noise(heard, chance)
    sound = _microphone(heard * ~silent[:, None] + noise, chance)
    sound = sound * ~_gated(first, chance)
    inside = torch.arange(size, device=voices.device) < samples[:, None]
    peak = first.abs().amax(-1, keepdim=True).clamp(min=1e-4)
    clean = first / peak * 0.5 * ~silent[:, None]
    return Room(_as_loud_as_it_comes(sound, chance) * inside, clean * inside, silent)


def _gated(voices: Tensor, chance: Chance) -> Tensor:
    """Where there is no sound at all: before and after some voices, as a gate or a file has it."""
    loud = voices.abs() > 0.002 * voices.abs().amax(-1, keepdim=True).clamp(min=1e-4)
    begun, ends = loud.cumsum(-1) > 0, loud.flip(-1).cumsum(-1).flip(-1) > 0
    before, after = chance.happens(_GATED, len(voices), 1), chance.happens(_GATED, len(voices), 1)
    both = chance.happens(_GATED / 2, len(voices), 1)
    return (~begun & (before | both)) | (~ends & (after | both))


def _reverberant(voices: Tensor, chance: Chance) -> Tensor:
    count, size = voices.shape
    t = torch.arange(_TAIL, device=voices.device) / RATE_HZ
    fade = torch.exp(-6.9 * t / chance.between(0.08, 0.7, count, 1))
    strength = chance.between(0, 0.13, count, 1) * chance.happens(0.6, count, 1)
    response = torch.zeros(count, size, device=voices.device)
    tail = min(_TAIL, size)
    response[:, :tail] = (chance.normal(count, _TAIL) * fade * strength)[:, :tail]
    response[:, 0] = 1
    return echoed(voices, response)


def _level_of_noise(heard: Tensor, chance: Chance) -> Tensor:
    """So loud that the voice, while it speaks, is so many decibels above."""
    loud = heard.abs() > 0.01 * heard.abs().amax(-1, keepdim=True)
    power = (heard**2).sum(-1, keepdim=True) / loud.sum(-1, keepdim=True).clamp(min=1)
    ratio = chance.between(LOUDEST, QUIETEST, len(heard), 1)
    hushed = torch.where(chance.happens(0.1, len(heard), 1), 0.01, 1.0)
    return (power / 10 ** (ratio / 10)).sqrt().clamp(min=1e-5) * hushed


def _microphone(sound: Tensor, chance: Chance) -> Tensor:
    """Some headsets pass a narrow band only, as a telephone does."""
    count, size = sound.shape
    f = frequencies(size, chance)
    low, high = chance.between(80, 350, count, 1), chance.between(3200, 7600, count, 1)
    band = torch.sigmoid((f - low) / 40) * torch.sigmoid((high - f) / 120)
    narrow = chance.happens(0.2, count, 1)
    return filtered(sound, torch.where(narrow, band, torch.ones_like(band)))


def _as_loud_as_it_comes(sound: Tensor, chance: Chance) -> Tensor:
    """From a whisper to full scale, and sometimes over it."""
    count = len(sound)
    sound = sound / sound.abs().amax(-1, keepdim=True).clamp(min=1e-4)
    sound = sound * 10 ** (chance.between(-32, 0, count, 1) / 20)
    ceiling = chance.between(0.3, 0.9, count, 1) * sound.abs().amax(-1, keepdim=True)
    ceiling = torch.where(chance.happens(0.1, count, 1), ceiling, torch.full_like(ceiling, 9))
    return torch.maximum(torch.minimum(sound, ceiling), -ceiling)
