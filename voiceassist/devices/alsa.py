"""Keeps the sound library of Linux from writing to the terminal."""

import ctypes
import sys
from functools import cache
from typing import Any

_LIBRARY = "libasound.so.2"
#: File, line, function, error number and a format, whose values follow and are not looked at.
_HANDLER = ctypes.CFUNCTYPE(
    None, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p
)


@cache
def hush_alsa() -> Any:  # noqa: ANN401 - what a library wants kept
    """Let ALSA keep its remarks, such as "underrun occurred", to itself.

    They would stand in the midst of what the technician reads; what matters of them comes to us
    as errors of PortAudio. Without ALSA nothing is done.

    Returns:
        What must not be forgotten while ALSA runs; ``cache`` holds it.
    """
    if not sys.platform.startswith("linux"):
        return None
    handler = _HANDLER(lambda *_: None)
    try:
        ctypes.CDLL(_LIBRARY).snd_lib_error_set_handler(handler)
    except (OSError, AttributeError):
        return None
    return handler
