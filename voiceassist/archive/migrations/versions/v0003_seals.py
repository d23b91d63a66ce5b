"""Seals: the longest journal seen of each session. And the test points of each procedure."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def _text(name: str, *, key: bool = False) -> sa.Column[str]:
    return sa.Column(name, sa.Text, primary_key=key, nullable=False)


def upgrade() -> None:
    """Make both; what is known of each journal so far becomes its seal."""
    op.create_table(
        "seals",
        _text("place", key=True),
        _text("folder", key=True),
        sa.Column("lines", sa.Integer, nullable=False),
        _text("last_hash"),
    )
    op.execute(
        "INSERT INTO seals (place, folder, lines, last_hash)"
        " SELECT place, folder, lines, last_hash FROM sessions"
    )
    op.create_table(
        "points",
        _text("procedure_sha256", key=True),
        _text("step", key=True),
        _text("point", key=True),
        sqlite_with_rowid=False,
    )
    op.create_index("points_by_name", "points", ["point"])
    op.execute("UPDATE sessions SET size = -1")


def downgrade() -> None:
    """Drop both."""
    op.drop_table("points")
    op.drop_table("seals")
