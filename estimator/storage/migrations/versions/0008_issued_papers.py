"""Papers of contracts as they went out."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Bring up."""
    op.create_table(
        "issued_paper",
        sa.Column("id", sa.String(length=26), nullable=False),
        sa.Column("job_id", sa.String(length=26), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("variation", sa.String(length=12), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("day", sa.String(length=10), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("locale", sa.String(length=20), nullable=False),
        sa.Column("events", sa.Integer(), nullable=False),
        sa.Column("chain_head", sa.String(length=64), nullable=False),
        sa.Column("pdf", sa.LargeBinary(), nullable=False),
        sa.Column("pdf_sha256", sa.String(length=64), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_issued_paper_job_id_job")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_issued_paper")),
        sa.UniqueConstraint("job_id", "place", name=op.f("uq_issued_paper_job_id")),
    )


def downgrade() -> None:
    """Take back."""
    op.drop_table("issued_paper")
