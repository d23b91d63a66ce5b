"""Full text search. The journals are read again for it: every session counts as changed."""

from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

_COLUMNS = ("said", "cause", "complaint", "vehicle")


def upgrade() -> None:
    """Make the table of words, in the way of the database."""
    if op.get_bind().dialect.name == "sqlite":
        op.execute(f"CREATE VIRTUAL TABLE words USING fts5({', '.join(_COLUMNS)})")
    else:
        columns = ", ".join(f"{name} tsvector NOT NULL" for name in _COLUMNS)
        op.execute(
            "CREATE TABLE words (session bigint PRIMARY KEY REFERENCES sessions (number)"
            f" ON DELETE CASCADE, {columns})"
        )
        for name in _COLUMNS:
            op.execute(f"CREATE INDEX words_{name} ON words USING gin ({name})")
            # PostgreSQL then knows how often twenty thousand words occur, and not a thousand
            # only: it must tell a rare word from a common one to look it up the right way.
            op.execute(f"ALTER TABLE words ALTER {name} SET STATISTICS 2000")
    op.execute("UPDATE sessions SET size = -1")


def downgrade() -> None:
    """Drop it."""
    op.execute("DROP TABLE words")
