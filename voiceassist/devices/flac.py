"""Sound as FLAC, which loses nothing and takes about half the room."""

import io

from voiceassist.devices.library import library
from voiceassist.errors import DeviceError
from voiceassist.sound.clip import Clip
from voiceassist.sound.samples import samples_of


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
