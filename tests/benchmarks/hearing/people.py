"""Recordings of people with their words, halved between the parts.

They are read where Debian's packages asterisk-core-sounds-en-g722 (one woman's telephone prompts)
and pocketsphinx-testdata (a novel and playing cards, read) have put them.
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
from benchmarks.hearing.phrases import PARTS
from benchmarks.hearing.steps import means_something
from numpy.typing import NDArray

from voiceassist.devices.wav import read_clip
from voiceassist.sound.clip import LISTEN_RATE_HZ, Clip
from voiceassist.sound.samples import samples_of

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
#: 0.4 s of G.722, which takes 64 kbit a second.
_LEAST_BYTES = 3200
_ORDER_SEED = 11


@dataclass(frozen=True, slots=True)
class Recording:
    """A person's recording with its words."""

    path: Path
    words: str


@cache
def people(part: str) -> tuple[Recording, ...]:
    """Half of the recordings of people, the few who read aloud first, in an order of its own."""
    rng = random.Random(_ORDER_SEED)
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
