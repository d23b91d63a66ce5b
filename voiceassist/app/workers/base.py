"""What all workers have in common: parts of a work go in, and what they come to, in their order."""

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from typing import Protocol, TypeVar

S = TypeVar("S")
P = TypeVar("P")
R = TypeVar("R")
W = TypeVar("W")

#: So many parts for each process are handed out at a time, so that none stands idle, and what is
#: sent does not fill the memory of whoever sends.
_AHEAD = 3


class Workers(Protocol):
    """Do parts of a work, each on its own.

    What a part comes to must depend on nothing but ``shared`` and the part: it may be done
    anywhere, and is done again where a worker died of it.
    """

    @property
    def stand_by(self) -> bool:
        """Handing something out costs no start."""
        ...

    @property
    def many(self) -> int:
        """How many parts can be done at a time, as far as is known now."""
        ...

    def each(self, work: Callable[[S, P], R], shared: S, parts: Iterable[P]) -> Iterator[R]:
        """What ``work`` makes of each of ``parts``, in their order, each once.

        Args:
            work: a function of a module.
            shared: what all parts need.
            parts: taken as they are needed, so that there may be more than fit into memory.

        Raises:
            WorkersError: the workers cannot do it.
            VoiceAssistError: as ``work`` does.
        """
        ...

    def close(self, *, at_once: bool = False) -> None:
        """Let the workers go; ``at_once`` without waiting for what they are doing."""
        ...


class Here:
    """This process does it all."""

    stand_by = True
    many = 1

    def each(self, work: Callable[[S, P], R], shared: S, parts: Iterable[P]) -> Iterator[R]:
        """See ``Workers.each``."""
        return (work(shared, part) for part in parts)

    def close(self, *, at_once: bool = False) -> None:
        """There is nobody to let go."""


def a_few_ahead(
    parts: Iterable[P], many: Callable[[], int], hand_out: Callable[[P], W]
) -> Iterator[tuple[P, W]]:
    """Each of ``parts`` with what handing it out gave; some are handed out before the first."""
    waiting: deque[tuple[P, W]] = deque()
    for part in parts:
        waiting.append((part, hand_out(part)))
        while len(waiting) > many() * _AHEAD:
            yield waiting.popleft()
    yield from waiting
