"""What people near the microphone say that is not for the assistant, and how it sounds.

Scenes of half a minute: recorded people, shop talk, talk with numbers in it, running prose, and
noise by itself, each in a noise of its own. Read are recordings and texts of Debian's packages
(``people.py``, /usr/share/common-licenses) and ``shop_talk.txt``. The part that things are chosen
by has other recordings, voices, noises and texts: its prose is what Python tells of itself.
"""

import random
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from pydoc_data import topics

import numpy as np
from benchmarks.hearing import noises
from benchmarks.hearing.people import people, read_recording
from benchmarks.hearing.phrases import LEVELS
from benchmarks.hearing.sounds import (
    NOISES,
    QUIET_NOISE,
    SNR_DB,
    VOICES,
    Floats,
    noise,
    sentences,
    talkers,
)
from benchmarks.hearing.steps import means_something
from benchmarks.hearing.voices import RATES, Studio, trimmed

from voiceassist.sound.clip import LISTEN_RATE_HZ, Clip
from voiceassist.sound.noise import active_power, frame_powers
from voiceassist.sound.samples import clip_of

LICENCES = Path("/usr/share/common-licenses")
_SCENE_S = 30.0
_SOURCES = (
    *("person",) * 6,
    *("shop talk",) * 4,
    *("numbers",) * 4,
    *("prose",) * 3,
    *("noise",) * 3,
)
#: Said among people; "{}" is a number. No source: made up.
NUMBER_TALK = (
    "i need {} of those long bolts", "he will be back in {} minutes", "bay {} is free again",
    "that comes to {} and change", "it was {} degrees in here yesterday",
    "we have {} left on the shelf", "put {} litres in it", "the bus on line {} is late",
    "page {} of the big book", "torque them to {} and then a quarter turn", "my lad is {} today",
    "order {} more of the small clips", "call me at {} past the hour", "it did {} thousand miles",
    "they want {} for the pair", "i told him {} times already", "a {} millimetre socket",
    "number {} on the list is yours", "he owes me {} from last week", "ring extension {}",
)  # fmt: skip
#: The same for the part "fit".
OTHER_NUMBER_TALK = (
    "we open at {} on saturday", "there were {} cars before us", "give him {} for the lot",
    "the tyre wants {} pounds", "she lives at number {} now", "that is {} more than last year",
    "cut it at {} inches", "my train goes at {}", "he scored {} in the cup", "turn to channel {}",
    "the invoice says {} hours", "it has {} seats and no heater", "fetch me {} washers",
    "about {} i think", "{} and a half", "no {} was the other one",
)  # fmt: skip
_NUMBERS = (
    "two", "three", "four", "five", "six", "eight", "nine", "ten", "eleven", "twelve", "thirteen",
    "fourteen", "fifteen", "sixteen", "eighteen", "twenty", "twenty five", "thirty", "forty",
    "fifty", "sixty two", "ninety", "a hundred", "one hundred and twenty",
)  # fmt: skip
#: Voices beside those of the part, which only speak to others here.
_MORE_VOICES = {"fit": ("espeak en-gb", "espeak en-us"), "kept": ()}
_FULL_SCALE = 32_768


@dataclass(frozen=True, slots=True)
class Scene:
    """Half a minute of sound that holds nothing for the assistant.

    Parts:
        number: settles everything about it.
        source: "person", "shop talk", "numbers", "prose" or "noise".
        level, noise: what lies under it, and how far.
        words: what is said, in order.
        speech_s: how long somebody speaks in it.
        clip: the sound.
    """

    number: int
    source: str
    level: str
    noise: str
    words: tuple[str, ...]
    speech_s: float
    clip: Clip


@dataclass(frozen=True, slots=True)
class _Said:
    words: str
    sound: Floats


def scenes(studio: Studio, part: str = "kept") -> Iterator[Scene]:
    """One after the other, without end."""
    number = 0
    while True:
        yield scene(number, studio, part)
        number += 1


