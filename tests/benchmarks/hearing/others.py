"""Speech that is no phrase of the grammars, and noise that is no speech: for false accepts."""

import random
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

import numpy as np
from benchmarks.hearing import noises
from benchmarks.hearing.people import people, read_recording
from benchmarks.hearing.phrases import LEVELS, PARTS
from benchmarks.hearing.sounds import NOISES, Setting, noise, recorded, sentences, setting, talkers
from benchmarks.hearing.steps import STEPS, english, means_something
from benchmarks.hearing.voices import Studio, trimmed
from numpy.typing import NDArray

from voiceassist.language.phrasebook import Phrasebook
from voiceassist.resources import grammar_files
from voiceassist.sound.clip import LISTEN_RATE_HZ, Clip
from voiceassist.sound.samples import clip_of

Floats = NDArray[np.float64]

#: A segment is cut at this length when somebody does not stop talking.
LONGEST_S = 8.0
#: The voice the assistant has itself, as its settings are when nothing is changed.
OWN_VOICE = "espeak en-us"
_NOISE_ONLY = {
    part: ("laughter", "coughs", *dict.fromkeys(kinds)) for part, kinds in NOISES.items()
}
_SOURCES = (*("shop talk",) * 8, *("person",) * 6, *("noise",) * 3, *("own voice",) * 3)
_SOURCE_SEEDS = {"fit": 11, "kept": 13}


@dataclass(frozen=True, slots=True)
class Other:
    """A sound that should not be understood.

    Parts:
        id: unlike that of any other.
        part, level, number: as a phrase has them; the level is meaningless for noise alone.
        source: "shop talk", "person", "noise" or "own voice".
        step: at which it is heard.
        words: what is said; empty for noise.
        setting: how it sounds; its voice is "person" or "none" where no machine speaks.
        clip: the sound.
    """

    id: str
    part: str
    level: str
    number: int
    source: str
    step: str
    words: str
    setting: Setting
    clip: Clip


def others(part: str, seconds: float, studio: Studio) -> Iterator[Other]:
    """Sounds until they last ``seconds`` together."""
    total_s, number = 0.0, 0
    while total_s < seconds:
        made = other(part, number, studio)
        total_s += made.clip.seconds
        number += 1
        yield made


def other(part: str, number: int, studio: Studio) -> Other:
    """One of them; its number settles everything."""
    round_, within = divmod(number, len(_SOURCES))
    source = _order(part)[within]
    turn = round_ * _SOURCES.count(source) + _order(part)[:within].count(source)
    level = LEVELS[number % len(LEVELS)]
    name = f"{part}-other-{number:04d}"
    words, how, clip = _MAKERS[source](part, level, turn, setting(part, level, name), studio)
    step = random.Random(f"{_SOURCE_SEEDS[part]}/{number}").choice(tuple(STEPS))
    return Other(name, part, level, number, source, step, words, how, clip)


@cache
def _order(part: str) -> tuple[str, ...]:
    return tuple(random.Random(_SOURCE_SEEDS[part]).sample(_SOURCES, len(_SOURCES)))


_Made = tuple[str, Setting, Clip]


def _shop_talk(part: str, level: str, turn: int, how: Setting, studio: Studio) -> _Made:
    words = sentences(part)[turn % len(sentences(part))]
    speech = _at_most(studio.spoken(words, how.voice, how.rate))
    return words, how, recorded(speech, how, part, level, studio)


def _person(part: str, level: str, turn: int, how: Setting, studio: Studio) -> _Made:
    record = people(part)[turn % len(people(part))]
    how = _with_voice(how, "person")
    speech = _at_most(trimmed(read_recording(record.path)))
    return record.words, how, recorded(speech, how, part, level, studio)


def _own_voice(part: str, level: str, turn: int, how: Setting, studio: Studio) -> _Made:
    words = prompts(part)[turn % len(prompts(part))]
    how = _with_voice(how, OWN_VOICE)
    speech = _at_most(studio.spoken(words, OWN_VOICE, "normal"))
    return words, how, recorded(speech, how, part, level, studio)


def _noise_alone(part: str, level: str, turn: int, how: Setting, studio: Studio) -> _Made:
    """Laughter, coughs and noises by turns, 1.5 to 4 s, as loud as speech would be."""
    kind = _NOISE_ONLY[part][turn % len(_NOISE_ONLY[part])]
    how = Setting("none", how.rate, kind, False, how.speech_dbfs, how.seed)
    seed = np.random.RandomState(how.seed)
    size = round(seed.uniform(1.5, 4.0) * LISTEN_RATE_HZ)
    talk = talkers(kind, part, studio)
    alone = {"laughter": noises.laughter, "coughs": noises.coughs}.get(kind)
    sound = alone(size, seed) if alone else noise(kind, size, seed, talk)
    loud = noises.unit_power(sound) * 32_768 * 10 ** (how.speech_dbfs / 20)
    return "", how, clip_of(loud, LISTEN_RATE_HZ)


_MAKERS = {
    "shop talk": _shop_talk,
    "person": _person,
    "noise": _noise_alone,
    "own voice": _own_voice,
}


@cache
def prompts(part: str) -> tuple[str, ...]:
    """Sentences the assistant speaks itself, those without a value to fill in; half a part."""
    book = Phrasebook.load(grammar_files("en")["sentences.toml"], english().say)
    whole = [
        english().spoken(book.plain(key))
        for key in sorted(book.sentences)
        if "{" not in book.sentences[key] and len(book.plain(key).split()) >= 4
    ]
    no_phrase = [words for words in dict.fromkeys(whole) if not means_something(words)]
    return tuple(no_phrase[PARTS.index(part) :: 2])


def _at_most(speech: Floats) -> Floats:
    return speech[: round((LONGEST_S - 1) * LISTEN_RATE_HZ)]


def _with_voice(how: Setting, voice: str) -> Setting:
    return Setting(voice, "normal", how.noise, how.echo, how.speech_dbfs, how.seed)
