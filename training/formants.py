"""Speaks phrases with espeak-ng: formants instead of a network, in many voices and accents.

It says a hundred seconds in one, and sounds like nothing that the speech network can say.
"""

import io
import re
import subprocess
import wave
from collections.abc import Sequence
from random import Random

import numpy as np
import torch
from numpy.typing import NDArray

from training.clips import RATE_HZ, Shard
from training.speech import LONGEST_S, loud_and_trimmed, resampled

ACCENTS = ("en-us", "en-gb", "en-gb-x-rp", "en-gb-scotland", "en-us-nyc", "en-029")
_OFTEN = (40, 25, 10, 10, 8, 7)
#: The variants that come with it, but for those that are jokes.
VARIANTS = (
    *("m1", "m2", "m3", "m4", "m5", "m6", "m7", "m8", "f1", "f2", "f3", "f4", "f5"),
    *("klatt", "klatt2", "klatt3", "klatt4", "klatt5", "klatt6", "croak", "whisper", "adam"),
    *("Alex", "Alicia", "Andrea", "Andy", "Annie", "anika", "antonio", "aunty", "belinda"),
    *("benjamin", "boris", "caleb", "david", "Denis", "Diogo", "ed", "edward", "Gene", "grandma"),
    *("grandpa", "Gustave", "Hugo", "Jacky", "john", "Lee", "linda", "marcelo", "Marco", "Max"),
    *("michael", "Michael", "miguel", "mike", "pablo", "paul", "pedro", "quincy", "rob", "robert"),
    *("sandro", "shelby", "steph", "travis", "victor", "Zac", "norbert", "kaukovalta", "iven"),
)
#: As it would have to read them to say them rightly.
_SPELLED = {"kilohm": "kill ohm", "milli": "milly ", "read back": "reed back"}
_PLAIN, _SLOWLY = 0.12, 0.2
#: It stresses a teen as if it were a ten, unless a hyphen parts it.
_TEEN, _LATE = re.compile(r"teen\b"), 0.65


def command(rng: Random) -> list[str]:
    """A voice: its accent, variant, pace, pitch, and now and then a pause after each word."""
    accent = rng.choices(ACCENTS, _OFTEN)[0]
    voice = accent if rng.random() < _PLAIN else f"{accent}+{rng.choice(VARIANTS)}"
    pace, pitch = rng.randrange(115, 225), rng.randrange(15, 90)
    gap = rng.randrange(1, 12) if rng.random() < _SLOWLY else 0
    return ["espeak-ng", "-v", voice, "-s", f"{pace}", "-p", f"{pitch}", "-g", f"{gap}", "--stdout"]


def said(text: str, rng: Random) -> NDArray[np.int16] | None:
    """The sound of a phrase in some voice; None where nothing was to be heard."""
    for word, spelled in _SPELLED.items():
        text = text.replace(word, spelled)
    if rng.random() < _LATE:
        text = _TEEN.sub("-teen", text)
    told = subprocess.run([*command(rng), text], capture_output=True, check=True)
    samples, rate = wave_of(told.stdout)
    if not samples.any():
        return None
    sound = torch.from_numpy(samples.astype(np.float32))
    return loud_and_trimmed(resampled(sound, rate, RATE_HZ))


def wave_of(data: bytes) -> tuple[NDArray[np.int16], int]:
    """The samples of a WAVE file of one channel, and how many make a second."""
    with wave.open(io.BytesIO(data)) as file:
        return np.frombuffer(file.readframes(1 << 30), np.int16), file.getframerate()


def speak(texts: Sequence[str], rng: Random) -> Shard:
    """A shard of what espeak-ng says."""
    sounds, kept = [], []
    for text in texts:
        sound = said(text, rng)
        if sound is not None and len(sound) <= LONGEST_S * RATE_HZ:
            sounds.append(sound)
            kept.append(text)
    return Shard(tuple(kept), tuple(sounds))
