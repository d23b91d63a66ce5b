"""Real databases: a SQLite file, and a PostgreSQL server that the test run starts and stops."""

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest

from voiceassist.archive.store import Archive
from voiceassist.archive.tables import metadata


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


@pytest.fixture(scope="session")
def server() -> Iterator[str]:
    """The folder of the socket of a running server."""
    programs = binaries()
    with tempfile.TemporaryDirectory(prefix="pg-") as name:  # short, and open to its own user
        home, data = Path(name), str(Path(name) / "data")
        if os.geteuid() == 0:
            shutil.chown(home, "postgres")
        initdb = [str(programs / "initdb"), "-D", data, "--no-sync", "-A", "trust"]
        as_server(*initdb, "-U", "tester", "-E", "UTF8", "--locale=C")
        control = [str(programs / "pg_ctl"), "-D", data, "-w", "-l", str(home / "log")]
        options = f"-k {home} -c listen_addresses='' -c fsync=off -c max_connections=20"
        as_server(*control, "-o", options, "start")
        try:
            yield str(home)
        finally:
            as_server(*control, "-m", "immediate", "stop")


def emptied(server: str, database: str = "postgres") -> str:
    """The URL of one of the server's databases, with nothing in it."""
    with psycopg.connect(f"host={server} user=tester dbname={database}") as connection:
        connection.execute("DROP SCHEMA public CASCADE")
        connection.execute("CREATE SCHEMA public")
    return f"postgresql://tester@/{database}?host={server}"


@pytest.fixture(params=["sqlite", "postgresql"])
def where(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """The address of an archive without any table, in each kind of database."""
    if request.param == "sqlite":
        return str(tmp_path / "data" / "archive.db")
    return emptied(request.getfixturevalue("server"))


@pytest.fixture(scope="session")
def tables() -> Iterator[Path]:
    """A SQLite archive with tables and nothing in them, to be copied."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "archive.db"
        with Archive.open(str(file)):
            pass
        yield file


@pytest.fixture(scope="session")
def tables_too(server: str) -> tuple[str, str]:
    """The URL of a PostgreSQL archive with tables, and the statement that empties them."""
    with psycopg.connect(f"host={server} user=tester dbname=postgres", autocommit=True) as to:
        to.execute("CREATE DATABASE filled")
        to.execute("CREATE DATABASE standing")
    url = emptied(server, "filled")
    with Archive.open(url):
        pass
    return url, "TRUNCATE " + ", ".join(["words", *metadata.tables])


@pytest.fixture(params=["sqlite", "postgresql"])
def archive(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Archive]:
    """An open archive without any session, in each kind of database."""
    if request.param == "sqlite":
        address = str(shutil.copy(request.getfixturevalue("tables"), tmp_path / "archive.db"))
    else:
        address, empties = request.getfixturevalue("tables_too")
        with psycopg.connect(address) as connection:
            connection.execute(empties)
    with Archive.open(address) as found:
        yield found


@pytest.fixture(scope="module", params=["sqlite", "postgresql"])
def standing(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Archive]:
    """An archive that the tests of a module fill once and only ask then."""
    address = str(tmp_path_factory.mktemp("standing") / "archive.db")
    if request.param == "postgresql":
        request.getfixturevalue("tables_too")
        address = emptied(request.getfixturevalue("server"), "standing")
    with Archive.open(address) as found:
        yield found
