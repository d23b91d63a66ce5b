"""A Dask scheduler with its workers, each a process of its own, as a shop would start them."""

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

HOUSE = Path(__file__).parents[1]


@dataclass
class DaskCluster:
    """The processes of a cluster, and the address of its scheduler."""

    address: str
    home: Path
    processes: list[subprocess.Popen[bytes]] = field(default_factory=list)

    def start(self, *command: str) -> subprocess.Popen[bytes]:
        """Start one more process; it finds the package and the tests, and shares no folder."""
        own = {**os.environ, "PYTHONPATH": f"{HOUSE}:{HOUSE / 'tests'}", "HOME": str(self.home)}
        with (self.home / "log").open("ab") as log:
            process = subprocess.Popen(
                [sys.executable, "-m", "dask", *command, "--no-dashboard"],
                cwd=self.home, env=own, stdin=subprocess.DEVNULL, stdout=log, stderr=log,
            )  # fmt: skip
        self.processes.append(process)
        return process

    def worker(self) -> subprocess.Popen[bytes]:
        """Start one more worker; nobody starts it again when it dies."""
        options = ("--no-nanny", "--nthreads", "1", "--local-directory", str(self.home))
        return self.start("worker", self.address, *options, *self.safely)

    @property
    def safely(self) -> Sequence[str]:
        """Options of every process."""
        return ()

    def stop(self) -> None:
        for process in self.processes:
            process.kill()
        for process in self.processes:
            process.wait(timeout=20)


@contextmanager
def cluster(home: Path, workers: int = 2) -> Iterator[DaskCluster]:
    """A scheduler with so many workers, gone at the end."""
    port = free_port()
    found = DaskCluster(f"tcp://127.0.0.1:{port}", home)
    try:
        found.start("scheduler", "--host", "127.0.0.1", "--port", str(port))
        waited_for(lambda: answers(port))
        for _ in range(workers):
            found.worker()
        yield found
    finally:
        found.stop()


def free_port() -> int:
    """A port that nobody uses."""
    with socket.socket() as there:
        there.bind(("127.0.0.1", 0))
        return int(there.getsockname()[1])


def answers(port: int) -> bool:
    """Somebody listens there."""
    try:
        socket.create_connection(("127.0.0.1", port), 1).close()
    except OSError:
        return False
    return True


def waited_for(what: Callable[[], bool], limit_s: float = 60) -> None:
    """Wait until it is so."""
    until = time.monotonic() + limit_s
    while not what():
        assert time.monotonic() < until, "it never came about"
        time.sleep(0.05)


# --- what workers are given to do ---


def slowly(folder: str, part: int) -> tuple[int, int]:
    """The part and whose process did it; every beginning is noted in ``folder``, if one is told."""
    if folder:
        with (Path(folder) / f"{part}").open("a") as begun:
            begun.write(f"{os.getpid()}\n")
        time.sleep(0.1)
    return part, os.getpid()


def own_end(marker: str, part: int) -> int:
    """The part; whoever does number 3 first dies of it."""
    if part == 3 and not Path(marker).exists():
        Path(marker).touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return part


def refused(_: str, part: int) -> int:
    """What cannot be done."""
    from voiceassist.errors import RecordError

    raise RecordError("it is gone", place=f"part {part}", remedy="look for it")


def size(_: str, part: bytes) -> int:
    """How large it is."""
    return len(part)
