"""Workers on this computer: processes, which start when there is something to do."""

import gc
import multiprocessing
import os
import signal
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool

from voiceassist.app.workers.base import P, R, S, a_few_ahead

#: So many values more than before make a process look for rings of them.
_SELDOM = 50_000
_NONE_TO_BE_HAD = (OSError, BrokenProcessPool)


class Processes:
    """Processes of this computer; where none can be had, or one dies, this one does the rest.

    Args:
        many: processes; None for one a core.
    """

    def __init__(self, many: int | None = None) -> None:
        self._many = many if many is not None else os.cpu_count() or 1
        self._pool: ProcessPoolExecutor | None = None

    @property
    def stand_by(self) -> bool:
        """They have started, or none will."""
        return self._pool is not None or self._many < 2

    @property
    def many(self) -> int:
        """See ``Workers.many``."""
        return self._many

    def each(self, work: Callable[[S, P], R], shared: S, parts: Iterable[P]) -> Iterator[R]:
        """See ``Workers.each``."""

        def handed(part: P) -> "Future[R] | None":
            return self._future(work, shared, part)

        for part, future in a_few_ahead(parts, lambda: self.many, handed):
            if future is not None and self._many > 1:
                try:
                    found = future.result()
                except _NONE_TO_BE_HAD:
                    self._do_without()
                else:
                    yield found
                    continue
            yield work(shared, part)

    def _future(self, work: Callable[[S, P], R], shared: S, part: P) -> "Future[R] | None":
        """What a process makes of ``part``; None where there is no process."""
        if self._many < 2:
            return None
        try:
            if self._pool is None:
                self._pool = pool(self._many, work.__module__)
            return self._pool.submit(work, shared, part)
        except _NONE_TO_BE_HAD:
            self._do_without()
            return None

    def _do_without(self) -> None:
        self.close(at_once=True)
        self._many = 1

    def close(self, *, at_once: bool = False) -> None:
        """See ``Workers.close``."""
        if self._pool is not None:
            self._pool.shutdown(wait=not at_once, cancel_futures=True)
            self._pool = None


def pool(many: int, loaded: str) -> ProcessPoolExecutor:
    """Processes that start clean: a copy of this one could hold a lock that nobody frees.

    Args:
        many: processes.
        loaded: a module that they need, imported once for all.
    """
    clean = "forkserver" if "forkserver" in multiprocessing.get_all_start_methods() else "spawn"
    context = multiprocessing.get_context(clean)
    if clean == "forkserver":
        context.set_forkserver_preload([loaded])
    return ProcessPoolExecutor(many, context, initializer=_make_ready)


def _make_ready() -> None:
    """Leave stopping to the parent, and look seldom for values that hold each other in a ring.

    There are next to none, and looking for them took a twelfth of the time of a proof.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    gc.freeze()
    gc.set_threshold(_SELDOM)
