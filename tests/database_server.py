"""A PostgreSQL server of our own, that can be stopped and started again."""

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import psycopg
import pytest


def binaries() -> Path:
    """Where PostgreSQL's programs are."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda p: p.parts[-3])
    if found:
        return found[-1].parent
    on_path = shutil.which("initdb")
    if on_path is None:
        pytest.fail("the package postgresql is not installed; the README's test line installs it")
    return Path(on_path).parent


def as_server(*command: str) -> None:
    """Run one of PostgreSQL's programs; it refuses to be run by root."""
    user = "postgres" if os.geteuid() == 0 else None
    done = subprocess.run(
        command, user=user, cwd="/", capture_output=True, text=True, check=False, timeout=60
    )
    assert done.returncode == 0, done.stdout + done.stderr


@dataclass(frozen=True)
class DatabaseServer:
    """A server whose socket is in a folder of its own.

    Parts:
        home: that folder.
        options: of the server.
    """

    home: Path
    options: str

    def url(self, database: str = "postgres") -> str:
        """The address of one of its databases, as ``--archive`` takes it."""
        return f"postgresql://tester@/{database}?host={self.home}"

    def start(self) -> None:
        """Start it, and wait until it can be asked."""
        self._control("-o", self.options, "start")

    def stop(self, mode: str = "fast") -> None:
        """Stop it: "fast" as one that is restarted, "immediate" as if its plug were pulled."""
        self._control("-m", mode, "stop")

    def _control(self, *command: str) -> None:
        program = [str(binaries() / "pg_ctl"), "-D", str(self.home / "data"), "-w"]
        as_server(*program, "-l", str(self.home / "log"), *command)


@contextmanager
def serving(options: str = "-c fsync=off -c max_connections=20") -> Iterator[DatabaseServer]:
    """A running server, gone at the end."""
    with tempfile.TemporaryDirectory(prefix="pg-") as name:  # short, and open to its own user
        home = Path(name)
        if os.geteuid() == 0:
            shutil.chown(home, "postgres")
        made = [str(binaries() / "initdb"), "-D", str(home / "data"), "--no-sync", "-A", "trust"]
        as_server(*made, "-U", "tester", "-E", "UTF8", "--locale=C")
        server = DatabaseServer(home, f"-k {home} -c listen_addresses='' {options}")
        server.start()
        try:
            yield server
        finally:
            server.stop("immediate")


def emptied(server: DatabaseServer, database: str = "postgres") -> str:
    """The URL of one of the server's databases, with nothing in it."""
    with psycopg.connect(f"host={server.home} user=tester dbname={database}") as connection:
        connection.execute("DROP SCHEMA public CASCADE")
        connection.execute("CREATE SCHEMA public")
    return server.url(database)
