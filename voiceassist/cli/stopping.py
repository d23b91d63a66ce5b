"""Stopping by signal: at once while nothing is open, in good order after that.

Only the standard library is imported here, so that this stands before all that takes long.
"""

import os
import signal
import sys
import threading
import time
from types import FrameType

#: Added to the number of the signal that ended a program, as shells do: 130 for Ctrl-C, 143 for
#: a terminated one.
_SHELL = 128
#: Who signals again after so long is not waited for any more, in seconds.
_PATIENCE_S = 3.0
#: A finalizer is over by then.
_A_MOMENT_S = 0.05
_NAMES = ("SIGINT", "SIGTERM", "SIGHUP")
GOES_ON = "Stopped. A session that was begun goes on with: voiceassist run --resume"


class Stopped(BaseException):
    """The program was told to stop; nothing but the outermost place should catch it.

    Parts:
        code: the exit code that tells so.
        told: a person was told already.
    """

    def __init__(self, code: int) -> None:
        super().__init__(code)
        self.code = code
        self.told = False


def stop_behind(error: BaseException) -> Stopped | None:
    """The stop that became another error: one that comes while a class is made does so.

    ``type.__new__`` of Python 3.11 turns whatever ``__set_name__`` raises into a RuntimeError.
    """
    cause = error.__cause__
    if cause is None or isinstance(cause, Stopped):
        return cause
    return stop_behind(cause)


def stop_at_once() -> None:
    """From now on a signal ends the program on the spot, with one sentence: nothing is open."""

    def end(number: int, _frame: FrameType | None) -> None:
        os.write(2, f"\n{GOES_ON}\n".encode())
        os._exit(_SHELL + number)

    _install(end)


def stop_in_order() -> None:
    """From now on a signal raises ``Stopped``, once, so that everything open is closed."""
    since_s: list[float] = []

    def stop(number: int, _frame: FrameType | None) -> None:
        if not since_s:
            since_s.append(time.monotonic())
            raise Stopped(_SHELL + number)
        if time.monotonic() - since_s[0] > _PATIENCE_S:
            os._exit(_SHELL + number)

    def again(lost: "sys.UnraisableHookArgs") -> None:
        """Raise a stop anew that came where Python raises nothing, as in a finalizer."""
        if not isinstance(lost.exc_value, Stopped):
            sys.__unraisablehook__(lost)
            return
        since_s.clear()
        to_raise = (os.getpid(), lost.exc_value.code - _SHELL)
        threading.Timer(_A_MOMENT_S, os.kill, to_raise).start()

    _install(stop)
    sys.unraisablehook = again


def stop_no_more() -> None:
    """From now on signals are let pass: the program is at its end anyway."""
    _install(signal.SIG_IGN)


def say_stopped(where: str = "") -> None:
    """Tell how to go on; ``where`` is put behind the command."""
    print(f"\n{GOES_ON}{where}", file=sys.stderr, flush=True)


def _install(handler: "signal._HANDLER") -> None:
    """Handle every signal that asks to stop, but for one that whoever started us had ignored."""
    for name in _NAMES:
        number = getattr(signal, name, None)
        if number is not None and signal.getsignal(number) is not signal.SIG_IGN:
            signal.signal(number, handler)
