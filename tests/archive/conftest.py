"""Real databases: a SQLite file, and a PostgreSQL server that the test run starts and stops."""

import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest
from database_server import DatabaseServer, emptied, serving

from voiceassist.archive.store import Archive
from voiceassist.archive.tables import metadata


@pytest.fixture(scope="session")
def server() -> Iterator[DatabaseServer]:
    """A running server."""
    with serving() as found:
        yield found


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
def tables_too(server: DatabaseServer) -> tuple[str, str]:
    """The URL of a PostgreSQL archive with tables, and the statement that empties them."""
    with psycopg.connect(f"host={server.home} user=tester dbname=postgres", autocommit=True) as to:
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
