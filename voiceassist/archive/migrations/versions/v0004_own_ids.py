"""Sessions and seals are known by the session's own id; bays by one that their folder keeps.

And how long each session lasted, and how often the assistant had to ask in it.
"""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Until its journal is read again a session is known by where it lay, marked as old."""
    for table in ("sessions", "seals"):
        op.add_column(table, sa.Column("sid", sa.Text, nullable=False, server_default=""))
        op.execute(f"UPDATE {table} SET sid = 'old:' || place || ':' || folder")
    op.create_index("sessions_by_sid", "sessions", ["sid"], unique=True)
    op.create_index("seals_by_sid", "seals", ["sid"])
    op.create_table(
        "bays",
        sa.Column("place", sa.Text, primary_key=True, nullable=False),
        sa.Column("shown", sa.Text, nullable=False),
    )
    for name, kind in (("worked_s", sa.BigInteger), ("questions", sa.Integer)):
        op.add_column("sessions", sa.Column(name, kind, nullable=False, server_default="0"))
    op.execute("UPDATE sessions SET size = -1")


def downgrade() -> None:
    """Know sessions by where they lie again."""
    op.drop_table("bays")
    for name in ("worked_s", "questions"):
        op.drop_column("sessions", name)
    for table in ("sessions", "seals"):
        op.drop_index(f"{table}_by_sid", table)
        op.drop_column(table, "sid")
