"""Editions of the catalogue that were made within the program."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Bring up."""
    op.create_table(
        "catalogue_edition",
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("version", sa.Text(), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("based_on", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.Column("rows", sa.Integer(), nullable=False),
        sa.Column("changes", sa.LargeBinary(), nullable=False),
        sa.Column("changes_sha256", sa.String(length=64), nullable=False),
        sa.Column("kept", sa.String(length=64), nullable=False),
        sa.Column("folder", sa.String(length=64), nullable=False),
        sa.Column("folder_kept", sa.String(length=64), nullable=False),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_catalogue_edition")),
    )
    op.create_index(op.f("ix_catalogue_edition_fingerprint"), "catalogue_edition", ["fingerprint"])


def downgrade() -> None:
    """Take back."""
    op.drop_index(op.f("ix_catalogue_edition_fingerprint"), table_name="catalogue_edition")
    op.drop_table("catalogue_edition")
