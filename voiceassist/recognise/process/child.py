"""One child process that serves as a listener: started, asked, and ended for sure."""

import os
import queue
import signal
import subprocess
import sys
import tempfile
import threading
import weakref
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from typing import IO, Any

from voiceassist.recognise.process.wire import Message, receive, send

_PROGRAM = "from voiceassist.recognise.process.worker import main; main()"
_END_S = 2.0
_COMPLAINT_BYTES = 4096

_Messages = queue.SimpleQueue[Message | None]


@dataclass(frozen=True, slots=True)
class ListenerEngine:
    """What runs in the child.

    Parts:
        factory: module and callable that make the listener, ``"package.module:Name"``.
        options: keyword arguments for it; JSON values.
        environment: variables set for the child besides ours.
    """

    factory: str
    options: Mapping[str, Any] = field(default_factory=dict)
    environment: Mapping[str, str] = field(default_factory=dict)


class ChildGoneError(Exception):
    """The child crashed, or did not answer in time and was ended.

    Parts:
        reason: what is known of it, such as "signal 11" or "no answer within 10 s".
    """

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason


class ListenerProcess:
    """A running child. It makes its listener at once; the first answer tells how that went.

    One thread asks. The child ends with ``end``, when this object or our process goes away, and
    when it crashes; nothing of it is left behind then.

    Raises:
        OSError: no process can be started.
    """

    def __init__(self, engine: ListenerEngine) -> None:
        self._complaints = tempfile.TemporaryFile()  # noqa: SIM115 - closed by the finalizer
        self._process = subprocess.Popen(
            [sys.executable, "-P", "-c", _PROGRAM],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=self._complaints,
            start_new_session=True,
            env=_environment(engine),
        )
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._asked: _Messages = queue.SimpleQueue()
        self._answers: _Messages = queue.SimpleQueue()
        # Threads, since a child that hangs neither reads nor writes.
        threads = (
            threading.Thread(target=_write, args=(self._asked, self._process.stdin), daemon=True),
            threading.Thread(target=_read, args=(self._process.stdout, self._answers), daemon=True),
        )
        for thread in threads:
            thread.start()
        self._finish = weakref.finalize(
            self, _end, self._process, self._asked, threads, self._complaints
        )
        self._asked.put(Message({"factory": engine.factory, "options": dict(engine.options)}))

    def ask(self, message: Message, timeout_s: float) -> Mapping[str, Any]:
        """The answer to ``message``.

        Raises:
            ChildGoneError: there is none; the child has ended.
        """
        self._asked.put(message)
        return self.answer(timeout_s)

    def answer(self, timeout_s: float) -> Mapping[str, Any]:
        """The next answer: for the first time, that the listener was made.

        Raises:
            ChildGoneError: there is none; the child has ended.
        """
        try:
            message = self._answers.get(timeout=timeout_s)
        except queue.Empty:
            self.end()
            raise ChildGoneError(f"no answer within {timeout_s:g} s") from None
        if message is None:
            raise ChildGoneError(self._why())
        return message.about

    def end(self) -> None:
        """End it, whatever it does. Harmless when it has ended."""
        self._finish()

    @property
    def pid(self) -> int:
        """The number of its process."""
        return self._process.pid

    def _why(self) -> str:
        """How it ended; with the last line it complained of, if there is one."""
        try:
            status = self._process.wait(_END_S)
        except subprocess.TimeoutExpired:
            status = 0
        complaint = _last_line(self._complaints)
        self.end()
        how = f"signal {-status}" if status < 0 else f"exit status {status}"
        return f"{how}: {complaint}" if complaint else how


def _environment(engine: ListenerEngine) -> dict[str, str]:
    # The child finds our package where we did.
    path = os.pathsep.join(filter(None, sys.path))
    return {**os.environ, **engine.environment, "PYTHONPATH": path}


def _write(asked: _Messages, stream: IO[bytes]) -> None:
    with suppress(OSError, ValueError):  # it has ended; its missing answer will say so
        while (message := asked.get()) is not None:
            send(stream, message)


def _read(stream: IO[bytes], answers: _Messages) -> None:
    with suppress(OSError, ValueError):  # no message of ours: as good as none
        while (message := receive(stream)) is not None:
            answers.put(message)
    answers.put(None)


def _end(
    process: "subprocess.Popen[bytes]",
    asked: _Messages,
    threads: tuple[threading.Thread, ...],
    complaints: IO[bytes],
) -> None:
    """Kill the child and whatever it started, and let go of all that was held for it."""
    with suppress(ProcessLookupError, PermissionError):
        if sys.platform == "win32":
            process.kill()
        else:
            os.killpg(process.pid, signal.SIGKILL)
    process.wait()
    asked.put(None)
    for thread in threads:
        if thread is not threading.current_thread():
            thread.join(_END_S)
    for stream in (process.stdin, process.stdout, complaints):
        with suppress(OSError):  # what was still to be written has nobody to read it
            if stream is not None:
                stream.close()


def _last_line(complaints: IO[bytes]) -> str:
    size = complaints.seek(0, os.SEEK_END)
    complaints.seek(max(0, size - _COMPLAINT_BYTES))
    lines = complaints.read().decode("utf-8", "replace").split("\n")
    return next((line.strip() for line in reversed(lines) if line.strip()), "")
