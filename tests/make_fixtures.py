"""Makes the recorded phrases in audio_fixtures/, the same bytes each time.

Run it as ``python tests/make_fixtures.py [FOLDER]``; it needs Debian's package flite. Each
phrase of FOLDER/demo/script.yaml and FOLDER/phrases/script.yaml becomes a 16 kHz, 16-bit mono
WAV with its label beside it. Speech stands at -20 dBFS, noise 20 dB below it, with 0.25 s of
quiet and a faint dither on each side. WAV files and labels of phrases no longer listed go.
"""

import subprocess
import sys
import zlib
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np
import yaml
from numpy.typing import NDArray

from voiceassist.devices.wav import read_clip, write_clip
from voiceassist.sound.clip import LISTEN_RATE_HZ
from voiceassist.sound.resample import resampled
from voiceassist.sound.samples import clip_of, samples_of

Floats = NDArray[np.float64]

HOME = Path(__file__).parent.parent / "audio_fixtures"
DEMO_VOICE = "rms"
LICENCE = (
    "made by machine with Carnegie Mellon's flite and its free voice; use, change and pass on "
    "without restriction"
)
NOISE_LICENCE = "made by tests/make_fixtures.py; use, change and pass on without restriction"

_QUIET_S = 0.25
_SPEECH_RMS = 32_768 * 10 ** (-20 / 20)
_NOISE_RMS = 32_768 * 10 ** (-40 / 20)
_HIGHEST_PEAK = 32_768 * 10 ** (-1 / 20)
_STEP_S = 0.01
_EDGE_DB = -40.0
_HUM_HZ = 50.0


def make(home: Path) -> list[Path]:
    """Make what the scripts in ``home`` list; the WAV files made."""
    made = []
    for folder in ("demo", "phrases"):
        script = yaml.safe_load((home / folder / "script.yaml").read_text(encoding="utf-8"))
        names = {phrase["name"] for phrase in script["phrases"]}
        for old in (home / folder).iterdir():
            if old.name != "script.yaml" and old.stem not in names:
                old.unlink()
        made += [make_phrase(home / folder, phrase) for phrase in script["phrases"]]
    return made


def make_phrase(folder: Path, phrase: dict[str, Any]) -> Path:
    """Make one phrase's WAV and label; the WAV's path."""
    seed = np.random.RandomState(zlib.crc32(phrase["name"].encode()))
    words = phrase.get("words", "")
    voice = phrase.get("voice", DEMO_VOICE) if words else ""
    speech = _spoken(phrase.get("say", words), voice) if words else np.zeros(0)
    quiet = round(_QUIET_S * LISTEN_RATE_HZ)
    body = round(phrase["seconds"] * LISTEN_RATE_HZ) if not words else speech.size + 2 * quiet
    sound = _dither(body, seed) + _noise(phrase.get("noise", ""), body, seed)
    if words:
        sound[quiet : quiet + speech.size] += speech
    label: dict[str, Any] = {
        "words": words,
        "start_s": _QUIET_S if words else None,
        "end_s": round(_QUIET_S + speech.size / LISTEN_RATE_HZ, 2) if words else None,
        "rate_hz": LISTEN_RATE_HZ,
        "voice": f"flite {voice}" if words else "none",
        "noise": f"{phrase['noise']}, 20 dB below speech" if "noise" in phrase else "none",
        "licence": LICENCE if words else NOISE_LICENCE,
    }
    path = folder / f"{phrase['name']}.wav"
    write_clip(path, clip_of(sound, LISTEN_RATE_HZ))
    text = yaml.safe_dump(label, sort_keys=False, allow_unicode=True, width=200)
    path.with_suffix(".yaml").write_text(text, encoding="utf-8")
    return path


def _spoken(words: str, voice: str) -> Floats:
    """The words in a flite voice, without quiet at the ends, at the level of all speech here."""
    with TemporaryDirectory() as folder:
        file = Path(folder) / "spoken.wav"
        command = ["flite", "-voice", voice, "-t", words, "-o", str(file)]
        subprocess.run(command, check=True)
        samples = samples_of(resampled(read_clip(file))).astype(np.float64)
    speech = _trimmed(samples)
    gain = _SPEECH_RMS / float(np.sqrt(np.mean(speech**2)))
    return speech * min(gain, _HIGHEST_PEAK / float(np.abs(speech).max()))


def _trimmed(samples: Floats) -> Floats:
    """From the first to the last 10 ms that come within 40 dB of the loudest."""
    step = round(_STEP_S * LISTEN_RATE_HZ)
    whole = samples[: samples.size // step * step].reshape(-1, step)
    power = np.mean(whole**2, axis=1)
    loud = np.flatnonzero(power > power.max() * 10 ** (_EDGE_DB / 10))
    return samples[loud[0] * step : (loud[-1] + 1) * step]


def _dither(size: int, seed: np.random.RandomState) -> Floats:
    """Triangular noise of about one step of the 16-bit scale."""
    return seed.uniform(-1, 1, size) + seed.uniform(-1, 1, size)


def _noise(kind: str, size: int, seed: np.random.RandomState) -> Floats:
    """Noise at its level: "pink", "hum" (mains and its harmonics) or "" for none."""
    if not kind:
        return np.zeros(size)
    shape = {"pink": _pink, "hum": _hum}[kind](size, seed)
    return shape * (_NOISE_RMS / float(np.sqrt(np.mean(shape**2))))


def _pink(size: int, seed: np.random.RandomState) -> Floats:
    """Noise whose power falls by 3 dB an octave, from 20 Hz up."""
    spectrum = np.fft.rfft(seed.standard_normal(size))
    hertz = np.fft.rfftfreq(size, 1 / LISTEN_RATE_HZ)
    spectrum[1:] /= np.sqrt(hertz[1:])
    spectrum[hertz < 20] = 0
    return np.fft.irfft(spectrum, size)


def _hum(size: int, seed: np.random.RandomState) -> Floats:
    """Mains hum: odd and even harmonics, each half as strong as the one before."""
    at_s = np.arange(size) / LISTEN_RATE_HZ
    waves = [
        0.5**n * np.sin(2 * np.pi * _HUM_HZ * (n + 1) * at_s + seed.uniform(0, 2 * np.pi))
        for n in range(6)
    ]
    return np.asarray(np.sum(waves, axis=0))


if __name__ == "__main__":
    home = Path(sys.argv[1]) if len(sys.argv) > 1 else HOME
    sys.stdout.write(f"{len(make(home))} phrases made in {home}\n")
