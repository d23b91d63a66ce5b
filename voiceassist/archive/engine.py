"""Opens the database of an archive: SQLite in a file of its own, or PostgreSQL by URL."""

import os
import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from importlib.util import find_spec
from pathlib import Path
from typing import TypeVar

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.exc import ArgumentError, DBAPIError, OperationalError
from sqlalchemy.pool import ConnectionPoolEntry

from voiceassist.errors import ArchiveAwayError, ArchiveError
from voiceassist.record import disk

_R = TypeVar("_R")

#: How long one process waits for another to finish writing, in seconds.
WAIT_S = 30
_REMEDY = "give a file, sqlite:///FILE, or postgresql://USER@HOST/DATABASE"
#: How long to wait between two looks whether a server is back, in seconds.
_LOOK_S = 0.2
#: A network that died is found out within half a minute, where else nobody would ever answer.
_ALIVE = {"keepalives_idle": 10, "keepalives_interval": 5, "keepalives_count": 4}
#: SQLSTATE of a server that stops or starts; a lost connection has none, or one of class 08.
#: https://www.postgresql.org/docs/current/errcodes-appendix.html
_RESTARTED = ("57P01", "57P02", "57P03")
_STARTING = ("starting up", "shutting down", "in recovery mode")
#: Any number does, as long as every version of the program locks the same one.
_LOCK = 8_104_202


def address(text: str) -> URL:
    """The address of an archive: a URL, or the plain name of a file for SQLite.

    Raises:
        ArchiveError: it is no address, or of a database that is not supported.
    """
    if "://" not in text:
        return URL.create("sqlite", database=str(Path(text).expanduser()))
    if text.partition("://")[2].partition("/")[0].count("@") > 1:
        raise ArchiveError(
            "there are several @ in this address, so where its password ends is not clear",
            place="--archive",
            remedy="write each @ of the password as %40, each / as %2F and each : as %3A",
        )
    try:
        url = make_url(text)
    except (ArgumentError, ValueError):  # ValueError: the port is no number
        raise ArchiveError("this is not an address", place="--archive", remedy=_REMEDY) from None
    kind = url.get_backend_name()
    if kind == "sqlite" and url.database:
        return URL.create("sqlite", database=url.database)
    if kind != "postgresql":
        raise ArchiveError(f"{kind} cannot hold an archive", place="--archive", remedy=_REMEDY)
    if find_spec("psycopg") is None:
        raise ArchiveError(
            "the library for PostgreSQL is not installed",
            place="--archive",
            remedy="in a clone of this project run: pip install '.[postgres]'",
        )
    return url.set(drivername="postgresql+psycopg")


def shown(url: URL) -> str:
    """How the archive is named in messages; a password never is."""
    if url.get_backend_name() == "sqlite":
        return url.database or ""
    plain = url.set(drivername="postgresql", query={})  # a password may stand among the options
    return plain.render_as_string(hide_password=True)


def make_engine(url: URL) -> Engine:
    """An engine for ``url``; a SQLite file is made where missing, for its owner alone.

    Raises:
        ArchiveError: the file cannot be made.
    """
    if url.get_backend_name() == "postgresql":
        return create_engine(url, connect_args={"connect_timeout": 10, **_ALIVE})
    _make_file(Path(url.database or ""))
    engine = create_engine(url, connect_args={"timeout": WAIT_S})
    event.listen(engine, "connect", _prepare_sqlite)
    event.listen(engine, "begin", _begin_sqlite)
    return engine


def _make_file(path: Path) -> None:
    """SQLite gives the files it keeps beside this one the same mode."""
    try:
        disk.make_folder(path.parent)
        os.close(os.open(path, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, disk.FILE_MODE))
    except OSError as error:
        raise ArchiveError(
            f"it cannot be opened for writing: {disk.reason(error)}",
            place=str(path),
            remedy="make it writable, or give another --archive",
        ) from None


def _prepare_sqlite(connection: DBAPIConnection, _: ConnectionPoolEntry) -> None:
    assert isinstance(connection, sqlite3.Connection)
    connection.isolation_level = None  # transactions begin where we begin them
    connection.execute(f"PRAGMA busy_timeout = {WAIT_S * 1000}")
    _turn_to_wal(connection)
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA secure_delete = ON")
    connection.execute("PRAGMA cache_size = -65536")


