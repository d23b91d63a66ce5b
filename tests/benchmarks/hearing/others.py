"""Speech that is no phrase of the grammars, and noise that is no speech: for false accepts.

People's recordings are read where Debian's packages asterisk-core-sounds-en-g722 (one woman's
telephone prompts) and pocketsphinx-testdata (a novel and playing cards, read) have put them.
"""

import gzip
import random
import re
import subprocess
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from benchmarks.hearing import noises
from benchmarks.hearing.phrases import LEVELS, PARTS
from benchmarks.hearing.sounds import Setting, noise, pool, recorded, sentences, setting
from benchmarks.hearing.steps import STEPS, english, means_something
from benchmarks.hearing.voices import Studio, trimmed
from numpy.typing import NDArray

from voiceassist.devices.wav import read_clip
from voiceassist.language.phrasebook import Phrasebook
from voiceassist.resources import grammar_files
from voiceassist.sound.clip import LISTEN_RATE_HZ, Clip
from voiceassist.sound.samples import clip_of, samples_of

Floats = NDArray[np.float64]

PROMPTS = Path("/usr/share/asterisk/sounds/en")
PROMPT_WORDS = Path("/usr/share/doc/asterisk-core-sounds-en/core-sounds-en.txt.gz")
READ_ALOUD = Path("/usr/share/pocketsphinx/test/data")
#: Where each package has put what is read, by the package's name.
PACKAGES: Mapping[str, Path] = {
    "asterisk-core-sounds-en": PROMPT_WORDS,
    "asterisk-core-sounds-en-g722": PROMPTS / "activated.g722",
    "pocketsphinx-testdata": READ_ALOUD / "librivox",
}
#: A segment is cut at this length when somebody does not stop talking.
LONGEST_S = 8.0
#: 0.4 s of G.722, which takes 64 kbit a second.
_LEAST_BYTES = 3200
#: The voice the assistant has itself, as its settings are when nothing is changed.
OWN_VOICE = "espeak en-us"
_NOISE_ONLY = ("laughter", "coughs", *noises.KINDS)
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


@dataclass(frozen=True, slots=True)
class Recording:
    """A person's recording with its words."""

    path: Path
    words: str


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
    kind = _NOISE_ONLY[turn % len(_NOISE_ONLY)]
    how = Setting("none", how.rate, kind, False, how.speech_dbfs, how.seed)
    seed = np.random.RandomState(how.seed)
    size = round(seed.uniform(1.5, 4.0) * LISTEN_RATE_HZ)
    talk = pool(part, studio) if kind == "babble" else ()
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
        if not book.names_in(key) and len(book.plain(key).split()) >= 4
    ]
    no_phrase = [words for words in dict.fromkeys(whole) if not means_something(words)]
    return tuple(no_phrase[PARTS.index(part) :: 2])


@cache
def people(part: str) -> tuple[Recording, ...]:
    """Half of the recordings of people, the few who read aloud first, in an order of its own."""
    rng = random.Random(_SOURCE_SEEDS["fit"])
    told = [record for record in _telephone() if not means_something(record.words)]
    mixed = rng.sample(told, len(told))
    read = [record for record in _read_aloud() if not means_something(record.words)]
    return tuple(read[PARTS.index(part) :: 2] + mixed[PARTS.index(part) :: 2])


def _telephone() -> Iterator[Recording]:
    """Prompts whose words the package gives; tones and the like stand in square brackets."""
    text = gzip.decompress(PROMPT_WORDS.read_bytes()).decode()
    for line in text.splitlines():
        name, _, words = line.partition(": ")
        path = PROMPTS / f"{name}.g722"
        # Digits and letters by themselves are words of the grammars.
        spelling = name.startswith(("digits/", "letters/", "phonetic/", "silence/"))
        told = words and not line.startswith(";") and "[" not in words
        if told and not spelling and path.exists() and path.stat().st_size > _LEAST_BYTES:
            yield Recording(path, _plain(words))


def _read_aloud() -> Iterator[Recording]:
    for transcript in ("librivox/transcription", "cards/cards.transcription"):
        for line in (READ_ALOUD / transcript).read_text(encoding="utf-8").splitlines():
            found = re.fullmatch(r"<s> (.+?)\s*</s> \((.+)\)", line)
            if found:
                yield Recording((READ_ALOUD / transcript).parent / f"{found[2]}.wav", found[1])


def read_recording(path: Path) -> Floats:
    """A recording at 16 kHz on the 16-bit scale."""
    if path.suffix == ".wav":
        return samples_of(read_clip(path)).astype(np.float64)
    command = ["ffmpeg", "-loglevel", "error", "-f", "g722", "-i", str(path)]
    command += ["-ar", str(LISTEN_RATE_HZ), "-ac", "1", "-f", "s16le", "-"]
    done = subprocess.run(command, check=True, capture_output=True)
    return samples_of(Clip(done.stdout)).astype(np.float64)


def _plain(words: str) -> str:
    return " ".join(re.findall(r"[a-z0-9']+", words.lower()))


def _at_most(speech: Floats) -> Floats:
    return speech[: round((LONGEST_S - 1) * LISTEN_RATE_HZ)]


def _with_voice(how: Setting, voice: str) -> Setting:
    return Setting(voice, "normal", how.noise, how.echo, how.speech_dbfs, how.seed)
