"""Speech by machine: flite and espeak-ng, at three rates, kept in a folder once spoken."""

import hashlib
import os
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from voiceassist.devices.wav import read_clip, write_clip
from voiceassist.sound.clip import LISTEN_RATE_HZ
from voiceassist.sound.resample import resampled
from voiceassist.sound.samples import samples_of
from voiceassist.speak.espeak import EspeakVoice

Floats = NDArray[np.float64]

#: How much longer than usual flite takes, and espeak-ng's words a minute.
STRETCH = {"slow": 1.25, "normal": 1.0, "fast": 0.8}
WORDS_A_MINUTE = {"slow": 130, "normal": 160, "fast": 195}
RATES = tuple(STRETCH)

#: Spelled for the synthesisers, which would say "mill ivolts" and "red back". Every other word
#: of the heard grammars has in flite the phones that the CMU dictionary gives it, but for an
#: unstressed vowel in "foxtrot" and "juliett".
_SPELLED = {"milli": "milly ", "read back": "reed back"}
_STEP_S = 0.01
_EDGE = 1e-4


@dataclass(frozen=True, slots=True)
class Studio:
    """Has words spoken.

    Parts:
        folder: keeps what was spoken; must not lie in the repository.
    """

    folder: Path

    def spoken(self, words: str, voice: str, rate: str) -> Floats:
        """``words`` without quiet at the ends, 16 kHz, on the 16-bit scale.

        Args:
            words: to be said.
            voice: "flite slt" or "espeak en-gb", the program and its voice.
            rate: one of ``RATES``.
        """
        text = words
        for word, spelled in _SPELLED.items():
            text = text.replace(word, spelled)
        key = hashlib.sha256(f"{voice}/{rate}/{text}".encode()).hexdigest()[:32]
        kept = self.folder / f"{key}.wav"
        if not kept.exists():
            self.folder.mkdir(parents=True, exist_ok=True)
            # Under a name of its own first: another run may be at work in the same folder.
            fresh = self.folder / f"{key}.{os.getpid()}.wav"
            _speak(text, voice, rate, fresh)
            fresh.replace(kept)
        return trimmed(samples_of(read_clip(kept)).astype(np.float64))


def _speak(text: str, voice: str, rate: str, path: Path) -> None:
    program, _, name = voice.partition(" ")
    if program == "espeak":
        clip = EspeakVoice(name, WORDS_A_MINUTE[rate]).synthesise(text)
    else:
        stretch = f"duration_stretch={STRETCH[rate]}"
        command = ["flite", "-voice", name, "--setf", stretch, "-t", text, "-o", str(path)]
        subprocess.run(command, check=True)
        clip = read_clip(path)
    write_clip(path, resampled(clip, LISTEN_RATE_HZ))


def trimmed(samples: Floats) -> Floats:
    """From the first to the last 10 ms that come within 40 dB of the loudest."""
    step = round(_STEP_S * LISTEN_RATE_HZ)
    whole = samples[: samples.size // step * step].reshape(-1, step)
    power = np.mean(whole**2, axis=1)
    if not power.any():
        return samples
    loud = np.flatnonzero(power > power.max() * _EDGE)
    return samples[loud[0] * step : (loud[-1] + 1) * step]


def missing_programs() -> list[str]:
    """Debian packages that the sounds need and that are not installed."""
    programs = {"flite": "flite", "espeak-ng": "espeak-ng", "ffmpeg": "ffmpeg"}
    return [package for program, package in programs.items() if shutil.which(program) is None]
