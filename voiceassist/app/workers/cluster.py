"""Workers on other computers: those of a Dask scheduler.

Each part is a task of its own, and what all parts need is one too, so that the scheduler has it
made again where the worker that held it died. A result is taken up here once, in its place.
"""

import pickle
import threading
import time
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import CancelledError
from contextlib import suppress
from typing import TYPE_CHECKING

from voiceassist.app.workers.base import P, R, S, a_few_ahead
from voiceassist.app.workers.likeness import Likeness, likeness, unlike
from voiceassist.app.workers.scheduler import START_WORKER, connected, failure
from voiceassist.errors import VoiceAssistError, WorkersError

if TYPE_CHECKING:
    from distributed import Future

#: Seconds to wait for a first worker, and for another when all have gone; and between two looks.
_PATIENCE_S, _LOOK_S = 30.0, 1.0
_AGAIN = "see that all run, and try again"
#: Where a worker has several threads, one works: what we do is not made for two at once.
_ONE_AT_A_TIME = threading.Lock()


class Cluster:
    """The workers of a scheduler.

    Args:
        address: of the scheduler, such as "tcp://192.168.1.20:8786".
        patience_s: seconds to wait for a worker when there is none.

    Raises:
        WorkersError: there is no scheduler, or no worker.
    """

    stand_by = True

    def __init__(self, address: str, patience_s: float = _PATIENCE_S) -> None:
        self._address = address
        self._patience_s = patience_s
        self._client = connected(address)
        self._many, self._counted_s = 1, 0.0
        try:
            self._client.wait_for_workers(1, timeout=patience_s)
        except (TimeoutError, OSError):
            self.close()
            raise self._trouble("has no worker", START_WORKER.format(address)) from None

    def each(self, work: Callable[[S, P], R], shared: S, parts: Iterable[P]) -> Iterator[R]:
        """See ``Workers.each``."""
        told = self._client.submit(_as_it_is, pickle.dumps((work, shared)), pure=False)

        def handed(part: P) -> "Future[bytes]":
            return self._client.submit(_done, told, pickle.dumps(part), likeness(), pure=False)

        for _, future in a_few_ahead(parts, lambda: self.many, handed):
            yield pickle.loads(self._result(future))

    def close(self, *, at_once: bool = False) -> None:
        """See ``Workers.close``."""
        self._client.close(timeout=2)

    @property
    def many(self) -> int:
        """How many processes there are; each does one part at a time."""
        self._look()
        return max(1, self._many)

    def _look(self) -> None:
        """Count them, now and then."""
        now = time.monotonic()
        if now - self._counted_s > _LOOK_S and self._client.status == "running":
            self._counted_s = now
            with suppress(OSError, TimeoutError):  # it goes away just now, which is seen later
                self._many = len(self._client.scheduler_info(n_workers=-1)["workers"])

    def _result(self, future: "Future[bytes]") -> bytes:
        self._wait_for(future)
        try:
            return bytes(future.result())
        except CancelledError:
            raise self._trouble("has gone away", _AGAIN) from None
        except VoiceAssistError:
            raise
        except Exception as error:
            if isinstance(error, OSError) and type(error).__module__.startswith("distributed"):
                raise self._trouble("has gone away", _AGAIN) from None
            raise failure(self._address, error) from error

    def _wait_for(self, future: "Future[bytes]") -> None:
        """Until it is done, or nobody has been there to do it for too long."""
        over = threading.Event()
        future.add_done_callback(lambda _: over.set())
        well_s = time.monotonic()
        while not over.wait(_LOOK_S):
            there = self._client.status == "running"
            self._look()
            well_s = time.monotonic() if there and self._many else well_s
            if time.monotonic() - well_s > self._patience_s:
                found = "has no worker any more" if there else "has gone away"
                raise self._trouble(found, _AGAIN)

    def _trouble(self, found: str, remedy: str) -> WorkersError:
        return WorkersError(f"the scheduler {found}", place=self._address, remedy=remedy)


# --- at a worker ---


def _as_it_is(packed: bytes) -> bytes:
    return packed


def _done(told: bytes, packed: bytes, wanted: Likeness) -> bytes:
    """What comes of a part, packed; everything is packed, for what differs must be told first."""
    if differs := unlike(wanted, likeness()):
        from distributed import get_worker

        raise WorkersError(
            f"this worker is not as this computer is: {differs}",
            place=get_worker().address,
            remedy="install the same version on both",
        )
    with _ONE_AT_A_TIME:
        work, shared = pickle.loads(told)
        return pickle.dumps(work(shared, pickle.loads(packed)))
