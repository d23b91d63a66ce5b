"""Sound as FLAC, which loses nothing and takes about half the room."""

import io

from voiceassist.devices.library import library
from voiceassist.errors import DeviceError
from voiceassist.sound.clip import Clip
from voiceassist.sound.samples import clip_of, samples_of


def flac_bytes(clip: Clip) -> bytes:
    """``clip`` as the content of a 16-bit mono FLAC file (RFC 9639).

    Raises:
        DeviceError: the library is missing, or cannot write it.
    """
    soundfile = library("soundfile", "libsndfile", "install voiceassist again")
    content = io.BytesIO()
    try:
        soundfile.write(content, samples_of(clip), clip.rate_hz, format="FLAC", subtype="PCM_16")
    except RuntimeError as error:  # the library's own error is one
        raise DeviceError(f"sound cannot be written as FLAC: {error}") from None
    return content.getvalue()


def clip_of_flac(data: bytes) -> Clip:
    """The sound in the content of such a file.

    Raises:
        DeviceError: the library is missing, or this is no such content.
    """
    soundfile = library("soundfile", "libsndfile", "install voiceassist again")
    try:
        samples, rate_hz = soundfile.read(io.BytesIO(data), dtype="int16")
    except RuntimeError as error:  # the library's own error is one
        raise DeviceError(f"this is no sound: {error}") from None
    return clip_of(samples, rate_hz)
