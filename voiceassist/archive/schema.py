"""Brings the tables of an archive to this version, one named step after the other."""

from sqlalchemy import Connection, Engine, inspect, text

from voiceassist.archive.engine import reading, shown, writing
from voiceassist.errors import ArchiveError

#: The newest step; a test holds it against the folder of migrations.
HEAD = "0005"
_VERSIONS = "archive_version"


def ensure(engine: Engine) -> None:
    """Bring the tables to ``HEAD`` if they are older or missing.

    Raises:
        ArchiveError: a newer version of the program made them, or the database fails.
    """
    with reading(engine) as connection:
        if _is_current(connection):
            return
    with writing(engine) as connection:  # another process may have done it meanwhile
        if not _is_current(connection):
            migrate(connection, HEAD)


def version(connection: Connection) -> str:
    """The step the tables are at; empty when there are none."""
    if not inspect(connection).has_table(_VERSIONS):
        return ""
    return connection.execute(text(f"SELECT version_num FROM {_VERSIONS}")).scalar() or ""


def migrate(connection: Connection, target: str) -> None:
    """Go up or down to step ``target``, or to "base", in the connection's transaction."""
    from alembic import command  # takes a while to import, and is seldom needed
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", "voiceassist.archive:migrations")
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    down = target == "base" or target < version(connection)
    (command.downgrade if down else command.upgrade)(config, target)


def _is_current(connection: Connection) -> bool:
    at = version(connection)
    if at > HEAD:
        raise ArchiveError(
            f"a newer version of voiceassist made this archive (step {at}; this one knows {HEAD})",
            place=shown(connection.engine.url),
            remedy="install that version, or give another --archive",
        )
    return at == HEAD
