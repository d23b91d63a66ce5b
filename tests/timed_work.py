"""Parts of a work that tell what they took, for benchmarks of who does them."""

import os
import time
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator

from voiceassist.app.workers.base import P, R, S, Workers


def timed(shared: tuple[Callable[[S, P], R], S], part: P) -> tuple[R, int, float]:
    """What a part comes to, the process that did it, and its seconds of processor time."""
    work, own = shared
    began = time.process_time()
    made = work(own, part)
    return made, os.getpid(), time.process_time() - began


class TimedWorkers:
    """Others, and what each of their processes spent."""

    def __init__(self, others: Workers) -> None:
        self._others = others
        self.spent: dict[int, float] = defaultdict(float)
        self.parts = 0

    @property
    def stand_by(self) -> bool:
        return True

    @property
    def many(self) -> int:
        return self._others.many

    def each(self, work: Callable[[S, P], R], shared: S, parts: Iterable[P]) -> Iterator[R]:
        for made, pid, seconds in self._others.each(timed, (work, shared), parts):
            self.spent[pid] += seconds
            self.parts += 1
            yield made

    def close(self, *, at_once: bool = False) -> None:
        self._others.close(at_once=at_once)
