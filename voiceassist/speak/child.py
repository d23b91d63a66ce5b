"""Runs one speech program at a time, so that it can be ended from another thread."""

import contextlib
import os
import signal
import subprocess
import sys
import threading
from collections.abc import Sequence
from dataclasses import dataclass

from voiceassist.errors import SpeakError

#: The programs give us samples and play nothing. espeak-ng looks for PulseAudio all the same, and
#: where there is none libpulse leaves a folder under the user's settings; it leaves none when it
#: is told where to look.
_NO_SOUND_SERVER = {"PULSE_SERVER": "unix:/nonexistent"}


@dataclass(frozen=True, slots=True)
class Finished:
    """How a program ended.

    Parts:
        status: exit status; 0 is well.
        output, complaint: what it wrote to standard output and standard error.
        cancelled: it was ended by ``cancel``.
    """

    status: int
    output: bytes
    complaint: str
    cancelled: bool


class Child:
    """Runs a program in a process group of its own and ends the whole group when asked to.

    ``run`` belongs to one thread; ``cancel`` may be called from any.
    """

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._process: subprocess.Popen[bytes] | None = None
        self._cancelled = False

    def run(self, command: Sequence[str], text: bytes, timeout_s: float, missing: str) -> Finished:
        """Run ``command`` with ``text`` on its standard input and wait for its end.

        Args:
            command: program and arguments.
            text: goes to standard input.
            timeout_s: seconds it may take.
            missing: what to install when there is no such program.

        Raises:
            SpeakError: there is no such program, or it took too long.
        """
        process = self._start(command, missing)
        try:
            output, complaint = process.communicate(text, timeout=timeout_s)
        except subprocess.TimeoutExpired:
            raise SpeakError(
                f"{command[0]} did not finish within {timeout_s:g} s", remedy="say less at a time"
            ) from None
        finally:
            cancelled = self._end(process)
        return Finished(
            process.returncode, output, complaint.decode("utf-8", "replace").strip(), cancelled
        )

    def cancel(self) -> None:
        """End the program that runs, if one does."""
        with self._lock:
            if self._process is not None:
                self._cancelled = True
                _kill(self._process)

    def _start(self, command: Sequence[str], missing: str) -> subprocess.Popen[bytes]:
        with self._lock:
            self._cancelled = False
            try:
                self._process = subprocess.Popen(
                    command,
                    stdin=subprocess.PIPE,
                    stdout=subprocess.PIPE,
                    stderr=subprocess.PIPE,
                    start_new_session=True,
                    env={**os.environ, **_NO_SOUND_SERVER},
                )
            except FileNotFoundError:
                raise SpeakError(f"there is no program {command[0]}", remedy=missing) from None
            except OSError as error:
                raise SpeakError(f"{command[0]} cannot be started: {error.strerror}") from None
            return self._process

    def _end(self, process: subprocess.Popen[bytes]) -> bool:
        """Leave nothing of the program behind; True when it was cancelled."""
        with self._lock:
            self._process = None
            ended = process.poll() is not None
            _kill(process)  # though it has ended: what it started may still run
            if not ended:
                process.communicate()
            return self._cancelled


def _kill(process: subprocess.Popen[bytes]) -> None:
    """Kill the process and whatever it started."""
    if sys.platform == "win32":
        process.kill()
    else:
        # It leads a group of its own, which lasts as long as anyone is left in it.
        with contextlib.suppress(ProcessLookupError, PermissionError):
            os.killpg(process.pid, signal.SIGKILL)
