"""No fault found is an outcome of its own. The journals are read again for it."""

from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Count every session as changed."""
    op.execute("UPDATE sessions SET size = -1")


def downgrade() -> None:
    """Nothing of the tables changed; what was read stays."""
