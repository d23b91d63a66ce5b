"""Workshop noise, made on the fly: no batch hears the same twice.

Sounds are rows of a matrix; each kind below gives a row of power one for each clip.
"""

import math

import torch
from torch import Tensor
from torch.nn import functional

from training.chance import Chance
from training.clips import RATE_HZ

_TURN = 2 * math.pi
#: How often each kind is in the mixture, in the order of ``mixture``.
_OFTEN = (0.8, 0.5, 0.35, 0.4, 0.45, 0.35, 0.3)
#: How often others talk and nothing else is heard.
_ONLY_TALK, _MOST_TALKERS = 0.1, 8
#: The pace and so the pitch of others: a man heard at the fastest is as high as a woman.
_LOWER, _HIGHER = 0.85, 1.5


def unit(sound: Tensor) -> Tensor:
    """The same sound at power one."""
    level: Tensor = sound.std(-1, keepdim=True) + 1e-6
    return sound / level


def filtered(sound: Tensor, gain: Tensor) -> Tensor:
    """A sound with each frequency made louder or softer."""
    result: Tensor = torch.fft.irfft(torch.fft.rfft(sound) * gain, sound.shape[-1])
    return result


def echoed(sound: Tensor, response: Tensor) -> Tensor:
    """A sound as a room or a thing that rings gives it back."""
    size = sound.shape[-1]
    spectrum = torch.fft.rfft(sound, 2 * size) * torch.fft.rfft(response, 2 * size)
    whole: Tensor = torch.fft.irfft(spectrum, 2 * size)
    return whole[..., :size]


