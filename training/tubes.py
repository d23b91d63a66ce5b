"""Speaks phrases with gnuspeech: a model of the air in throat, mouth and nose, moved by rules.

It is neither a network nor formants nor pieces of recordings, and any throat can be given to it.
"""

import base64
import json
import subprocess
from collections.abc import Sequence
from pathlib import Path
from random import Random

import numpy as np
import torch
from numpy.typing import NDArray

from training.clips import RATE_HZ, Shard
from training.formants import wave_of
from training.speech import LONGEST_S, loud_and_trimmed, resampled

HERE = Path(__file__).parent
#: As it would have to read them to say them rightly.
_SPELLED = {"kilohm": "kill ohm", "megohm": "meg ohm", "milli": "milly ", "read back": "reed back"}
_NOSE_CM = (1.35, 1.96, 1.91, 1.3, 0.73)


_Values = dict[str, float | str]


def voice(rng: Random) -> dict[str, str]:
    """The files of a voice: its throat, how it moves, and the air that drives it."""
    files = {"voice_male": _throat(rng), "trm_control_model": _melody(rng), "trm": _air(rng)}
    return {
        name: "".join(f"{part} = {value}\n" for part, value in values.items())
        for name, values in files.items()
    }


def _throat(rng: Random) -> _Values:
    """A woman's or a man's, in centimetres, semitones and percent."""
    woman = rng.random() < 0.5
    length, pitch = (rng.uniform(13.3, 16.2), 0) if woman else (rng.uniform(15.8, 18.6), -12)
    open_for = rng.uniform(18, 36)
    return {
        "vocal_tract_length": length,
        "glottal_pulse_tp": rng.uniform(30, 45),
        "glottal_pulse_tn_min": open_for,
        "glottal_pulse_tn_max": open_for + rng.uniform(0, 6),
        "reference_glottal_pitch": pitch + rng.uniform(-5, 4),
        "breathiness": rng.choice((rng.uniform(0.2, 2), rng.uniform(1, 5))),
        "aperture_radius": rng.uniform(2.6, 3.4),
        **{f"nose_radius_{k}": cm * rng.uniform(0.9, 1.1) for k, cm in enumerate(_NOSE_CM, 1)},
        "global_nose_radius_coef": rng.uniform(0.85, 1.15),
        **{f"radius_{k}_coef": rng.uniform(0.88, 1.12) for k in range(1, 9)},
        "global_radius_coef": rng.uniform(0.92, 1.08),
    }


def _melody(rng: Random) -> _Values:
    """Pace and pitch along a phrase."""
    return {
        "control_rate": 250,
        "voice_name": "male",
        "tempo": rng.uniform(0.75, 1.35),
        "pitch_offset": -4,
        "drift_deviation": rng.uniform(0.2, 1.2),
        "drift_lowpass_cutoff": rng.uniform(0.5, 3),
        **dict.fromkeys(("micro_intonation", "macro_intonation", "intonation_drift"), 1),
        "random_intonation": 1,
        "notional_pitch": rng.uniform(0, 3),
        "pretonic_range": rng.uniform(-4, 1),
        "pretonic_lift": rng.uniform(1, 5),
        "tonic_range": rng.uniform(-10, 2),
        "tonic_movement": rng.uniform(1, 5),
        **{f"dictionary_{k}_file": "none" for k in (1, 2)},
        "dictionary_3_file": "MainDictionary.txt",
    }


def _air(rng: Random) -> _Values:
    return {
        "output_rate": 44100.0,
        "volume": 60.0,
        "channels": 1,
        "balance": 0.0,
        "waveform": 0,
        "vocal_tract_length_offset": 0.0,
        "temperature": rng.uniform(28, 36),
        "loss_factor": rng.uniform(0.5, 1.6),
        "mouth_coefficient": rng.uniform(3500, 5000),
        "nose_coefficient": rng.uniform(3500, 5000),
        "throat_cutoff": rng.uniform(1000, 2000),
        "throat_volume": rng.uniform(0, 12),
        "noise_modulation": 1,
        "mix_offset": rng.uniform(42, 56),
    }


class Tubes:
    """The synthesiser, waiting for phrases."""

    def __init__(self, module: Path) -> None:
        command = ["node", str(HERE / "tubes.mjs"), str(module)]
        self._process = subprocess.Popen(
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
        )

    def said(self, text: str, rng: Random) -> NDArray[np.int16] | None:
        """The sound of a phrase in some voice; None where nothing was said."""
        for word, spelled in _SPELLED.items():
            text = text.replace(word, spelled)
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        print(json.dumps({"said": text, "files": voice(rng)}), file=self._process.stdin, flush=True)
        answer = base64.b64decode(self._process.stdout.readline())
        samples, rate = wave_of(answer) if answer else (np.zeros(0, np.int16), RATE_HZ)
        if not samples.any():
            return None
        sound = torch.from_numpy(samples.astype(np.float32))
        return loud_and_trimmed(resampled(sound, rate, RATE_HZ))

    def close(self) -> None:
        """Let it end."""
        self._process.communicate()

    def speak(self, texts: Sequence[str], rng: Random) -> Shard:
        """A shard of what it says."""
        sounds = [(text, self.said(text, rng)) for text in texts]
        kept = [(t, s) for t, s in sounds if s is not None and len(s) <= LONGEST_S * RATE_HZ]
        return Shard(tuple(t for t, _ in kept), tuple(s for _, s in kept))