def _turn_to_wal(connection: sqlite3.Connection) -> None:
    """Two processes that turn a new file at once do not wait for each other by themselves."""
    due = time.monotonic() + WAIT_S
    while True:
        try:
            connection.execute("PRAGMA journal_mode = WAL")
        except sqlite3.OperationalError as error:
            if "locked" not in str(error) or time.monotonic() > due:
                raise
            time.sleep(0.02)
        else:
            return


def _begin_sqlite(connection: Connection) -> None:
    write = connection.get_execution_options().get("write")
    connection.exec_driver_sql("BEGIN IMMEDIATE" if write else "BEGIN")


def is_damaged(path: Path) -> bool:
    """The SQLite file at ``path`` is there, and is broken or no database at all."""
    if not path.exists() or not path.stat().st_size:
        return False
    try:
        with closing(sqlite3.connect(path, timeout=WAIT_S)) as connection:
            return bool(connection.execute("PRAGMA quick_check(1)").fetchone()[0] != "ok")
    except sqlite3.OperationalError:
        return False  # locked, or may not be read: that is told when it is opened
    except sqlite3.DatabaseError:
        return True


def checkpoint(engine: Engine) -> None:
    """Have SQLite's write-ahead log emptied into its file, so that nothing removed is in it."""
    if engine.dialect.name == "sqlite":
        with closing(engine.raw_connection()) as connection:
            connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def tune(engine: Engine) -> None:
    """Have PostgreSQL sort in what waits beside its GIN indexes, and count its words anew.

    It does so by itself in time; until then every question reads what waits.

    Raises:
        ArchiveError: the database fails.
    """
    if engine.dialect.name == "postgresql":
        with _translated(engine), engine.connect() as connection:
            alone = connection.execution_options(isolation_level="AUTOCOMMIT")
            alone.exec_driver_sql("VACUUM ANALYZE")


@contextmanager
def reading(engine: Engine) -> Iterator[Connection]:
    """A transaction that only reads.

    Raises:
        ArchiveError: the database fails.
    """
    with _translated(engine), engine.begin() as connection:
        yield connection


@contextmanager
def writing(engine: Engine) -> Iterator[Connection]:
    """A transaction that writes; only one at a time in all processes, the others wait.

    Raises:
        ArchiveError: the database fails; nothing of the transaction was kept.
    """
    with _translated(engine), engine.execution_options(write=True).begin() as connection:
        if engine.dialect.name == "postgresql":
            connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({_LOCK})")
        yield connection


def lasting(engine: Engine, work: Callable[[], _R], *, at_first: bool = False) -> _R:
    """What comes of ``work``, done again while the server is being restarted, and not for ever.

    Args:
        engine: of the archive.
        work: whole transactions, which may be done twice: it is not known of one whose end was
            lost whether it was kept.
        at_first: it was never reached; only one that says it is starting is waited for.

    Raises:
        ArchiveAwayError: it does not come back.
        ArchiveError: as ``work`` does.
    """
    due = time.monotonic() + WAIT_S
    while True:
        try:
            return work()
        except ArchiveAwayError as error:
            waits = not at_first or any(sign in error.found for sign in _STARTING)
            if not waits or time.monotonic() > due:
                raise
            time.sleep(_LOOK_S)


@contextmanager
def _translated(engine: Engine) -> Iterator[None]:
    try:
        yield
    except DBAPIError as error:
        found = " ".join(str(error.orig).split())
        if _is_away(error):
            raise ArchiveAwayError(
                f"its server has gone away: {found}",
                place=shown(engine.url),
                remedy="see that it runs, and try again",
            ) from None
        raise ArchiveError(
            f"the archive cannot be used: {found}", place=shown(engine.url), remedy=_what(found)
        ) from None


def _is_away(error: DBAPIError) -> bool:
    """The server ended the connection, or cannot be connected to."""
    if isinstance(error.orig, sqlite3.Error):
        return False
    state = getattr(error.orig, "sqlstate", None) or ""
    lost = isinstance(error, OperationalError) and (not state or state.startswith("08"))
    return error.connection_invalidated or state in _RESTARTED or lost


def _what(found: str) -> str:
    """What would do; the archive can always be made again."""
    if "malformed" in found or "not a database" in found:
        return "make it anew: voiceassist records rebuild"
    if "locked" in found:
        return "wait until another program has finished writing, and try again"
    return "see that the database is there and may be written, or give another --archive"
