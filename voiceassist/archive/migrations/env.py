"""Runs migrations on the connection that ``schema.py`` hands over, in its transaction."""

from alembic import context
from sqlalchemy import Connection


def _run(connection: Connection) -> None:
    context.configure(connection=connection, version_table="archive_version")
    context.run_migrations()


_run(context.config.attributes["connection"])
