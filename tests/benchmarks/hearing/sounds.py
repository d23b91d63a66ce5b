"""Phrases as a microphone would give them: speech at a level, in noise at a level."""

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import islice
from pathlib import Path

import numpy as np
from benchmarks.hearing import noises, tools
from benchmarks.hearing.people import people, read_recording
from benchmarks.hearing.phrases import Phrase
from benchmarks.hearing.voices import RATES, Studio, trimmed
from numpy.typing import NDArray

from voiceassist.sound.clip import LISTEN_RATE_HZ, Clip
from voiceassist.sound.noise import active_power, frame_powers
from voiceassist.sound.samples import clip_of

Floats = NDArray[np.float64]

#: How far speech stands above noise; in a quiet room it still is not silent.
SNR_DB: Mapping[str, float] = {"quiet": 45, "20": 20, "10": 10, "5": 5}
QUIET_NOISE = "room"
#: Noise before and after the speech, as the segmenter leaves it.
LEAD_S = 0.3
_FULL_SCALE = 32_768
_HIGHEST_PEAK = _FULL_SCALE * 10 ** (-0.5 / 20)
_SOFTEST_DBFS, _LOUDEST_DBFS = -36.0, -18.0
_ECHO = 0.25
_RATES = ("slow", *("normal",) * 3, "fast")

#: The voices of each part. espeak-ng is in neither: the ear is trained on it.
VOICES: Mapping[str, tuple[str, ...]] = {
    "fit": ("flite slt", "flite rms"),
    "kept": (
        *("flite awb", "flite kal16", "festival ked"),
        *("pico en-US", "pico en-GB", "piper joe"),
    ),
}
#: What phrases are mixed with. Of the kinds that are kept, training makes but blows,
#: hums and whining tools, each in a way of its own; its babble is made of other voices.
NOISES: Mapping[str, tuple[str, ...]] = {
    "fit": noises.KINDS,
    "kept": ("people", "people", *tools.KINDS, "mains", "impacts"),
}
_NOISE_SEEDS = {"fit": 31, "kept": 4_057}
_STEADY = {**noises.STEADY, **tools.STEADY}
#: Made of talk: by machines, and by people who were recorded.
_BABBLE = ("babble", "people")
_CROWD, _LEAST_S = 40, 1.0
_TALK = Path(__file__).parent / "shop_talk.txt"


@dataclass(frozen=True, slots=True)
class Setting:
    """How one phrase sounds.

    Parts:
        voice, rate: as ``Studio.spoken`` takes them.
        noise: one of ``NOISES``, or "room" when it is quiet.
        echo: in a bare room.
        speech_dbfs: active level of the speech, in dB below full scale.
        seed: of noise and echo.
    """

    voice: str
    rate: str
    noise: str
    echo: bool
    speech_dbfs: float
    seed: int

    def __post_init__(self) -> None:
        if self.rate not in RATES:
            raise ValueError(f"{self.rate!r} is none of {RATES}")


def setting(part: str, level: str, name: str) -> Setting:
    """How the sound called ``name`` is made; each part has seeds of its own."""
    rng = random.Random(f"{_NOISE_SEEDS[part]}/{name}")
    return Setting(
        voice=rng.choice(VOICES[part]),
        rate=rng.choice(_RATES),
        noise=QUIET_NOISE if level == "quiet" else rng.choice(NOISES[part]),
        echo=rng.random() < _ECHO,
        speech_dbfs=round(rng.uniform(_SOFTEST_DBFS, _LOUDEST_DBFS), 1),
        seed=rng.getrandbits(32),
    )


def phrase_clip(phrase: Phrase, studio: Studio) -> tuple[Setting, Clip]:
    """A phrase as a segment from a microphone."""
    how = setting(phrase.part, phrase.level, phrase.id)
    speech = studio.spoken(phrase.words, how.voice, how.rate)
    return how, recorded(speech, how, phrase.part, phrase.level, studio)


def recorded(speech: Floats, how: Setting, part: str, level: str, studio: Studio) -> Clip:
    """Speech as a microphone would give it under a setting."""
    seed = np.random.RandomState(how.seed)
    heard = noises.echoed(speech, seed) if how.echo else speech
    size = heard.size + 2 * round(LEAD_S * LISTEN_RATE_HZ)
    talk = talkers(how.noise, part, studio)
    return mixed(heard, noise(how.noise, size, seed, talk), SNR_DB[level], how.speech_dbfs)


def noise(kind: str, size: int, seed: np.random.RandomState, talk: Sequence[Floats] = ()) -> Floats:
    """So many samples of a kind of noise; babble is made of ``talk``."""
    if kind in _BABBLE:
        return noises.babble(size, seed, talk)
    return _STEADY["pink" if kind == QUIET_NOISE else kind](size, seed)


def talkers(kind: str, part: str, studio: Studio) -> tuple[Floats, ...]:
    """Whose talk a kind of noise is made of, where it is made of talk."""
    if kind not in _BABBLE:
        return ()
    return pool(part, studio) if kind == "babble" else crowd(part)


def mixed(speech: Floats, around: Floats, snr_db: float, speech_dbfs: float) -> Clip:
    """Speech in the midst of longer noise.

    The active level of the speech is put at ``speech_dbfs``, the root mean square of the noise
    during the speech ``snr_db`` below it. Should a peak be cut off, all of it is made softer.
    """
    start = (around.size - speech.size) // 2
    during = around[start : start + speech.size]
    wanted = _FULL_SCALE * 10 ** (speech_dbfs / 20)
    said = speech * (wanted / np.sqrt(active_power(frame_powers(speech, LISTEN_RATE_HZ))))
    sound = around * (wanted * 10 ** (-snr_db / 20) / np.sqrt(np.mean(during**2)))
    sound[start : start + speech.size] += said
    peak = float(np.abs(sound).max())
    return clip_of(sound * min(1.0, _HIGHEST_PEAK / peak), LISTEN_RATE_HZ)


@cache
def sentences(part: str) -> tuple[str, ...]:
    """Shop talk, half of it for each part."""
    lines = _TALK.read_text(encoding="utf-8").split("\n")
    return tuple(line for line in lines[list(VOICES).index(part) :: 2] if line)


@cache
def pool(part: str, studio: Studio) -> tuple[Floats, ...]:
    """Other people's talk for babble, in the voices of the part."""
    voices = sorted(set(VOICES[part]))
    return tuple(
        studio.spoken(words, voices[number % len(voices)], "normal")
        for number, words in enumerate(sentences(part)[:24])
    )


@cache
def crowd(part: str) -> tuple[Floats, ...]:
    """People's recordings for babble, those of the part that last a second or more."""
    said = (trimmed(read_recording(record.path)) for record in people(part))
    long = (each for each in said if each.size > _LEAST_S * LISTEN_RATE_HZ)
    return tuple(islice(long, _CROWD))
