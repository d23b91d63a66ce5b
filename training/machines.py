"""Says clips again as machines speak: by a buzz and a hiss, in another throat, at another pitch.

Speech networks sound like people. Older machines do not: their pitch is flat, their spectrum is
smooth and moves in steps. An ear that met only the former hears the latter badly, and people who
sound unlike any voice of the network too. Linear prediction: Makhoul 1975, "Linear Prediction: A
Tutorial Review".
"""

import math
from dataclasses import dataclass

import torch
from torch import Tensor
from torch.nn import functional

from training.chance import Chance
from training.clips import RATE_HZ

_FRAME, _HOP, _GRID = 512, 64, 1024
_ORDERS = (10, 12, 14, 16, 18, 22)
#: Frames of 4 ms over which the spectrum is smoothed, and for which it stands still.
_SMOOTHED, _HELD = (1, 1, 5, 9, 13, 19), (1, 1, 2, 4, 6)
#: A frame this much like itself one period later is voiced.
_VOICED, _SOFTNESS = 0.3, 0.05
_LAGS = (RATE_HZ // 400, RATE_HZ // 75)
_SHARE_WHISPERED = 0.05


@dataclass(frozen=True, slots=True)
class Frames:
    """What a machine would know of some clips, every 4 ms.

    Parts:
        prediction: of each frame, so many factors, the first of them 1.
        gain: the power of what is not predicted.
        voiced: how much of a buzz it is, from 0 to 1.
    """

    prediction: Tensor
    gain: Tensor
    voiced: Tensor


def remade(voices: Tensor, chance: Chance, share: float) -> Tensor:
    """A share of the clips as machines say them, the rest as they were."""
    chosen = chance.happens(share, len(voices)).nonzero().flatten()
    if len(chosen) == 0:
        return voices
    said = voices.clone()
    said[chosen] = spoken_again(voices[chosen], chance)
    return said


def spoken_again(voices: Tensor, chance: Chance) -> Tensor:
    """Each clip by another machine: another throat, another pitch, the same words."""
    frames = analysed(voices, _one_of(_ORDERS, chance))
    size = voices.shape[-1]
    response = _responses(frames, chance)
    buzz, noise = _buzz(len(voices), size, chance), chance.normal(*voices.shape)
    buzz_share = _buzz_shares(frames.voiced, chance)
    source = _spectra(buzz) * buzz_share.sqrt() + _spectra(noise) * (1 - buzz_share).sqrt()
    sound = _overlapped(torch.fft.irfft(source * response, _GRID), size)
    peak = sound.abs().amax(-1, keepdim=True).clamp(min=1e-6)
    return sound / peak * voices.abs().amax(-1, keepdim=True)


def analysed(voices: Tensor, order: int) -> Frames:
    """Linear prediction of each frame (Levinson and Durbin), and whether it buzzes."""
    power = torch.fft.rfft(_windowed(voices), _GRID).abs() ** 2
    alike = torch.fft.irfft(power)
    near = alike[..., : order + 1] + 1e-9
    near[..., 0] *= 1 + 1e-4
    prediction, gain = _levinson(near)
    flat = torch.fft.irfft(power.clamp(min=1e-12) ** 0.4)
    window = torch.hann_window(_FRAME, device=voices.device)
    own = torch.fft.irfft(torch.fft.rfft(window, _GRID).abs() ** 2)
    first, last = _LAGS
    peak = (flat[..., first:last] / own[first:last]).amax(-1) * own[0] / flat[..., 0]
    loud = near[..., 0] > 1e-4 * near[..., 0].amax(-1, keepdim=True)
    voiced = torch.sigmoid((peak - _VOICED) / _SOFTNESS) * loud
    return Frames(prediction, gain, voiced)


def _levinson(alike: Tensor) -> tuple[Tensor, Tensor]:
    a = torch.zeros_like(alike)
    a[..., 0] = 1
    error = alike[..., 0].clone()
    for k in range(1, alike.shape[-1]):
        reflected = -(a[..., :k] * alike[..., 1 : k + 1].flip(-1)).sum(-1) / error
        reflected = reflected.clamp(-0.9999, 0.9999)
        turned = a[..., : k + 1].flip(-1)
        a[..., : k + 1] = a[..., : k + 1] + reflected[..., None] * turned
        error = error * (1 - reflected**2)
    return a, error.clamp(min=1e-12)


def _responses(frames: Frames, chance: Chance) -> Tensor:
    """What the throat does to each frequency, with the least delay (by the cepstrum)."""
    count = len(frames.gain)
    order = torch.arange(frames.prediction.shape[-1], device=chance.device)
    a = frames.prediction * chance.between(0.975, 1, count, 1, 1) ** order
    grid = torch.linspace(0, math.pi, _GRID // 2 + 1, device=chance.device)
    grid = (grid * chance.between(0.84, 1.2, count, 1)).clamp(max=math.pi)
    turn = torch.exp(-1j * grid[:, None, :] * order[:, None])
    size = torch.einsum("btk,bkf->btf", a.to(turn.dtype), turn).abs().clamp(min=1e-4)
    loudness = 0.5 * frames.gain.log()[..., None] - size.log()
    loudness = _in_steps(_smoothed(loudness, _one_of(_SMOOTHED, chance)), chance)
    cepstrum = torch.fft.irfft(loudness)
    fold = torch.zeros(_GRID, device=chance.device)
    fold[0], fold[1 : _GRID // 2], fold[_GRID // 2] = 1, 2, 1
    response: Tensor = torch.exp(torch.fft.rfft(cepstrum * fold))
    return response


def _smoothed(loudness: Tensor, frames: int) -> Tensor:
    if frames == 1:
        return loudness
    rows = loudness.transpose(1, 2)
    return functional.avg_pool1d(rows, frames, 1, frames // 2, count_include_pad=False).transpose(
        1, 2
    )


def _in_steps(loudness: Tensor, chance: Chance) -> Tensor:
    held = _one_of(_HELD, chance)
    at = torch.arange(loudness.shape[1], device=chance.device) // held * held
    return loudness[:, at]


def _buzz(count: int, size: int, chance: Chance) -> Tensor:
    """Pulses of one power, at a pitch that is flat, falls, or wanders."""
    base = 75 * 2 ** chance.between(0, 2, count, 1)
    falls = chance.between(-0.35, 0.1, count, 1) * chance.happens(0.6, count, 1)
    bends = chance.normal(count, 1, 2 + size // 4000) * chance.between(0, 0.12, count, 1, 1)
    bends = bends * chance.happens(0.6, count, 1, 1)
    wander = functional.interpolate(bends, size=size, mode="linear", align_corners=True)[:, 0]
    time = torch.linspace(0, 1, size, device=chance.device)
    pitch = base * torch.exp(falls * time + wander)
    turns = (pitch / RATE_HZ).double().cumsum(-1).floor()
    pulses = functional.pad(turns.diff(dim=-1) > 0, (1, 0))
    return pulses * (RATE_HZ / pitch).sqrt()


def _buzz_shares(voiced: Tensor, chance: Chance) -> Tensor:
    """How much of each frequency of each frame is a buzz; high ones are often noise."""
    count = len(voiced)
    f = torch.linspace(0, RATE_HZ / 2, _GRID // 2 + 1, device=chance.device)
    up_to = chance.between(2500, 12_000, count, 1, 1)
    spoken = ~chance.happens(_SHARE_WHISPERED, count, 1, 1)
    return voiced[..., None] * torch.sigmoid((up_to - f) / 200) * spoken


def _spectra(sound: Tensor) -> Tensor:
    spectra: Tensor = torch.fft.rfft(_windowed(sound), _GRID)
    return spectra


def _windowed(sound: Tensor) -> Tensor:
    """Frames of 32 ms, every 4 ms, the first of them around the first sample."""
    window = torch.hann_window(_FRAME, device=sound.device)
    around = functional.pad(sound, (_FRAME // 2, _FRAME // 2))
    return around.unfold(-1, _FRAME, _HOP) * window


def _overlapped(frames: Tensor, size: int) -> Tensor:
    """The frames laid over one another again."""
    long = (frames.shape[1] - 1) * _HOP + _GRID
    columns = frames.transpose(1, 2)
    whole = functional.fold(columns, (1, long), (1, _GRID), stride=(1, _HOP))[:, 0, 0]
    start = _FRAME // 2
    return functional.pad(whole, (0, size))[:, start : start + size] * (2 * _HOP / _FRAME)


def _one_of(values: tuple[int, ...], chance: Chance) -> int:
    return values[int(chance.below(len(values), 1))]
