"""What a second worker saves of a proof: ``workers.py [--draws N] [--dask] [PROCEDURE...]``.

Each procedure is proved by one process, by two of this computer and, with ``--dask``, by two
workers of a scheduler. Told is processor time, since others may use the machine: of two workers
the busier one's and that of the process which counts, since it waits for both; the ratio is that
of one process to this. The proofs are held against each other.
"""

import argparse
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

import dask_cluster
from timed_work import TimedWorkers

from voiceassist import resources
from voiceassist.app import build
from voiceassist.app.desk.prove import ProofSource, Prover, setup_of
from voiceassist.app.settings.settings import Settings
from voiceassist.app.workers.base import Here, Workers
from voiceassist.app.workers.cluster import Cluster
from voiceassist.app.workers.processes import Processes
from voiceassist.prove.proof import Proof

SHOP = build.Components(Settings())


def proved(
    names: list[str], draws: int, workers: Workers
) -> tuple[list[Proof], TimedWorkers, float]:
    """The proofs, who made the walks, and the processor time of this process beside them."""
    at_work = TimedWorkers(workers)
    began = time.process_time()
    proofs = []
    with Prover(draws, workers=at_work) as prover:
        for name in names:
            written = build.procedure(name)
            source = ProofSource.of(written.text, name, SHOP.settings, written.used)
            proofs.append(prover.prove(setup_of(written.procedure, SHOP), source))
    own = time.process_time() - began
    return proofs, at_work, own


@contextmanager
def on_dask() -> Iterator[Workers]:
    """Two workers of a scheduler of our own."""
    with tempfile.TemporaryDirectory() as home, dask_cluster.cluster(Path(home)) as found:
        some = Cluster(found.address)
        dask_cluster.waited_for(lambda: some._client.wait_for_workers(2, timeout=60) is None)
        yield some


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("procedures", nargs="*")
    parser.add_argument("--draws", type=int, default=20)
    parser.add_argument("--dask", action="store_true")
    asked = parser.parse_args()
    names = asked.procedures or [
        file.stem
        for file in sorted(resources.folder("procedures").glob("*.yaml"))
        if build.procedure(file.stem).procedure.circuit is not None
    ]
    proofs, one, own = proved(names, asked.draws, Here())
    alone = own  # in which the walks are
    walks = sum(one.spent.values())
    print(f"{len(names)} procedures, {asked.draws} draws, {one.parts} parts")
    print(f"one process: {alone:.1f} s, of which walks {walks:.1f} s")
    with ExitStack() as stack:
        kinds: dict[str, Workers] = {"two processes": Processes(2)}
        if asked.dask:
            kinds["two Dask workers"] = stack.enter_context(on_dask())
        for name, workers in kinds.items():
            same, two, own = proved(names, asked.draws, workers)
            assert same == proofs, "another proof"
            busier = max(two.spent.values())
            shares = " + ".join(f"{spent:.1f}" for spent in two.spent.values())
            print(f"{name}: workers {shares} s, counting {own:.1f} s;", end=" ")
            print(f"ratio {alone / (busier + own):.2f}, same proofs")


if __name__ == "__main__":
    main()
