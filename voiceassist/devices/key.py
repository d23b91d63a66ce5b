"""A key to talk: the space bar, or a foot switch that types a key."""

import atexit
import importlib
import os
import select
import sys
import time
from contextlib import suppress
from typing import Any, TextIO

from voiceassist.errors import DeviceError

#: A key held down types again and again; what comes so soon after the last is the same press.
_HELD_S = 0.7
_MOST_BYTES = 1024


class TalkKey:
    """Any key of a terminal, which from now on gives each one at once and shows none.

    Ctrl-C still ends the program.

    Args:
        terminal: where keys are typed; standard input if None.

    Raises:
        DeviceError: it is no terminal, or this system has none of that kind.
    """

    def __init__(self, terminal: TextIO | None = None) -> None:
        termios = _termios()
        stream = terminal or sys.stdin
        if not stream.isatty():
            raise DeviceError(
                "there is no keyboard to press a key on",
                place="standard input",
                remedy="start it in a terminal, or use talk = open or talk = name",
            )
        self._file = stream.fileno()
        self._before: Any = termios.tcgetattr(self._file)
        self._last_s = -_HELD_S
        self._set_raw(termios)
        atexit.register(self.close)

    def pressed(self) -> bool:
        """True once for each press since the last question; a key held down is one press."""
        if not self._typed():
            return False
        now_s = time.monotonic()
        fresh = now_s - self._last_s >= _HELD_S
        self._last_s = now_s
        return fresh

    def close(self) -> None:
        """Leave the terminal as it was; as often as one likes."""
        if self._before is not None:
            before, self._before = self._before, None
            atexit.unregister(self.close)
            termios = _termios()
            with suppress(termios.error):  # a terminal that was closed wants nothing any more
                termios.tcsetattr(self._file, termios.TCSADRAIN, before)

    def _typed(self) -> bool:
        """Takes all that was typed; a key may be several bytes."""
        if self._before is None:
            return False
        ready, _, _ = select.select([self._file], [], [], 0)
        try:
            return bool(ready) and bool(os.read(self._file, _MOST_BYTES))
        except OSError:  # the terminal was closed: nobody presses anything any more
            return False

    def _set_raw(self, termios: Any) -> None:  # noqa: ANN401 - missing on some systems
        mode = termios.tcgetattr(self._file)
        mode[3] &= ~(termios.ICANON | termios.ECHO)
        termios.tcsetattr(self._file, termios.TCSADRAIN, mode)


def _termios() -> Any:  # noqa: ANN401 - missing on some systems
    try:
        return importlib.import_module("termios")
    except ImportError:
        raise DeviceError(
            "a key to talk needs a terminal such as Linux and macOS have",
            remedy="use talk = open or talk = name",
        ) from None
