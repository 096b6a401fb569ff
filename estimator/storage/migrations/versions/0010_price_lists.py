"""Price lists of suppliers, their items, and the parts these are linked to."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Bring up."""
    op.create_table(
        "price_list",
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("supplier", sa.String(length=40), nullable=False),
        sa.Column("file", sa.Text(), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("sheet", sa.Text(), nullable=False),
        sa.Column("full", sa.Boolean(), nullable=False),
        sa.Column("price_date", sa.String(length=10), nullable=False),
        sa.Column("taken_by", sa.Text(), nullable=False),
        sa.Column("taken_at", sa.String(length=32), nullable=False),
        sa.Column("counts", sa.Text(), nullable=False),
        sa.Column("edition", sa.Integer(), nullable=False),
        sa.Column("moved", sa.Text(), nullable=False),
        sa.Column("undone_by", sa.Text(), nullable=False),
        sa.Column("undone_at", sa.String(length=32), nullable=True),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_price_list")),
    )
    op.create_index(op.f("ix_price_list_supplier"), "price_list", ["supplier"])
    op.create_table(
        "supplier_item",
        sa.Column("supplier", sa.String(length=40), nullable=False),
        sa.Column("key", sa.String(length=80), nullable=False),
        sa.Column("taken", sa.Integer(), nullable=False),
        sa.Column("minor", sa.BigInteger(), nullable=False),
        sa.Column("said", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("supplier", "key", name=op.f("pk_supplier_item")),
        sqlite_with_rowid=False,
    )
    op.create_table(
        "supplier_item_past",
        sa.Column("until", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("supplier", sa.String(length=40), nullable=False),
        sa.Column("key", sa.String(length=80), nullable=False),
        sa.Column("taken", sa.Integer(), nullable=False),
        sa.Column("minor", sa.BigInteger(), nullable=False),
        sa.Column("said", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("until", "supplier", "key", name=op.f("pk_supplier_item_past")),
        sqlite_with_rowid=False,
    )
    op.create_table(
        "supplier_mapping",
        sa.Column("supplier", sa.String(length=40), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("supplier", name=op.f("pk_supplier_mapping")),
    )
    op.create_table(
        "part_link",
        sa.Column("code", sa.String(length=40), nullable=False),
        sa.Column("needs", sa.String(length=200), nullable=False),
        sa.Column("supplier", sa.String(length=40), nullable=False),
        sa.Column("key", sa.String(length=80), nullable=False),
        sa.Column("quantity", sa.String(length=40), nullable=False),
        sa.PrimaryKeyConstraint("code", "needs", "supplier", "key", name=op.f("pk_part_link")),
    )


def downgrade() -> None:
    """Take back."""
    for table in (
        "part_link", "supplier_mapping", "supplier_item_past", "supplier_item", "price_list",
    ):  # fmt: skip
        op.drop_table(table)
