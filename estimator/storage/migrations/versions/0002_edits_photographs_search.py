"""Edits and what is typed, photographs, figures last worked out, full-text search."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Bring up."""
    op.create_table(
        "edit_step",
        sa.Column("id", sa.String(length=26), nullable=False),
        sa.Column("job_id", sa.String(length=26), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.Column("changes", sa.Text(), nullable=False),
        sa.Column("undone", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_edit_step_job_id_job")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_edit_step")),
        sa.UniqueConstraint("job_id", "place", name=op.f("uq_edit_step_job_id")),
    )
    op.create_table(
        "job_text",
        sa.Column("row", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("job_id", sa.String(length=26), nullable=False),
        sa.Column("number", sa.Text(), nullable=False),
        sa.Column("customer", sa.Text(), nullable=False),
        sa.Column("serial", sa.Text(), nullable=False),
        sa.Column("class_id", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("findings", sa.Text(), nullable=False),
        sa.Column("photographs", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_job_text_job_id_job")),
        sa.PrimaryKeyConstraint("row", name=op.f("pk_job_text")),
        sa.UniqueConstraint("job_id", name=op.f("uq_job_text_job_id")),
    )
    op.create_table(
        "kept_text",
        sa.Column("job_id", sa.String(length=26), nullable=False),
        sa.Column("place", sa.String(length=160), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_kept_text_job_id_job")),
        sa.PrimaryKeyConstraint("job_id", "place", name=op.f("pk_kept_text")),
    )
    op.create_table(
        "line_change",
        sa.Column("row_id", sa.String(length=24), nullable=False),
        sa.Column("quantity", sa.String(length=40), nullable=True),
        sa.Column("unit_cost", sa.String(length=40), nullable=True),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.Column("date", sa.String(length=10), nullable=False),
        sa.Column("id", sa.String(length=26), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.String(length=26), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_line_change_job_id_job")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_line_change")),
        sa.UniqueConstraint("job_id", "row_id", name=op.f("uq_line_change_job_id")),
    )
    with op.batch_alter_table("line_change", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_line_change_job_id"), ["job_id"], unique=False)

    op.create_table(
        "own_line",
        sa.Column("code", sa.String(length=24), nullable=False),
        sa.Column("component", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("quantity", sa.String(length=40), nullable=False),
        sa.Column("quantity_low", sa.String(length=40), nullable=False),
        sa.Column("quantity_high", sa.String(length=40), nullable=False),
        sa.Column("unit", sa.String(length=20), nullable=False),
        sa.Column("trade", sa.String(length=24), nullable=False),
        sa.Column("unit_cost", sa.String(length=40), nullable=False),
        sa.Column("markup", sa.String(length=24), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.Column("id", sa.String(length=26), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.String(length=26), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_own_line_job_id_job")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_own_line")),
        sa.UniqueConstraint("job_id", "code", name=op.f("uq_own_line_job_id")),
    )
    with op.batch_alter_table("own_line", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_own_line_job_id"), ["job_id"], unique=False)

    op.create_table(
        "photograph",
        sa.Column("id", sa.String(length=26), nullable=False),
        sa.Column("job_id", sa.String(length=26), nullable=False),
        sa.Column("finding", sa.String(length=24), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=40), nullable=False),
        sa.Column("caption", sa.Text(), nullable=False),
        sa.Column("taken_on", sa.String(length=10), nullable=True),
        sa.Column("image", sa.LargeBinary(), nullable=False),
        sa.Column("thumbnail", sa.LargeBinary(), nullable=False),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("height", sa.Integer(), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_photograph_job_id_job")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_photograph")),
        sa.UniqueConstraint("job_id", "name", name=op.f("uq_photograph_job_id")),
    )
    op.create_table(
        "standing",
        sa.Column("job_id", sa.String(length=26), nullable=False),
        sa.Column("job_version", sa.Integer(), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("quoting_unit", sa.String(length=40), nullable=False),
        sa.Column("firm", sa.BigInteger(), nullable=False),
        sa.Column("provisional", sa.BigInteger(), nullable=False),
        sa.Column("contingency", sa.BigInteger(), nullable=False),
        sa.Column("net", sa.BigInteger(), nullable=False),
        sa.Column("confidence", sa.String(length=40), nullable=False),
        sa.Column("finish_half", sa.String(length=10), nullable=False),
        sa.Column("finish_covered", sa.String(length=10), nullable=False),
        sa.Column("area", sa.String(length=20), nullable=False),
        sa.Column("waits_on", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("worked_out_at", sa.String(length=32), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_standing_job_id_job")),
        sa.PrimaryKeyConstraint("job_id", name=op.f("pk_standing")),
    )
    op.create_index("ix_standing_currency_net", "standing", ["currency", "net"])

    with op.batch_alter_table("change_log", schema=None) as batch_op:
        batch_op.alter_column(
            "act",
            existing_type=sa.VARCHAR(length=40),
            type_=sa.String(length=120),
            existing_nullable=False,
        )

    op.add_column(
        "closed_job", sa.Column("version", sa.Integer(), nullable=False, server_default="1")
    )

    op.add_column(
        "issued_quote",
        sa.Column("chain_head", sa.String(length=64), nullable=False, server_default=""),
    )

    # Plain additions: a table that others refer to cannot be made anew while they hold rows.
    op.add_column(
        "job", sa.Column("state_since", sa.String(length=32), nullable=False, server_default="")
    )
    op.execute("UPDATE job SET state_since = changed_at")
    op.add_column("job", sa.Column("valid_until", sa.String(length=10), nullable=True))
    op.execute(
        "UPDATE job SET valid_until = (SELECT issued_quote.valid_until FROM issued_quote"
        " WHERE issued_quote.job_id = job.id AND issued_quote.revision = job.revision)"
        " WHERE state = 'issued'"
    )
    op.add_column("job", sa.Column("note", sa.Text(), nullable=False, server_default=""))
    op.add_column("job", sa.Column("wanted_by", sa.String(length=10), nullable=True))
    op.create_index("ix_job_class_id_changed_at", "job", ["class_id", "changed_at"])
    op.create_index("ix_job_state_changed_at", "job", ["state", "changed_at"])

    op.add_column(
        "scope_change", sa.Column("kind", sa.String(length=10), nullable=False, server_default="")
    )
    change = sa.table("scope_change", sa.column("kind", sa.String), sa.column("added", sa.Boolean))
    op.execute(change.update().values(kind=sa.case((change.c.added, "added"), else_="removed")))
    with op.batch_alter_table("scope_change", schema=None) as batch_op:
        batch_op.alter_column(
            "row_id",
            existing_type=sa.VARCHAR(length=24),
            type_=sa.String(length=60),
            existing_nullable=False,
        )
        batch_op.drop_column("added")

    op.add_column(
        "teardown_outcome", sa.Column("version", sa.Integer(), nullable=False, server_default="1")
    )

    _fill_text()
    if op.get_bind().dialect.name == "sqlite":
        _make_full_text()


def _fill_text() -> None:
    """What is searched of the jobs that are there already."""
    bind = op.get_bind()
    found: dict[str, list[str]] = {}
    words = sa.text("SELECT job_id, code, what, reading, note FROM finding ORDER BY job_id, place")
    for job_id, code, *cells in bind.execute(words):
        found.setdefault(job_id, []).append(f"{code}\t{' '.join(' '.join(cells).split())}")
    bind.execute(
        sa.text(
            "INSERT INTO job_text (job_id, number, customer, serial, class_id, note, findings,"
            " photographs) SELECT id, number, customer_name, serial, class_id, '', '', '' FROM job"
        )
    )
    for job_id, lines in found.items():
        bind.execute(
            sa.text("UPDATE job_text SET findings = :text WHERE job_id = :job_id"),
            {"text": "\n".join(lines), "job_id": job_id},
        )


def _make_full_text() -> None:
    """SQLite's full-text index over job_text; other databases search the table itself."""
    op.execute(
        "CREATE VIRTUAL TABLE job_search USING fts5(number, customer, serial, class_id, note,"
        " findings, photographs, content='job_text', content_rowid='row', prefix='2 3',"
        " tokenize='unicode61 remove_diacritics 2')"
    )
    op.execute("INSERT INTO job_search(job_search) VALUES('rebuild')")


def downgrade() -> None:
    """Take back."""
    if op.get_bind().dialect.name == "sqlite":
        op.execute("DROP TABLE job_search")
    op.drop_column("teardown_outcome", "version")

    op.execute("DELETE FROM scope_change WHERE kind = 'kept'")  # it had no place for them
    op.add_column(
        "scope_change", sa.Column("added", sa.Boolean(), nullable=False, server_default=sa.false())
    )
    change = sa.table("scope_change", sa.column("kind", sa.String), sa.column("added", sa.Boolean))
    op.execute(change.update().values(added=change.c.kind == "added"))
    with op.batch_alter_table("scope_change", schema=None) as batch_op:
        batch_op.alter_column(
            "row_id",
            existing_type=sa.String(length=60),
            type_=sa.VARCHAR(length=24),
            existing_nullable=False,
        )
        batch_op.drop_column("kind")

    op.drop_index("ix_job_state_changed_at", "job")
    op.drop_index("ix_job_class_id_changed_at", "job")
    for name in ("wanted_by", "note", "valid_until", "state_since"):
        op.drop_column("job", name)
    op.drop_column("issued_quote", "chain_head")
    op.drop_column("closed_job", "version")
    with op.batch_alter_table("change_log", schema=None) as batch_op:
        batch_op.alter_column(
            "act",
            existing_type=sa.String(length=120),
            type_=sa.VARCHAR(length=40),
            existing_nullable=False,
        )

    for name in (
        "standing", "photograph", "own_line", "line_change", "kept_text", "job_text", "edit_step",
    ):  # fmt: skip
        op.drop_table(name)
