"""What is large, done in a process of its own at the lowest priority.

The bench itself stays small, and a session on the same computer is never kept waiting for it.
"""

import asyncio
import multiprocessing
import os
import signal
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import suppress
from dataclasses import dataclass
from typing import ParamSpec, TypeVar

from voiceassist.errors import RecordError, VoiceAssistError

_T = TypeVar("_T")
_P = ParamSpec("_P")
#: A process that nothing was asked of for so long is let go.
_IDLE_S = 120.0


@dataclass(frozen=True, slots=True)
class _Refusal:
    """An error of ours on its way between processes."""

    found: str
    place: str
    remedy: str


class Aside:
    """One process, started when it is needed."""

    def __init__(self) -> None:
        self._pool: ProcessPoolExecutor | None = None
        self._under_way = 0
        self._ending: asyncio.TimerHandle | None = None

    async def do(self, work: Callable[_P, _T], *given: _P.args, **named: _P.kwargs) -> _T:
        """What ``work``, a function of a module, gives back there.

        Raises:
            RecordError: it raised one of our errors, or the process was lost.
        """
        if self._ending is not None:
            self._ending.cancel()
        if self._pool is None:
            spawn = multiprocessing.get_context("spawn")
            self._pool = ProcessPoolExecutor(1, mp_context=spawn, initializer=_begin)
        self._under_way += 1
        try:
            future = self._pool.submit(_answer, work, given, named)
            found = await asyncio.wrap_future(future)
        except BrokenProcessPool:
            self.close()
            raise RecordError("the answer was lost", remedy="ask once more") from None
        finally:
            self._under_way -= 1
            if not self._under_way:
                self._ending = asyncio.get_running_loop().call_later(_IDLE_S, self.close)
        if isinstance(found, _Refusal):
            raise RecordError(found.found, place=found.place, remedy=found.remedy)
        return found

    def close(self) -> None:
        """Let the process go."""
        pool, self._pool = self._pool, None
        if pool is not None:
            pool.shutdown(wait=False, cancel_futures=True)


def _begin() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the bench itself ends it
    with suppress(OSError, AttributeError):
        os.nice(10)


def _answer(
    work: Callable[..., _T], given: tuple[object, ...], named: dict[str, object]
) -> "_T | _Refusal":
    try:
        return work(*given, **named)
    except VoiceAssistError as error:
        return _Refusal(error.found, error.place, error.remedy)
