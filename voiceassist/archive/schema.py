"""Makes the tables of an archive, and refuses those of another version."""

from sqlalchemy import Connection, Engine, inspect, text

from voiceassist.archive.engine import reading, shown, writing
from voiceassist.archive.tables import WORDS, metadata
from voiceassist.errors import ArchiveError

#: Of what ``tables.py`` describes; whoever changes that raises it, and leads the older ones up.
VERSION = "0005"
_MARK = "archive_version"


def ensure(engine: Engine) -> None:
    """Make the tables where there are none.

    Raises:
        ArchiveError: another version of the program made them, or the database fails.
    """
    with reading(engine) as connection:
        if _is_made(connection):
            return
    with writing(engine) as connection:  # another process may have done it meanwhile
        if not _is_made(connection):
            _make(connection)


def version(connection: Connection) -> str:
    """Of its tables; empty when there are none."""
    if not inspect(connection).has_table(_MARK):
        return ""
    return connection.execute(text(f"SELECT version_num FROM {_MARK}")).scalar() or ""


def _make(connection: Connection) -> None:
    metadata.create_all(connection, checkfirst=False)
    if connection.dialect.name == "sqlite":
        connection.execute(text(f"CREATE VIRTUAL TABLE words USING fts5({', '.join(WORDS)})"))
    else:
        _make_vectors(connection)
    connection.execute(text(f"CREATE TABLE {_MARK} (version_num VARCHAR(32) NOT NULL PRIMARY KEY)"))
    connection.execute(text(f"INSERT INTO {_MARK} VALUES ('{VERSION}')"))


def _make_vectors(connection: Connection) -> None:
    columns = ", ".join(f"{name} tsvector NOT NULL" for name in WORDS)
    owner = "bigint PRIMARY KEY REFERENCES sessions (number) ON DELETE CASCADE"
    connection.execute(text(f"CREATE TABLE words (session {owner}, {columns})"))
    for name in WORDS:
        connection.execute(text(f"CREATE INDEX words_{name} ON words USING gin ({name})"))
        # PostgreSQL then knows how often twenty thousand words occur, and not a thousand
        # only: it must tell a rare word from a common one to look it up the right way.
        connection.execute(text(f"ALTER TABLE words ALTER {name} SET STATISTICS 2000"))


def _is_made(connection: Connection) -> bool:
    at = version(connection)
    if at in ("", VERSION):
        return bool(at)
    newer = at > VERSION
    raise ArchiveError(
        f"{'a newer' if newer else 'an older'} version of voiceassist made this archive"
        f" (step {at}; this one knows {VERSION})",
        place=shown(connection.engine.url),
        remedy="install that version, or give another --archive"
        if newer
        else "give it another name, and make it anew: voiceassist records rebuild",
    )
