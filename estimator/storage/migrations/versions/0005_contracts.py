"""Contracts: events after an acceptance, what they come to, and catalogues kept with what they
priced."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Bring up."""
    op.create_table(
        "kept_catalogue",
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("version", sa.Text(), nullable=False),
        sa.Column("files", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("fingerprint", name=op.f("pk_kept_catalogue")),
    )
    op.create_table(
        "contract",
        sa.Column("job_id", sa.String(length=26), nullable=False),
        sa.Column("revision", sa.String(length=4), nullable=False),
        sa.Column("accepted_at", sa.String(length=32), nullable=False),
        sa.Column("events", sa.Integer(), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("contract_sum", sa.BigInteger(), nullable=False),
        sa.Column("current_sum", sa.BigInteger(), nullable=False),
        sa.Column("held", sa.BigInteger(), nullable=False),
        sa.Column("left", sa.BigInteger(), nullable=False),
        sa.Column("worked_out", sa.Integer(), nullable=False),
        sa.Column("exposed", sa.BigInteger(), nullable=True),
        sa.Column("mark", sa.String(length=12), nullable=False),
        sa.Column("forecast_low", sa.BigInteger(), nullable=True),
        sa.Column("forecast_likely", sa.BigInteger(), nullable=True),
        sa.Column("forecast_high", sa.BigInteger(), nullable=True),
        sa.Column("finish_half", sa.String(length=10), nullable=True),
        sa.Column("finish_covered", sa.String(length=10), nullable=True),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_contract_job_id_job")),
        sa.PrimaryKeyConstraint("job_id", name=op.f("pk_contract")),
    )
    op.create_table(
        "contract_event",
        sa.Column("id", sa.String(length=26), nullable=False),
        sa.Column("job_id", sa.String(length=26), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("kind", sa.String(length=40), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_contract_event_job_id_job")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_contract_event")),
        sa.UniqueConstraint("job_id", "place", name=op.f("uq_contract_event_job_id")),
    )
    op.create_table(
        "variation",
        sa.Column("job_id", sa.String(length=26), nullable=False),
        sa.Column("number", sa.String(length=12), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("since", sa.String(length=32), nullable=False),
        sa.Column("waits_on", sa.String(length=20), nullable=False),
        sa.Column("ask", sa.Text(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("component", sa.Text(), nullable=False),
        sa.Column("end", sa.String(length=20), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("amount", sa.BigInteger(), nullable=True),
        sa.Column("low", sa.BigInteger(), nullable=True),
        sa.Column("high", sa.BigInteger(), nullable=True),
        sa.Column("raised_at", sa.String(length=32), nullable=False),
        sa.Column("answer_by", sa.String(length=10), nullable=True),
        sa.Column("waiting_from", sa.String(length=10), nullable=True),
        sa.Column("waiting_per_day", sa.BigInteger(), nullable=True),
        sa.Column("activity", sa.String(length=24), nullable=False),
        sa.Column("safety", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_variation_job_id_job")),
        sa.PrimaryKeyConstraint("job_id", "number", name=op.f("pk_variation")),
    )
    with op.batch_alter_table("variation", schema=None) as batch_op:
        batch_op.create_index("ix_variation_waits_on_since", ["waits_on", "since"], unique=False)

    with op.batch_alter_table("issued_quote", schema=None) as batch_op:
        batch_op.add_column(
            sa.Column("edition", sa.String(length=64), nullable=False, server_default="")
        )


def downgrade() -> None:
    """Take back."""
    with op.batch_alter_table("issued_quote", schema=None) as batch_op:
        batch_op.drop_column("edition")

    with op.batch_alter_table("variation", schema=None) as batch_op:
        batch_op.drop_index("ix_variation_waits_on_since")

    op.drop_table("variation")
    op.drop_table("contract_event")
    op.drop_table("contract")
    op.drop_table("kept_catalogue")
