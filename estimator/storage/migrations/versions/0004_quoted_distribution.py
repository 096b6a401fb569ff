"""The distribution that a closed job was quoted with: percentiles and mean of its final sum."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

NAMES = ("p10", "p50", "p80", "p90", "mean")


def upgrade() -> None:
    """Bring up."""
    for name in NAMES:
        op.add_column("closed_job", sa.Column(name, sa.BigInteger(), nullable=True))


def downgrade() -> None:
    """Take back."""
    for name in reversed(NAMES):
        op.drop_column("closed_job", name)
