"""Sessions, their readings and verdicts, and what was deleted."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision: str | None = None
branch_labels = None
depends_on = None

_number = sa.BigInteger().with_variant(sa.Integer, "sqlite")
_ordered = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def _texts(*names: str) -> list[sa.Column[str]]:
    return [sa.Column(name, sa.Text, nullable=False) for name in names]


def _session() -> sa.Column[int]:
    target = sa.ForeignKey("sessions.number", ondelete="CASCADE")
    return sa.Column("session", _number, target, primary_key=True, autoincrement=False)


def upgrade() -> None:
    """Make the first tables."""
    _make_sessions()
    _make_readings()
    op.create_table(
        "verdicts",
        sa.Column("verdict", sa.Text, primary_key=True),
        _session(),
        sqlite_with_rowid=False,
    )
    op.create_index("verdicts_by_session", "verdicts", ["session"])
    op.create_table(
        "deletions",
        sa.Column("place", sa.Text, primary_key=True),
        sa.Column("folder", sa.Text, primary_key=True),
        sa.Column("number", _number, nullable=False),
        *_texts("removed_at", "removed_by", "reason", "last_hash"),
    )


def _make_sessions() -> None:
    op.create_table(
        "sessions",
        sa.Column("number", _number, primary_key=True, autoincrement=False),
        *_texts("place", "folder", "began", "last_at", "procedure", "title", "procedure_sha256"),
        *_texts("repair_order", "order_key", "vehicle", "technician", "complaint", "facts"),
        *_texts("outcome", "finding", "cause", "last_hash", "chain"),
        sa.Column("ended", sa.Boolean, nullable=False),
        sa.Column("lines", sa.Integer, nullable=False),
        sa.Column("size", sa.BigInteger, nullable=False),
        sa.Column("mtime_ns", sa.BigInteger, nullable=False),
        sa.Column("missing", sa.Boolean, nullable=False),
        sa.UniqueConstraint("place", "folder", name="one_session_a_folder"),
    )
    op.create_index("sessions_by_order", "sessions", ["order_key", "number"])
    op.create_index("sessions_by_procedure", "sessions", ["procedure", "number"])


def _make_readings() -> None:
    op.create_table(
        "readings",
        _session(),
        sa.Column("place", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("seq", sa.Integer, nullable=False),
        *_texts("at", "step", "shown", "quantity"),
        sa.Column("value", sa.Text),
        *_texts("unit"),
        sa.Column("base_key", _ordered),
        *_texts("accept", "verdict"),
        sa.Column("rejudged", sa.Boolean, nullable=False),
        *_texts("remark"),
        sqlite_with_rowid=False,
    )
    op.create_index("readings_by_step", "readings", ["step", "session"])


def downgrade() -> None:
    """Drop them."""
    for name in ("deletions", "verdicts", "readings", "sessions"):
        op.drop_table(name)