def scene(number: int, studio: Studio, part: str = "kept") -> Scene:
    """One of them."""
    rng = random.Random(f"chatter {number}" if part == "kept" else f"chatter {part} {number}")
    source, level = rng.choice(_SOURCES), rng.choice(LEVELS)
    kind = QUIET_NOISE if level == "quiet" else rng.choice(NOISES[part])
    size = round(_SCENE_S * LISTEN_RATE_HZ)
    said = [] if source == "noise" else list(_until_full(source, rng, studio, part))
    seed = np.random.RandomState(rng.getrandbits(32))
    if source == "noise":
        sound = _noise_alone(size, seed, rng, studio, part)
    else:
        around = noise(kind, size, seed, talkers(kind, part, studio))
        sound = _together([each.sound for each in said], around, SNR_DB[level], rng)
    peak = float(np.abs(sound).max())
    speech_s = sum(each.sound.size for each in said) / LISTEN_RATE_HZ
    clip = clip_of(sound * min(1.0, 0.94 * _FULL_SCALE / peak), LISTEN_RATE_HZ)
    words = tuple(each.words for each in said)
    return Scene(number, source, level, kind, words, speech_s, clip)


def _until_full(source: str, rng: random.Random, studio: Studio, part: str) -> Iterator[_Said]:
    """Things said until the scene has no room for more, a second for each pause."""
    left_s = _SCENE_S - 1.0
    voice, rate = rng.choice((*VOICES[part], *_MORE_VOICES[part])), rng.choice(RATES)
    while True:
        if source == "person":
            record = rng.choice(people(part))
            said = _Said(record.words, trimmed(read_recording(record.path)))
        else:
            words = rng.choice(_texts(source, part))
            words = words.format(rng.choice(_NUMBERS)) if source == "numbers" else words
            said = _Said(words, studio.spoken(words, voice, rate))
        left_s -= said.sound.size / LISTEN_RATE_HZ + 1.5
        if left_s < 0:
            return
        yield said


def _texts(source: str, part: str) -> Sequence[str]:
    if source == "shop talk":
        return sentences(part)
    if source == "numbers":
        return NUMBER_TALK if part == "kept" else OTHER_NUMBER_TALK
    return _prose(part)


@cache
def _prose(part: str) -> tuple[str, ...]:
    """Sentences of the licences that every Debian has, of five to fourteen plain words."""
    files = sorted(path for path in LICENCES.iterdir() if not path.is_symlink())
    text = " ".join(path.read_text(encoding="utf-8", errors="replace") for path in files)
    if part == "fit":
        text = " ".join(topics.topics.values())
    pieces = (" ".join(each.lower().split()) for each in re.split(r"[.;:,()\[\]\"]", text))
    plain = [each for each in pieces if re.fullmatch(r"[a-z' ]+", each)]
    fit = [each for each in dict.fromkeys(plain) if 5 <= len(each.split()) <= 14]
    return tuple(each for each in fit if not means_something(each))


def _together(said: Sequence[Floats], around: Floats, snr_db: float, rng: random.Random) -> Floats:
    """Things said one after the other with pauses, in noise."""
    loud = _FULL_SCALE * 10 ** (rng.uniform(-34, -18) / 20)
    sound = around * (loud * 10 ** (-snr_db / 20) / np.sqrt(np.mean(around**2)))
    room = around.size - sum(each.size for each in said)
    gap, start = room // (len(said) + 1), 0
    for each in said:
        start += round(gap * rng.uniform(0.4, 1.0))
        power = active_power(frame_powers(each, LISTEN_RATE_HZ))
        sound[start : start + each.size] += each * (loud / np.sqrt(power))
        start += each.size
    return np.asarray(sound)


def _noise_alone(
    size: int, seed: np.random.RandomState, rng: random.Random, studio: Studio, part: str
) -> Floats:
    """Noises of a few seconds each, laughter and coughs among them, with quiet between."""
    sound = 20 * noises.pink(size, seed)
    start = 0
    while start < size:
        kind = rng.choice(("laughter", "coughs", "babble", *dict.fromkeys(NOISES[part])))
        piece = min(size - start, round(rng.uniform(1.0, 6.0) * LISTEN_RATE_HZ))
        alone = {"laughter": noises.laughter, "coughs": noises.coughs}.get(kind)
        talk = talkers(kind, part, studio)
        made = alone(piece, seed) if alone else noise(kind, piece, seed, talk)
        loud = _FULL_SCALE * 10 ** (rng.uniform(-40, -18) / 20)
        sound[start : start + piece] += noises.unit_power(made) * loud
        start += piece + round(rng.uniform(0.5, 2.0) * LISTEN_RATE_HZ)
    return sound
