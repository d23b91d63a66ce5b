"""Who does the work, by what the command line says."""

from collections.abc import Iterator
from contextlib import contextmanager

from voiceassist.app.workers.base import Workers
from voiceassist.app.workers.processes import Processes


@contextmanager
def workers(on: str = "") -> Iterator[Workers]:
    """The workers of the scheduler ``on``; processes of this computer without one.

    Raises:
        WorkersError: there is no scheduler, or no worker.
    """
    found: Workers = Processes()
    if on:
        from voiceassist.app.workers.cluster import Cluster

        found = Cluster(on)
    whole = False
    try:
        yield found
        whole = True
    finally:
        found.close(at_once=not whole)
