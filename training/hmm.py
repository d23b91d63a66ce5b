"""Speaks phrases with RHVoice: hidden Markov models of people who were recorded.

Two of them speak English by themselves; three say it with the sounds of Russian. The rest of the
many voices is their throat, pace and pitch, each drawn by itself.
"""

import ctypes
import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from random import Random

import numpy as np
import torch
from numpy.typing import NDArray

from training.clips import RATE_HZ, Shard
from training.speech import LONGEST_S, loud_and_trimmed, resampled

#: Who speaks, and how often.
NAMES = ("Bdl", "Clb", "Aleksandr", "Irina", "Elena")
_OFTEN = (43, 43, 5, 4, 5)
#: As it would have to read them to say them rightly.
_SPELLED = {"kilohm": "kill ohm", "megohm": "meg ohm", "milli": "milly ", "read back": "reed back"}
#: A throat is made by playing the sound at another rate, in steps that divide both rates well.
_MADE_HZ, _STEP_HZ = 24_000, 400
_THROAT, _PACE, _PITCH = (0.84, 1.2), (0.85, 1.6), (0.72, 1.4)
_LIBRARIES = ("libRHVoice_core.so.7", "libRHVoice.so.5")


@dataclass(frozen=True, slots=True)
class Voice:
    """Who speaks, and how.

    Parts:
        name: one of ``NAMES``.
        made_hz: the rate at which the sound is played: a faster one makes the throat shorter.
        pace, pitch: against those that the model has in a throat of its own.
    """

    name: str
    made_hz: int
    pace: float
    pitch: float

    @classmethod
    def drawn(cls, rng: Random) -> "Voice":
        """Some voice."""
        throat, pace, pitch = (math.exp(rng.uniform(*map(math.log, r))) for r in _RANGES)
        made_hz = round(_MADE_HZ * throat / _STEP_HZ) * _STEP_HZ
        return cls(rng.choices(NAMES, _OFTEN)[0], made_hz, pace, pitch)

    def told(self) -> "_Manner":
        """The same as the library takes it, before the sound is played at its rate."""
        throat = self.made_hz / _MADE_HZ
        return _Manner(
            self.name.encode(),
            relative_rate=self.pace / throat,
            relative_pitch=self.pitch / throat,
            relative_volume=1,
        )


_RANGES = (_THROAT, _PACE, _PITCH)


class Models:
    """The synthesiser, with its models in memory."""

    def __init__(self, folder: Path) -> None:
        """``folder`` holds what ``sources`` unpacked: the libraries, and ``data``."""
        for name in _LIBRARIES:
            self._library = ctypes.CDLL(str(folder / name), mode=ctypes.RTLD_GLOBAL)
        self._said: list[bytes] = []
        self._rate = _MADE_HZ
        self._callbacks = _Callbacks(_RATE_SET(self._play_at), _PLAYED(self._play))
        ours = _Start(str(folder / "data").encode(), str(folder).encode(), None, self._callbacks)
        self._library.RHVoice_new_tts_engine.restype = ctypes.c_void_p
        self._library.RHVoice_new_message.restype = ctypes.c_void_p
        self._engine = ctypes.c_void_p(self._library.RHVoice_new_tts_engine(ctypes.byref(ours)))
        if not self._engine:
            raise RuntimeError(f"RHVoice finds no voices in {folder}")

    def said(self, text: str, voice: Voice) -> NDArray[np.int16] | None:
        """The sound of a phrase; None where nothing was said."""
        for word, spelled in _SPELLED.items():
            text = text.replace(word, spelled)
        samples = self._samples(text.encode(), voice.told())
        if not samples.any():
            return None
        sound = torch.from_numpy(samples.astype(np.float32))
        made_hz = voice.made_hz * self._rate // _MADE_HZ
        return loud_and_trimmed(resampled(sound, made_hz, RATE_HZ))

    def _samples(self, text: bytes, manner: "_Manner") -> NDArray[np.int16]:
        self._said.clear()
        message = ctypes.c_void_p(
            self._library.RHVoice_new_message(
                self._engine, text, len(text), 0, ctypes.byref(manner), None
            )
        )
        if not message:
            return np.zeros(0, np.int16)
        self._library.RHVoice_speak(message)
        self._library.RHVoice_delete_message(message)
        return np.frombuffer(b"".join(self._said), np.int16)

    def _play_at(self, rate: int, _: int | None) -> int:
        self._rate = rate
        return 1

    def _play(self, samples: int, count: int, _: int | None) -> int:
        self._said.append(ctypes.string_at(samples, 2 * count))
        return 1

    def speak(self, texts: Sequence[str], rng: Random) -> Shard:
        """A shard of what they say."""
        sounds = [(text, self.said(text, Voice.drawn(rng))) for text in texts]
        kept = [(t, s) for t, s in sounds if s is not None and len(s) <= LONGEST_S * RATE_HZ]
        return Shard(tuple(t for t, _ in kept), tuple(s for _, s in kept))


_RATE_SET = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_int, ctypes.c_void_p)
_PLAYED = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_void_p, ctypes.c_uint, ctypes.c_void_p)


class _Callbacks(ctypes.Structure):
    _fields_ = (
        ("set_sample_rate", _RATE_SET),
        ("play_speech", _PLAYED),
        ("others", ctypes.c_void_p * 7),
    )


class _Start(ctypes.Structure):
    _fields_ = (
        ("data_path", ctypes.c_char_p),
        ("config_path", ctypes.c_char_p),
        ("resource_paths", ctypes.c_void_p),
        ("callbacks", _Callbacks),
        ("options", ctypes.c_uint),
    )


class _Manner(ctypes.Structure):
    _fields_ = (
        ("voice_profile", ctypes.c_char_p),
        *((f"absolute_{part}", ctypes.c_double) for part in ("rate", "pitch", "volume")),
        *((f"relative_{part}", ctypes.c_double) for part in ("rate", "pitch", "volume")),
        ("punctuation_mode", ctypes.c_int),
        ("punctuation_list", ctypes.c_char_p),
        ("capitals_mode", ctypes.c_int),
        ("flags", ctypes.c_int),
    )
