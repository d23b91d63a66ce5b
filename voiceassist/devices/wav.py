"""Sound files, read and written."""

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from voiceassist.devices.library import library
from voiceassist.errors import DeviceError
from voiceassist.sound.clip import Clip
from voiceassist.sound.samples import clip_of_floats, samples_of

_INSTALL = "install voiceassist again with its requirements"

#: Below telephone sound nothing is understood; no sound card is faster.
_SLOWEST_HZ, _FASTEST_HZ = 4_000, 384_000
#: Of all channels; half an hour at 48 kHz.
_MOST_SAMPLES = 90_000_000


def read_clip(path: Path) -> Clip:
    """The whole of a sound file (WAV, FLAC and whatever else libsndfile reads), at its own rate.

    Several channels are averaged.

    Raises:
        DeviceError: the file is missing, unreadable, not a sound file, empty, or damaged.
    """
    soundfile = library("soundfile", "libsndfile", _INSTALL)
    try:
        if not path.exists():
            raise DeviceError("there is no such file", place=str(path), remedy="check its name")
        if path.is_dir():
            raise DeviceError("this is a folder", place=str(path), remedy="name a sound file in it")
        with path.open("rb") as file, soundfile.SoundFile(file) as sound:
            _check_size(path, sound.frames * sound.channels, sound.samplerate)
            samples, rate_hz = sound.read(dtype="float32", always_2d=True), sound.samplerate
    except OSError as error:
        raise DeviceError(f"it cannot be read: {error.strerror}", place=str(path)) from None
    except RuntimeError:  # the library's own error is one
        raise DeviceError(
            "this is not a sound file", place=str(path), remedy="give a WAV or FLAC file"
        ) from None
    if not len(samples):
        raise DeviceError("there is no sound in it", place=str(path), remedy="record it again")
    if not bool(np.isfinite(samples).all()):
        raise DeviceError(
            "it holds samples that are not numbers", place=str(path), remedy="record it again"
        )
    return clip_of_floats(samples, rate_hz)


def _check_size(path: Path, samples: int, rate_hz: int) -> None:
    """Refuse what no recording of speech is, before it is read into memory."""
    if not _SLOWEST_HZ <= rate_hz <= _FASTEST_HZ:
        raise DeviceError(
            f"it says that it has {rate_hz} samples a second",
            place=str(path),
            remedy=f"give one with {_SLOWEST_HZ} to {_FASTEST_HZ}",
        )
    if samples > _MOST_SAMPLES:
        raise DeviceError(
            f"it holds {samples // 1_000_000} million samples",
            place=str(path),
            remedy=f"cut it into files of at most {_MOST_SAMPLES // 1_000_000} million",
        )


def write_clip(path: Path, clip: Clip) -> None:
    """Write ``clip`` as a 16-bit mono WAV file for its owner alone, replacing what was there.

    Raises:
        DeviceError: the file cannot be written.
    """
    soundfile = library("soundfile", "libsndfile", _INSTALL)

    def write() -> None:
        with open(path, "wb", opener=_for_owner) as file:
            soundfile.write(file, samples_of(clip), clip.rate_hz, format="WAV", subtype="PCM_16")

    _or_device_error(write, path)


def _for_owner(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)


def _or_device_error(write: Callable[[], Any], path: Path) -> None:
    try:
        if not path.parent.is_dir():
            raise DeviceError(
                "there is no such folder", place=str(path.parent), remedy="make it first"
            )
        write()
    except (OSError, RuntimeError) as error:
        reason = getattr(error, "strerror", None) or "folder, disk or permission forbids it"
        raise DeviceError(f"it cannot be written: {reason}", place=str(path)) from None
