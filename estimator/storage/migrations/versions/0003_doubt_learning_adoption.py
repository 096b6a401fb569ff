"""Doubt of the hour meter, until when a job learns from past work, adopted starting values."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Bring up."""
    op.create_table(
        "adoption",
        sa.Column("id", sa.String(length=26), nullable=False),
        sa.Column("subject", sa.String(length=80), nullable=False),
        sa.Column("stated", sa.Text(), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_adoption")),
    )
    op.create_index(op.f("ix_adoption_subject"), "adoption", ["subject"])

    # Plain additions: a table that others refer to cannot be made anew while they hold rows.
    op.add_column(
        "job", sa.Column("meter", sa.String(length=20), nullable=False, server_default="original")
    )
    op.add_column(
        "job", sa.Column("hours_doubt", sa.String(length=40), nullable=False, server_default="0")
    )
    op.add_column("job", sa.Column("learnt_until", sa.String(length=10), nullable=True))


def downgrade() -> None:
    """Take back."""
    for name in ("learnt_until", "hours_doubt", "meter"):
        op.drop_column("job", name)
    op.drop_index(op.f("ix_adoption_subject"), "adoption")
    op.drop_table("adoption")
