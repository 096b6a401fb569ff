"""The first record."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Bring up."""

    op.create_table(
        "change_log",
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("act", sa.String(length=40), nullable=False),
        sa.Column("subject", sa.String(length=80), nullable=False),
        sa.Column("before", sa.Text(), nullable=False),
        sa.Column("after", sa.Text(), nullable=False),
        sa.Column("previous_hash", sa.String(length=64), nullable=False),
        sa.Column("hash", sa.String(length=64), nullable=False),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_change_log")),
    )
    with op.batch_alter_table("change_log", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_change_log_subject"), ["subject"], unique=False)

    op.create_table(
        "closed_job",
        sa.Column("id", sa.String(length=26), nullable=False),
        sa.Column("number", sa.String(length=40), nullable=False),
        sa.Column("machine_class", sa.Text(), nullable=False),
        sa.Column("hours", sa.String(length=40), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("quoted_base", sa.BigInteger(), nullable=False),
        sa.Column("quoted_contingency", sa.BigInteger(), nullable=False),
        sa.Column("final_less_requests", sa.BigInteger(), nullable=False),
        sa.Column("closed_on", sa.String(length=10), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_closed_job")),
        sa.UniqueConstraint("number", name=op.f("uq_closed_job_number")),
    )
    op.create_table(
        "counter",
        sa.Column("name", sa.String(length=40), nullable=False),
        sa.Column("next_number", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_counter")),
    )
    op.create_table(
        "job",
        sa.Column("id", sa.String(length=26), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("number", sa.String(length=40), nullable=False),
        sa.Column("revision", sa.String(length=4), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("created_at", sa.String(length=32), nullable=False),
        sa.Column("changed_at", sa.String(length=32), nullable=False),
        sa.Column("quoted_on", sa.String(length=10), nullable=False),
        sa.Column("starts_on", sa.String(length=10), nullable=False),
        sa.Column("inspected_on", sa.String(length=10), nullable=False),
        sa.Column("level", sa.String(length=20), nullable=False),
        sa.Column("estimator", sa.Text(), nullable=False),
        sa.Column("releaser", sa.Text(), nullable=False),
        sa.Column("class_id", sa.String(length=24), nullable=False),
        sa.Column("serial", sa.String(length=80), nullable=False),
        sa.Column("hours", sa.String(length=40), nullable=False),
        sa.Column("duty", sa.String(length=40), nullable=False),
        sa.Column("life_wanted", sa.String(length=40), nullable=False),
        sa.Column("workshop_name", sa.Text(), nullable=False),
        sa.Column("workshop_address", sa.Text(), nullable=False),
        sa.Column("workshop_contact", sa.Text(), nullable=False),
        sa.Column("customer_name", sa.Text(), nullable=False),
        sa.Column("customer_address", sa.Text(), nullable=False),
        sa.Column("customer_contact", sa.Text(), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("quoting_unit", sa.String(length=40), nullable=False),
        sa.Column("discount_share", sa.String(length=40), nullable=False),
        sa.Column("confidence", sa.String(length=40), nullable=False),
        sa.Column("tax_category", sa.String(length=24), nullable=False),
        sa.Column("commercial_form", sa.String(length=40), nullable=False),
        sa.Column("valid_days", sa.Integer(), nullable=False),
        sa.Column("answer_days", sa.Integer(), nullable=False),
        sa.Column("storage_free_days", sa.Integer(), nullable=False),
        sa.Column("storage_per_day", sa.String(length=40), nullable=False),
        sa.Column("removed_parts_days", sa.Integer(), nullable=False),
        sa.Column("teardown_longest_days", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_job")),
        sa.UniqueConstraint("number", name=op.f("uq_job_number")),
    )
    with op.batch_alter_table("job", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_job_changed_at"), ["changed_at"], unique=False)
        batch_op.create_index(batch_op.f("ix_job_serial"), ["serial"], unique=False)

    op.create_table(
        "person",
        sa.Column("id", sa.String(length=26), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("role", sa.String(length=20), nullable=False),
        sa.Column("passphrase_hash", sa.String(length=200), nullable=False),
        sa.Column("active", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_person")),
        sa.UniqueConstraint("name", name=op.f("uq_person_name")),
    )
    op.create_table(
        "teardown_outcome",
        sa.Column("id", sa.String(length=26), nullable=False),
        sa.Column("pool", sa.String(length=80), nullable=False),
        sa.Column("machine_class", sa.Text(), nullable=False),
        sa.Column("component", sa.Text(), nullable=False),
        sa.Column("hours", sa.String(length=40), nullable=False),
        sa.Column("duty", sa.String(length=40), nullable=False),
        sa.Column("life_basis", sa.String(length=20), nullable=False),
        sa.Column("disposition", sa.String(length=20), nullable=False),
        sa.Column("worn", sa.Boolean(), nullable=False),
        sa.Column("cost", sa.BigInteger(), nullable=True),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("days", sa.String(length=40), nullable=True),
        sa.Column("found_on", sa.String(length=10), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_teardown_outcome")),
    )
    with op.batch_alter_table("teardown_outcome", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_teardown_outcome_pool"), ["pool"], unique=False)

    op.create_table(
        "exchange_rate",
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("rate", sa.String(length=40), nullable=False),
        sa.Column("date", sa.String(length=10), nullable=False),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("id", sa.String(length=26), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.String(length=26), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_exchange_rate_job_id_job")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_exchange_rate")),
        sa.UniqueConstraint("job_id", "currency", name=op.f("uq_exchange_rate_job_id")),
    )
    with op.batch_alter_table("exchange_rate", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_exchange_rate_job_id"), ["job_id"], unique=False)

    op.create_table(
        "finding",
        sa.Column("code", sa.String(length=24), nullable=False),
        sa.Column("measure", sa.Text(), nullable=False),
        sa.Column("component", sa.Text(), nullable=False),
        sa.Column("part", sa.Text(), nullable=False),
        sa.Column("sign_of", sa.Text(), nullable=False),
        sa.Column("test", sa.Text(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("unit", sa.String(length=20), nullable=False),
        sa.Column("measured", sa.String(length=40), nullable=True),
        sa.Column("new", sa.String(length=40), nullable=True),
        sa.Column("rebuild_limit", sa.String(length=40), nullable=True),
        sa.Column("service_limit", sa.String(length=40), nullable=True),
        sa.Column("gauge_error", sa.String(length=40), nullable=True),
        sa.Column("hours_on_part", sa.String(length=40), nullable=True),
        sa.Column("metals", sa.Text(), nullable=False),
        sa.Column("cleanliness", sa.String(length=12), nullable=False),
        sa.Column("reading", sa.Text(), nullable=False),
        sa.Column("result", sa.String(length=10), nullable=False),
        sa.Column("quantity", sa.String(length=40), nullable=True),
        sa.Column("quantity_low", sa.String(length=40), nullable=True),
        sa.Column("quantity_high", sa.String(length=40), nullable=True),
        sa.Column("override", sa.String(length=20), nullable=False),
        sa.Column("override_reason", sa.Text(), nullable=False),
        sa.Column("overridden_by", sa.Text(), nullable=False),
        sa.Column("photo", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("inspector", sa.Text(), nullable=False),
        sa.Column("date", sa.String(length=10), nullable=False),
        sa.Column("id", sa.String(length=26), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.String(length=26), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_finding_job_id_job")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_finding")),
        sa.UniqueConstraint("job_id", "code", name=op.f("uq_finding_job_id")),
    )
    with op.batch_alter_table("finding", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_finding_job_id"), ["job_id"], unique=False)

    op.create_table(
        "issued_quote",
        sa.Column("id", sa.String(length=26), nullable=False),
        sa.Column("job_id", sa.String(length=26), nullable=False),
        sa.Column("revision", sa.String(length=4), nullable=False),
        sa.Column("issued_at", sa.String(length=32), nullable=False),
        sa.Column("issued_by", sa.Text(), nullable=False),
        sa.Column("released_by", sa.Text(), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("net", sa.BigInteger(), nullable=False),
        sa.Column("contingency", sa.BigInteger(), nullable=False),
        sa.Column("gross", sa.BigInteger(), nullable=False),
        sa.Column("ready_on", sa.String(length=10), nullable=False),
        sa.Column("valid_until", sa.String(length=10), nullable=False),
        sa.Column("catalogue_version", sa.Text(), nullable=False),
        sa.Column("catalogue_fingerprint", sa.String(length=64), nullable=False),
        sa.Column("record", sa.String(length=64), nullable=False),
        sa.Column("inputs", sa.Text(), nullable=False),
        sa.Column("figures", sa.Text(), nullable=False),
        sa.Column("pdf", sa.LargeBinary(), nullable=False),
        sa.Column("pdf_sha256", sa.String(length=64), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_issued_quote_job_id_job")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_issued_quote")),
        sa.UniqueConstraint("job_id", "revision", name=op.f("uq_issued_quote_job_id")),
    )
    with op.batch_alter_table("issued_quote", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_issued_quote_job_id"), ["job_id"], unique=False)

    op.create_table(
        "machine_event",
        sa.Column("hours", sa.String(length=40), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("components", sa.Text(), nullable=False),
        sa.Column("renewed", sa.Text(), nullable=False),
        sa.Column("seen_sound", sa.Text(), nullable=False),
        sa.Column("id", sa.String(length=26), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.String(length=26), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_machine_event_job_id_job")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_machine_event")),
    )
    with op.batch_alter_table("machine_event", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_machine_event_job_id"), ["job_id"], unique=False)

    op.create_table(
        "scope_change",
        sa.Column("added", sa.Boolean(), nullable=False),
        sa.Column("row_id", sa.String(length=24), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.Column("id", sa.String(length=26), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.String(length=26), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_scope_change_job_id_job")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_scope_change")),
    )
    with op.batch_alter_table("scope_change", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_scope_change_job_id"), ["job_id"], unique=False)

    op.create_table(
        "stage",
        sa.Column("share", sa.String(length=40), nullable=False),
        sa.Column("when", sa.Text(), nullable=False),
        sa.Column("id", sa.String(length=26), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.String(length=26), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_stage_job_id_job")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stage")),
    )
    with op.batch_alter_table("stage", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_stage_job_id"), ["job_id"], unique=False)

    op.create_table(
        "way",
        sa.Column("part", sa.String(length=24), nullable=False),
        sa.Column("way", sa.String(length=20), nullable=False),
        sa.Column("id", sa.String(length=26), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.String(length=26), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_way_job_id_job")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_way")),
        sa.UniqueConstraint("job_id", "part", name=op.f("uq_way_job_id")),
    )
    with op.batch_alter_table("way", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_way_job_id"), ["job_id"], unique=False)


def downgrade() -> None:
    """Take back."""

    with op.batch_alter_table("way", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_way_job_id"))

    op.drop_table("way")
    with op.batch_alter_table("stage", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_stage_job_id"))

    op.drop_table("stage")
    with op.batch_alter_table("scope_change", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_scope_change_job_id"))

    op.drop_table("scope_change")
    with op.batch_alter_table("machine_event", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_machine_event_job_id"))

    op.drop_table("machine_event")
    with op.batch_alter_table("issued_quote", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_issued_quote_job_id"))

    op.drop_table("issued_quote")
    with op.batch_alter_table("finding", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_finding_job_id"))

    op.drop_table("finding")
    with op.batch_alter_table("exchange_rate", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_exchange_rate_job_id"))

    op.drop_table("exchange_rate")
    with op.batch_alter_table("teardown_outcome", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_teardown_outcome_pool"))

    op.drop_table("teardown_outcome")
    op.drop_table("person")
    with op.batch_alter_table("job", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_job_serial"))
        batch_op.drop_index(batch_op.f("ix_job_changed_at"))

    op.drop_table("job")
    op.drop_table("counter")
    op.drop_table("closed_job")
    with op.batch_alter_table("change_log", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_change_log_subject"))

    op.drop_table("change_log")
