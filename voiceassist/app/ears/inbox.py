"""What the ears' thread hands to the session's thread: bounded, and never in each other's way."""

import threading
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, TypeVar

Item = TypeVar("Item")


@dataclass(frozen=True, slots=True)
class InputEnded:
    """No more will come.

    Parts:
        error: what ended it; None when it came to its end.
    """

    error: Exception | None = None


class Inbox(Generic[Item]):
    """A queue of at most ``most`` items; the oldest is lost when another one comes."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._items: deque[Item] = deque()
        self._ended: InputEnded | None = None
        self._changed = threading.Condition()

    def put(self, item: Item) -> bool:
        """Add ``item``; False when an older one was lost for it."""
        with self._changed:
            full = len(self._items) >= self._most
            if full:
                self._items.popleft()
            self._items.append(item)
            self._changed.notify_all()
            return not full

    def end(self, error: Exception | None = None) -> None:
        """No more will come; what waits can still be taken."""
        with self._changed:
            self._ended = self._ended or InputEnded(error)
            self._changed.notify_all()

    def take(self, limit_s: float) -> Item | InputEnded | None:
        """The next item, waited for; None when none came in ``limit_s`` seconds."""
        with self._changed:
            self._changed.wait_for(lambda: self._items or self._ended, limit_s)
            return self._items.popleft() if self._items else self._ended

    def drop(self, unwanted: Callable[[Item], bool]) -> None:
        """Throw away the items that are ``unwanted``."""
        with self._changed:
            self._items = deque(each for each in self._items if not unwanted(each))

    @property
    def empty(self) -> bool:
        """True when nothing waits."""
        with self._changed:
            return not self._items
