"""Proves procedures: the walks are shared out among workers, and put together."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Self

from voiceassist import resources
from voiceassist.app import build
from voiceassist.app.progress import Progress, no_progress
from voiceassist.app.settings.settings import Settings
from voiceassist.app.workers.base import Workers
from voiceassist.app.workers.processes import Processes
from voiceassist.measure.meter import Meter
from voiceassist.procedure.meter_file import read_meter
from voiceassist.procedure.model import Procedure
from voiceassist.procedure.read import read_procedure
from voiceassist.prove.cases import Case, made
from voiceassist.prove.proof import Proof
from voiceassist.prove.prove import DRAWS, SEED, prove
from voiceassist.prove.walk import Walk
from voiceassist.session.session import SessionSetup

#: Walks that a worker makes at a time, and walks for which processes are worth their start.
_CHUNK, _WORTH = 40, 400
#: Where there are many workers, each gets so many parts of a round, of so many walks at least.
_EACH, _FEW = 4, 5


@dataclass(frozen=True, slots=True)
class ProofSource:
    """What a procedure is read from, for another process to read it again, on any computer.

    Parts:
        text: the file's text.
        file: its path, for what is told of it.
        settings: language and risk.
        used: name and text of each procedure that it puts in.
        meter: the text of the meter's file; empty for the one that the settings name.
    """

    text: str
    file: str
    settings: Settings
    used: tuple[tuple[str, str], ...] = ()
    meter: str = ""

    @classmethod
    def of(cls, text: str, file: str, settings: Settings, used: Mapping[str, str]) -> "ProofSource":
        """With the meter that ``settings`` name, and the procedures that ``text`` puts in.

        Raises:
            ResourceError: the meter's file cannot be read.
        """
        meter = resources.read_text(resources.meter_path(settings.meter))
        return cls(text, file, settings, tuple(sorted(used.items())), meter)


@lru_cache(maxsize=2)
def setup_from(source: ProofSource) -> SessionSetup:
    """The desk of ``source``."""
    procedure = read_procedure(source.text, source.file, dict(source.used).get)
    meter = read_meter(source.meter, source.settings.meter) if source.meter else None
    return setup_of(procedure, build.Components(source.settings), meter)


def setup_of(
    procedure: Procedure, shop: build.Components, meter: Meter | None = None
) -> SessionSetup:
    """The desk that ``procedure`` is proved at.

    Args:
        procedure: with a circuit.
        shop: gives language, risk, and the meter.
        meter: another one.

    Raises:
        ResourceError: the meter is not there, or the language has no sentences.
        ProcedureFaultsError: the meter's file has faults.
    """
    chosen = shop.settings
    return SessionSetup(
        procedure=procedure,
        book=shop.book,
        meter=meter or build.meter(chosen.meter)[0],
        risk=chosen.risk_percent / 100,
    )


def _work(shared: tuple[ProofSource, int], todo: tuple[Case, ...]) -> list[Walk]:
    """Some walks, wherever they are made; ``shared`` is where the procedure came from, and seed."""
    source, seed = shared
    setup = setup_from(source)
    return [made(setup, seed, case) for case in todo]


class Prover:
    """Proves procedures one after another; processes start when they are worth it.

    Use it in a ``with``, at whose end its workers are let go.

    Args:
        draws: of each fault.
        seed: the same seed gives the same proof, whoever makes its walks.
        workers: who makes them, or how many processes of this computer; None for one a core.
        progress: told how far it is.
    """

    def __init__(
        self,
        draws: int = DRAWS,
        seed: int = SEED,
        workers: Workers | int | None = None,
        progress: Progress = no_progress,
    ) -> None:
        self.draws = draws
        self.seed = seed
        self._workers = (
            Processes(workers) if workers is None or isinstance(workers, int) else workers
        )
        self._progress = progress
        self._asked = 0

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: object, error: object, trace: object) -> None:
        self._workers.close(at_once=kind is not None)

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
        self._asked += len(todo)
        if not self._workers.stand_by and self._asked < _WORTH:
            yield from (made(setup, self.seed, case) for case in todo)
            return
        size = max(_FEW, min(_CHUNK, len(todo) // (_EACH * self._workers.many)))
        chunks = (tuple(todo[i : i + size]) for i in range(0, len(todo), size))
        for some in self._workers.each(_work, (source, self.seed), chunks):
            yield from some
