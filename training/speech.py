"""Speaks the phrases with many voices: Kokoro's, alone or blended by two.

Voices of other languages speak English too, as people with an accent do.
"""

import json
import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from random import Random

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor

import voiceassist  # noqa: F401  # keeps onnxruntime from sending usage data
from training.clips import RATE_HZ, Shard
from training.graph import Graph
from training.phonemes import Spoken

#: What the network makes; 3 samples of it are 2 of ours.
_MADE_HZ = 24_000
LONGEST_S = 12.0
_AMERICAN, _BLENDED, _FOREIGN = 0.7, 0.6, 0.15
#: How often a phrase is put together of words, each said by itself, and their sign between words.
_JOINED, _SPACE = 0.07, 16
_MOST_JOINED, _BETWEEN_S = 9, (0.0, 0.16)
_LOUDEST = 20_000


@dataclass(frozen=True, slots=True)
class Voices:
    """Style vectors by voice and number of phonemes; names begin with "a" or "b" by accent."""

    names: tuple[str, ...]
    styles: NDArray[np.float32]

    @classmethod
    def load(cls, path: Path) -> "Voices":
        """The voices of a file that ``sources`` made."""
        kept = np.load(path)
        return cls(tuple(str(n) for n in kept["names"]), kept["styles"].astype(np.float32))

    def those(self, wanted: Callable[[str], bool]) -> "Voices":
        """Some of the voices, by their names."""
        places = [k for k, name in enumerate(self.names) if wanted(name)]
        return Voices(tuple(self.names[k] for k in places), self.styles[places])

    @property
    def accents(self) -> str:
        """The accents that any of the voices has."""
        return "".join(accent for accent in "ab" if any(n[0] == accent for n in self.names))

    def pick(self, accent: str, phonemes: int, rng: Random) -> NDArray[np.float32]:
        """A voice, or a blend of two that reaches a little beyond either."""
        near = [k for k, name in enumerate(self.names) if name[0] == accent]
        anyone = range(len(self.names))
        place = min(phonemes, self.styles.shape[1]) - 1
        style = self.styles[rng.choice(anyone if rng.random() < _FOREIGN else near), place]
        if rng.random() >= _BLENDED:
            return np.asarray(style, np.float32)[None]
        share = rng.uniform(-0.15, 1.15)
        other = self.styles[rng.choice(anyone if rng.random() < _FOREIGN else near), place]
        return np.asarray(share * style + (1 - share) * other, np.float32)[None]


class Speaker:
    """The speech network on a device."""

    def __init__(self, network: Path, voices: Voices, device: str) -> None:
        self._graph = on_processor(network) if device == "cpu" else Graph(network, device)
        self._voices, self._device = voices, device

    def say(self, spoken: Spoken, rng: Random) -> NDArray[np.int16] | None:
        """The sound of a phrase in some voice at some speed; None when the network failed."""
        accent = "a" if rng.random() < _AMERICAN else "b"
        if accent not in self._voices.accents:
            accent = self._voices.accents
        numbers = spoken.american if accent == "a" else spoken.british
        speed = rng.choice((rng.uniform(0.8, 1.4), rng.uniform(0.95, 1.2)))
        voice, words = rng.random(), _words(numbers)
        if 1 < len(words) <= _MOST_JOINED and rng.random() < _JOINED:
            each = [self._said(word, accent, speed, voice) for word in words]
            return joined([s for s in each if s is not None], rng)
        return self._said(numbers, accent, speed, voice)

    def _said(
        self, numbers: Sequence[int], accent: str, speed: float, voice: float
    ) -> NDArray[np.int16] | None:
        """Phonemes in one voice; the same number means the same voice."""
        style = self._voices.pick(accent, len(numbers), Random(voice))
        sound = self._graph(
            tokens=torch.tensor([[0, *numbers, 0]], device=self._device),
            style=torch.from_numpy(style).to(self._device),
            speed=torch.tensor([speed], device=self._device),
        )
        return loud_and_trimmed(resampled(sound.flatten().float(), _MADE_HZ, RATE_HZ))


def _words(numbers: Sequence[int]) -> list[list[int]]:
    """The phonemes of each word."""
    words: list[list[int]] = [[]]
    for number in numbers:
        if number == _SPACE:
            words.append([])
        else:
            words[-1].append(number)
    return [word for word in words if word]


def joined(sounds: Sequence[NDArray[np.int16]], rng: Random) -> NDArray[np.int16] | None:
    """Words one after another, as recorded prompts are put together."""
    if not sounds:
        return None
    pieces = []
    for sound in sounds:
        pieces += [sound[400:-800], np.zeros(int(rng.uniform(*_BETWEEN_S) * RATE_HZ), np.int16)]
    return np.concatenate((sounds[0][:400], *pieces))


def on_processor(network: Path) -> Callable[..., Tensor]:
    """The network in its own runtime, which is half as fast again there as the graph in torch."""
    import onnxruntime

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = options.inter_op_num_threads = 1
    options.log_severity_level = 3
    session = onnxruntime.InferenceSession(network, options, providers=["CPUExecutionProvider"])

    def run(**inputs: Tensor) -> Tensor:
        return torch.from_numpy(session.run(None, {n: t.numpy() for n, t in inputs.items()})[0])

    return run


def speak(speaker: Speaker, phrases: Sequence[Spoken], rng: Random) -> Shard:
    """A shard of what the speaker says."""
    sounds, texts = [], []
    for spoken in phrases:
        sound = speaker.say(spoken, rng)
        if sound is not None and len(sound) <= LONGEST_S * RATE_HZ:
            sounds.append(sound)
            texts.append(spoken.text)
    return Shard(tuple(texts), tuple(sounds))


def resampled(sound: Tensor, made_hz: int, wanted_hz: int) -> Tensor:
    """From one rate to a lower one, exactly: the top of the spectrum is cut."""
    common = math.gcd(made_hz, wanted_hz)
    count = len(sound) // (made_hz // common) * (made_hz // common)
    kept = count * wanted_hz // made_hz
    spectrum = torch.fft.rfft(sound[:count])
    lower: Tensor = torch.fft.irfft(spectrum[: kept // 2 + 1], kept)
    return lower * (kept / count)


def loud_and_trimmed(sound: Tensor) -> NDArray[np.int16] | None:
    """A little silence left at either end, and as loud as all the others."""
    size = sound.abs()
    peak = size.max()
    heard = torch.nonzero(size > 0.01 * peak)
    if not torch.isfinite(peak) or len(heard) == 0:
        return None
    first, last = int(heard[0]), int(heard[-1])
    sound = sound[max(0, first - 800) : last + 1600] / peak * _LOUDEST
    return sound.to(torch.int16).cpu().numpy()


def parts(count: int, size: int) -> Iterator[tuple[int, slice]]:
    """Numbers of shards and the phrases of each."""
    for number, start in enumerate(range(0, count, size)):
        yield number, slice(start, start + size)


def signs(path: Path) -> dict[str, int]:
    """The phonemes that the network knows, by number."""
    vocabulary: dict[str, int] = json.loads(path.read_text(encoding="utf-8"))["vocab"]
    return vocabulary
