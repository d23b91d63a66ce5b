"""Writes kept sound to the disk on a thread of its own, so that no answer waits for it."""

import threading
from collections import deque
from collections.abc import Callable
from pathlib import Path

from voiceassist.record import disk

#: Files that wait at most, which is some minutes of talk; one more is lost, and told so.
LIMIT = 256
#: A disk that refused is tried again after so long.
_AGAIN_S = 1.0
#: How long the end of a session waits for files still to be written.
_PATIENCE_S = 10.0

Write = Callable[[Path, bytes], None]


class SoundStore:
    """Files on their way into a session's folder.

    Args:
        folder: the session's.
        write: puts a file there whole or not at all; raises OSError.
        limit: files that wait at most.
    """

    def __init__(self, folder: Path, write: Write = disk.write_whole, limit: int = LIMIT) -> None:
        self._folder = folder
        self._write = write
        self._limit = limit
        self._changed = threading.Condition()
        self._waiting: deque[tuple[str, bytes]] = deque()
        self._lost: list[str] = []
        self._ending = False
        self._thread: threading.Thread | None = None
        self._found = ""

    @property
    def found(self) -> str:
        """Why files wait, as a clause such as "the disk is full"; empty when none is refused."""
        with self._changed:
            return self._found

    def put(self, name: str, data: bytes) -> None:
        """Have ``data`` written as ``name``; returns at once."""
        with self._changed:
            if len(self._waiting) >= self._limit or self._ending:
                self._lost.append(name)
                self._found = self._found or "the disk is too slow"
                return
            self._waiting.append((name, data))
            if self._thread is None:
                self._thread = threading.Thread(target=self._work, name="sound", daemon=True)
                self._thread.start()
            self._changed.notify_all()

    def settle(self, timeout_s: float) -> bool:
        """Wait until all is written or the disk has refused, but not longer than that.

        Returns:
            Whether all is written.
        """
        with self._changed:
            self._changed.wait_for(lambda: not self._waiting or bool(self._found), timeout_s)
            return not self._waiting

    def close(self, timeout_s: float = _PATIENCE_S) -> tuple[str, ...]:
        """Write what waits, each file tried once more, and end the thread.

        Returns:
            Names of all files that are lost; the same when it is closed again.
        """
        with self._changed:
            self._ending = True
            self._changed.notify_all()
        if self._thread is not None:
            self._thread.join(timeout_s)
        with self._changed:
            return (*self._lost, *(name for name, _ in self._waiting))

    def _work(self) -> None:
        while (item := self._next()) is not None:
            name, data, for_the_last_time = item
            try:
                self._write(self._folder / name, data)
            except OSError as error:
                self._refused(disk.reason(error), for_the_last_time)
            else:
                self._written()

    def _next(self) -> tuple[str, bytes, bool] | None:
        """The file to write now, which stays at the head until it is; None at the end."""
        with self._changed:
            self._changed.wait_for(lambda: bool(self._waiting) or self._ending)
            return (*self._waiting[0], self._ending) if self._waiting else None

    def _written(self) -> None:
        with self._changed:
            self._waiting.popleft()
            self._found = ""
            self._changed.notify_all()

    def _refused(self, found: str, for_the_last_time: bool) -> None:
        """Wait a little and let it be tried again; at the end no disk is waited for."""
        with self._changed:
            self._found = found
            self._changed.notify_all()
            if for_the_last_time:
                self._lost.append(self._waiting.popleft()[0])
            else:
                self._changed.wait_for(lambda: self._ending, _AGAIN_S)
