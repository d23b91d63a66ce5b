"""Who has the floor: the assistant speaks, or the technician does."""

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from enum import StrEnum


class Duplex(StrEnum):
    """Whether the technician is listened to while the assistant speaks."""

    HALF = "half"
    """No: by turns, so that the assistant never hears itself."""
    FULL = "full"
    """Yes, and he may cut in: for a headset, whose microphone hears no loudspeaker."""


class Floor:
    """Tells the ears when not to listen, and lets them cut the mouth short. For any thread.

    Args:
        duplex: by turns, or both at once.
        tail_s: how long the room and the device still sound after our last word, in seconds.
        now_s: a clock that runs on steadily, in seconds.

    Raises:
        ValueError: a tail below zero.
    """

    def __init__(self, duplex: Duplex, tail_s: float, now_s: Callable[[], float]) -> None:
        if tail_s < 0:
            raise ValueError("a tail cannot be shorter than nothing")
        self.duplex = duplex
        self._tail_s = tail_s
        self._now_s = now_s
        self._lock = threading.Lock()
        self._stops: list[Callable[[], None]] = []
        self._ended_s: float | None = None

    @contextmanager
    def speaking(self, stop: Callable[[], None]) -> Iterator[None]:
        """Around every sound of ours; ``stop`` silences the loudspeaker at once."""
        with self._lock:
            self._stops.append(stop)
        try:
            yield
        finally:
            with self._lock:
                self._stops.remove(stop)
                self._ended_s = self._now_s()

    def is_speaking(self) -> bool:
        """True while a sound of ours is played."""
        with self._lock:
            return bool(self._stops)

    def blocked(self) -> bool:
        """True when a frame that comes in now must not be listened to: it may hold our voice."""
        if self.duplex is Duplex.FULL:
            return False
        with self._lock:
            return bool(self._stops) or self._in_tail()

    def cut_in(self) -> bool:
        """Fall silent because the technician speaks; True when there was something to cut.

        By turns nothing is ever cut: what was heard may be our own voice.
        """
        return self.duplex is Duplex.FULL and self.give_way()

    def give_way(self) -> bool:
        """Fall silent, for somebody surely wants it; True when there was something to cut."""
        with self._lock:
            stops = tuple(self._stops)
        for stop in stops:
            stop()
        return bool(stops)

    def _in_tail(self) -> bool:
        return self._ended_s is not None and self._now_s() - self._ended_s < self._tail_s
