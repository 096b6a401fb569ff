"""The workshop's own look: versions of its style, drawings, and the style a quote was issued in."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Bring up."""
    op.create_table(
        "house_style",
        sa.Column("version", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("style", sa.String(length=64), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("version", name=op.f("pk_house_style")),
    )
    op.create_index(op.f("ix_house_style_style"), "house_style", ["style"], unique=False)
    op.create_table(
        "house_drawing",
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("kind", sa.String(length=4), nullable=False),
        sa.Column("width", sa.Float(), nullable=False),
        sa.Column("height", sa.Float(), nullable=False),
        sa.Column("data", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("sha256", name=op.f("pk_house_drawing")),
    )
    with op.batch_alter_table("issued_quote", schema=None) as batch_op:
        batch_op.add_column(
            sa.Column("style", sa.String(length=64), nullable=False, server_default="")
        )


def downgrade() -> None:
    """Take back."""
    with op.batch_alter_table("issued_quote", schema=None) as batch_op:
        batch_op.drop_column("style")

    op.drop_table("house_drawing")
    op.drop_index(op.f("ix_house_style_style"), table_name="house_style")
    op.drop_table("house_style")
