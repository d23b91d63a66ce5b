"""Proves procedures on all cores: the walks are shared out among processes, and put together."""

import multiprocessing
import os
import signal
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Self

from voiceassist import resources
from voiceassist.app import build
from voiceassist.app.progress import Progress, no_progress
from voiceassist.app.settings.settings import Settings
from voiceassist.procedure.model import Procedure
from voiceassist.procedure.read import read_procedure
from voiceassist.prove.cases import Case, made
from voiceassist.prove.proof import Proof
from voiceassist.prove.prove import DRAWS, SEED, prove
from voiceassist.prove.walk import Walk
from voiceassist.session.session import SessionSetup

#: Walks that a process makes at a time, and walks for which processes are worth their start.
_CHUNK, _WORTH = 40, 400


@dataclass(frozen=True, slots=True)
class ProofSource:
    """Where a procedure came from, for a process to read it again; its text stays as it was read.

    Parts:
        text: the file's text.
        file: its path.
        settings: language, meter and risk.
    """

    text: str
    file: str
    settings: Settings


@lru_cache(maxsize=2)
def _setup(source: ProofSource) -> SessionSetup:
    """The desk of ``source``."""
    folder = Path(source.file).parent
    procedure = read_procedure(
        source.text, source.file, lambda name: resources.used_procedure(name, folder)
    )
    return setup_of(procedure, build.Components(source.settings))


def setup_of(procedure: Procedure, shop: build.Components) -> SessionSetup:
    """The desk that ``procedure`` is proved at.

    Raises:
        ResourceError: the meter is not there, or the language has no sentences.
        ProcedureFaultsError: the meter's file has faults.
    """
    chosen = shop.settings
    return SessionSetup(
        procedure=procedure,
        book=shop.book,
        meter=build.meter(chosen.meter)[0],
        risk=chosen.risk_percent / 100,
    )


def _work(source: ProofSource, seed: int, todo: tuple[Case, ...]) -> list[Walk]:
    """Some walks, in a process of their own."""
    setup = _setup(source)
    return [made(setup, seed, case) for case in todo]


def _leave_stopping_to_parent() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)


class Prover:
    """Proves procedures one after another; its processes start when they are worth it.

    Use it in a ``with``; where no process can be started, all is done in this one.

    Args:
        draws: of each fault.
        seed: the same seed gives the same proof, on however many cores.
        workers: processes; None for one a core.
        progress: told how far it is.
    """

    def __init__(
        self,
        draws: int = DRAWS,
        seed: int = SEED,
        workers: int | None = None,
        progress: Progress = no_progress,
    ) -> None:
        self.draws = draws
        self.seed = seed
        self._workers = workers if workers is not None else os.cpu_count() or 1
        self._progress = progress
        self._pool: ProcessPoolExecutor | None = None

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: object, error: object, trace: object) -> None:
        if self._pool is not None:
            self._pool.shutdown(wait=kind is None, cancel_futures=True)

    def prove(self, setup: SessionSetup, source: ProofSource) -> Proof:
        """The proof of the procedure of ``setup``, which came from ``source``."""
        done = 0

        def walks(todo: Sequence[Case]) -> Iterator[Walk]:
            nonlocal done
            before = done
            for walk in self._walks(setup, source, todo):
                done += 1
                self._progress(done, before + len(todo))
                yield walk

        return prove(setup, self.draws, self.seed, walks)

    def _walks(
        self, setup: SessionSetup, source: ProofSource, todo: Sequence[Case]
    ) -> Iterator[Walk]:
        made_so_far = 0
        if self._workers > 1 and (self._pool is not None or len(todo) >= _WORTH):
            try:
                for walk in self._shared(source, todo):
                    made_so_far += 1
                    yield walk
            except (OSError, BrokenProcessPool):
                self._workers = 1  # no process can be had here; the rest is done in this one
        for case in todo[made_so_far:]:
            yield made(setup, self.seed, case)

    def _shared(self, source: ProofSource, todo: Sequence[Case]) -> Iterable[Walk]:
        if self._pool is None:
            self._pool = _pool(self._workers)
        chunks = [tuple(todo[i : i + _CHUNK]) for i in range(0, len(todo), _CHUNK)]
        futures = [self._pool.submit(_work, source, self.seed, chunk) for chunk in chunks]
        for future in futures:
            yield from future.result()


def _pool(workers: int) -> ProcessPoolExecutor:
    """Processes that start clean: a copy of this one could hold a lock that nobody frees."""
    clean = "forkserver" if "forkserver" in multiprocessing.get_all_start_methods() else "spawn"
    context = multiprocessing.get_context(clean)
    if clean == "forkserver":
        context.set_forkserver_preload([__name__])
    return ProcessPoolExecutor(workers, context, initializer=_leave_stopping_to_parent)