def frequencies(size: int, chance: Chance) -> Tensor:
    """The frequencies of the spectrum of so many samples, in hertz."""
    return torch.linspace(0, RATE_HZ / 2, size // 2 + 1, device=chance.device)


def tilt(count: int, size: int, chance: Chance, *, bends: int, decibels: float) -> Tensor:
    """A smooth gain over the spectrum, as of some microphone or some wall."""
    knots = chance.normal(count, 1, bends) * decibels
    curve = functional.interpolate(knots, size=size // 2 + 1, mode="linear", align_corners=True)
    return 10 ** (curve[:, 0] / 20)


def mixture(speech: Tensor, chance: Chance) -> Tensor:
    """Several kinds of noise together, at power one; ``speech`` serves as babble."""
    count, size = speech.shape
    kinds = (
        coloured(count, size, chance),
        engine(count, size, chance),
        air(count, size, chance),
        hammering(count, size, chance),
        babble(speech, chance),
        cutting(count, size, chance),
        beating(count, size, chance),
    )
    often = torch.tensor(_OFTEN, device=chance.device)
    share = chance.between(0, 1, count, len(kinds)) ** 2
    share = share * (chance.between(0, 1, count, len(kinds)) < often)
    share[:, 0] += 0.1
    only_talk = chance.happens(_ONLY_TALK, count, 1)
    share = share * ~only_talk
    share[:, 4] += only_talk[:, 0]
    total = sum(kind * share[:, k : k + 1] for k, kind in enumerate(kinds))
    assert isinstance(total, Tensor)
    return unit(total)


def coloured(count: int, size: int, chance: Chance) -> Tensor:
    """Rushing noise of any colour that swells and falls."""
    slope = chance.between(0, 1.2, count, 1)
    gain = (frequencies(size, chance) + 30) ** -slope
    gain = gain * tilt(count, size, chance, bends=9, decibels=8)
    return unit(filtered(chance.normal(count, size), gain)) * _swell(count, size, chance)


def engine(count: int, size: int, chance: Chance) -> Tensor:
    """A note and its overtones, drifting."""
    t = _time(size, chance)
    wobble = torch.sin(_TURN * chance.between(0.2, 3, count, 1) * t) * chance.between(
        0, 1, count, 1
    )
    turns = chance.between(18, 140, count, 1) * (t + 0.02 * wobble)
    tone = torch.zeros(count, size, device=chance.device)
    for overtone in range(1, 25):
        phase = chance.between(0, _TURN, count, 1)
        loudness = chance.normal(count, 1).abs() / overtone**0.7
        tone += torch.sin(_TURN * overtone * turns + phase) * loudness
    return unit(tone)


def air(count: int, size: int, chance: Chance) -> Tensor:
    """Hissing in a band that starts and stops, as a blow gun does."""
    low, high = chance.between(200, 3000, count, 1), chance.between(3200, 8000, count, 1)
    f = frequencies(size, chance)
    band = torch.sigmoid((f - low) / 150) * torch.sigmoid((high - f) / 300)
    hiss = unit(filtered(chance.normal(count, size), band))
    pace = chance.between(0.1, 1.5, count, 1)
    wave = torch.sin(_TURN * pace * _time(size, chance) + chance.between(0, _TURN, count, 1))
    return hiss * (wave > chance.between(-0.8, 0.8, count, 1))


def hammering(count: int, size: int, chance: Chance) -> Tensor:
    """Knocks and clangs, each ringing for a while."""
    rate = chance.between(0.3, 30, count, 1)
    knocks = (chance.between(0, 1, count, size) < rate / RATE_HZ) * chance.normal(count, size)
    t = _time(size, chance)
    ringing = torch.exp(-t / chance.between(0.003, 0.08, count, 1))
    ringing = ringing * torch.sin(_TURN * chance.between(300, 6000, count, 1) * t)
    return unit(echoed(knocks, ringing))


def cutting(count: int, size: int, chance: Chance) -> Tensor:
    """A disc or a drill: a bright whine with overtones that sinks under load, and its scraping."""
    t = _time(size, chance)
    load = chance.between(0.2, 2.5, count, 1) * t * _TURN + chance.between(0, _TURN, count, 1)
    bite = torch.sigmoid(8 * (torch.sin(load) - chance.between(-0.9, 0.9, count, 1)))
    speed = chance.between(90, 900, count, 1) * (1 - chance.between(0, 0.25, count, 1) * bite)
    turns = speed.cumsum(-1) / RATE_HZ
    whine = torch.zeros(count, size, device=chance.device)
    for overtone in range(1, 13):
        loudness = chance.normal(count, 1).abs() / overtone ** chance.between(0, 1, count, 1)
        below = speed.amax(-1, keepdim=True) * overtone < 0.48 * RATE_HZ
        whine += torch.sin(_TURN * overtone * turns) * loudness * below
    low = chance.between(800, 4000, count, 1)
    f = frequencies(size, chance)
    scrape = filtered(chance.normal(count, size), torch.sigmoid((f - low) / 400))
    chatter = 1 + chance.between(0, 1, count, 1) * torch.sin(_TURN * turns)
    rough = unit(scrape) * chatter * (0.1 + bite) * chance.between(0.2, 2, count, 1)
    return unit(unit(whine) * (0.4 + bite) + rough)


def beating(count: int, size: int, chance: Chance) -> Tensor:
    """Blows in quick, even strokes, each a crack and a few tones that die away."""
    t, rate = _time(size, chance), chance.between(4, 45, count, 1)
    phase = (rate * t + chance.between(0, 1, count, 1)).floor()
    strokes = (phase.diff(dim=-1, prepend=phase[:, :1]) > 0).float()
    strokes = strokes * (1 + 0.4 * chance.normal(count, size)).abs()
    on = torch.sin(_TURN * chance.between(0.1, 1, count, 1) * t + chance.between(0, 6, count, 1))
    strokes = strokes * (on > chance.between(-1.2, 0.6, count, 1))
    ring = chance.normal(count, size) * torch.exp(-t / chance.between(0.001, 0.008, count, 1))
    for _ in range(4):
        fades = torch.exp(-t / chance.between(0.004, 0.12, count, 1))
        tone = torch.sin(_TURN * chance.between(300, 6500, count, 1) * t)
        ring = ring + chance.between(0.1, 1, count, 1) * fades * tone
    return unit(echoed(strokes, ring))


def babble(speech: Tensor, chance: Chance) -> Tensor:
    """One to eight others of the batch, talking at once, many of them higher than they are."""
    count, size = speech.shape
    total = torch.zeros_like(speech)
    talkers = chance.below(_MOST_TALKERS, count, 1)
    place = torch.arange(size, device=speech.device)
    for k in range(_MOST_TALKERS):
        at = chance.between(_LOWER, _HIGHER, count, 1) * place + chance.below(size, count, 1)
        other = torch.roll(speech, k * 7 + 3, 0).gather(1, at.long() % size)
        total += other * chance.between(0.3, 1, count, 1) * (talkers >= k)
    return unit(total)


def _swell(count: int, size: int, chance: Chance) -> Tensor:
    pace, phase = chance.between(0.3, 25, count, 1), chance.between(0, _TURN, count, 1)
    wave = torch.sin(_TURN * pace * _time(size, chance) + phase)
    return 1 + chance.between(0, 1, count, 1) * wave


def _time(size: int, chance: Chance) -> Tensor:
    return torch.arange(size, device=chance.device) / RATE_HZ
