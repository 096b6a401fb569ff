"""Tables of the record. Every editable row has a version; issued rows and the log never change.

Money is whole minor units beside its currency; rates, quantities and shares are exact decimals.
"""

from __future__ import annotations

import datetime
from decimal import Decimal

from sqlalchemy import BigInteger, ForeignKey, LargeBinary, MetaData, String, Text, UniqueConstraint
from sqlalchemy.orm import DeclarativeBase, Mapped, declared_attr, mapped_column

from estimator.storage.column_types import Day, DecimalText, Texts, UtcTime

NAMES = {
    "ix": "ix_%(column_0_label)s",
    "uq": "uq_%(table_name)s_%(column_0_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}


class Table(DeclarativeBase):
    """Base of all rows."""

    metadata = MetaData(naming_convention=NAMES)
    type_annotation_map = {
        Decimal: DecimalText,
        datetime.date: Day,
        datetime.datetime: UtcTime,
        tuple[str, ...]: Texts,
        str: Text,
    }


class CounterRow(Table):
    """Next number of a gapless sequence; taken in the transaction that uses it."""

    __tablename__ = "counter"

    name: Mapped[str] = mapped_column(String(40), primary_key=True)
    next_number: Mapped[int]


class PersonRow(Table):
    """Someone who works with the record; the passphrase is kept as an argon2id hash only."""

    __tablename__ = "person"

    id: Mapped[str] = mapped_column(String(26), primary_key=True)
    version: Mapped[int] = mapped_column()
    name: Mapped[str] = mapped_column(String(80), unique=True)
    role: Mapped[str] = mapped_column(String(20))
    passphrase_hash: Mapped[str] = mapped_column(String(200))
    active: Mapped[bool]

    __mapper_args__ = {"version_id_col": version}


class JobRow(Table):
    """A job: the machine, the customer, the terms. Its findings and the like have tables."""

    __tablename__ = "job"

    id: Mapped[str] = mapped_column(String(26), primary_key=True)
    version: Mapped[int] = mapped_column()
    number: Mapped[str] = mapped_column(String(40), unique=True)
    revision: Mapped[str] = mapped_column(String(4))
    state: Mapped[str] = mapped_column(String(20))
    created_at: Mapped[datetime.datetime]
    changed_at: Mapped[datetime.datetime] = mapped_column(index=True)
    quoted_on: Mapped[datetime.date]
    starts_on: Mapped[datetime.date]
    inspected_on: Mapped[datetime.date]
    level: Mapped[str] = mapped_column(String(20))
    estimator: Mapped[str]
    releaser: Mapped[str]
    class_id: Mapped[str] = mapped_column(String(24))
    serial: Mapped[str] = mapped_column(String(80), index=True)
    hours: Mapped[Decimal]
    duty: Mapped[Decimal]
    life_wanted: Mapped[Decimal]
    workshop_name: Mapped[str]
    workshop_address: Mapped[tuple[str, ...]]
    workshop_contact: Mapped[str]
    customer_name: Mapped[str]
    customer_address: Mapped[tuple[str, ...]]
    customer_contact: Mapped[str]
    currency: Mapped[str] = mapped_column(String(3))
    quoting_unit: Mapped[Decimal]
    discount_share: Mapped[Decimal]
    confidence: Mapped[Decimal]
    tax_category: Mapped[str] = mapped_column(String(24))
    commercial_form: Mapped[str] = mapped_column(String(40))
    valid_days: Mapped[int]
    answer_days: Mapped[int]
    storage_free_days: Mapped[int]
    storage_per_day: Mapped[Decimal]
    removed_parts_days: Mapped[int]
    teardown_longest_days: Mapped[int]

    __mapper_args__ = {"version_id_col": version}


class JobPart(Table):
    """What the rows that belong to a job share: a place in its order, and a version."""

    __abstract__ = True

    id: Mapped[str] = mapped_column(String(26), primary_key=True)
    version: Mapped[int] = mapped_column()
    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), index=True)
    place: Mapped[int]

    @declared_attr.directive
    @classmethod
    def __mapper_args__(cls) -> dict[str, object]:
        """Each row is saved only where its version is still the one that was read."""
        return {"version_id_col": cls.version}


class MachineEventRow(JobPart):
    """An overhaul in the machine's past."""

    __tablename__ = "machine_event"

    hours: Mapped[Decimal]
    what: Mapped[str]
    components: Mapped[tuple[str, ...]]
    renewed: Mapped[tuple[str, ...]]
    seen_sound: Mapped[tuple[str, ...]]


class FindingRow(JobPart):
    """One finding of the inspection."""

    __tablename__ = "finding"
    __table_args__ = (UniqueConstraint("job_id", "code"),)

    code: Mapped[str] = mapped_column(String(24))
    measure: Mapped[str]
    component: Mapped[str]
    part: Mapped[tuple[str, ...]]
    sign_of: Mapped[tuple[str, ...]]
    test: Mapped[str]
    kind: Mapped[str] = mapped_column(String(20))
    what: Mapped[str]
    unit: Mapped[str] = mapped_column(String(20))
    measured: Mapped[Decimal | None]
    new: Mapped[Decimal | None]
    rebuild_limit: Mapped[Decimal | None]
    service_limit: Mapped[Decimal | None]
    gauge_error: Mapped[Decimal | None]
    hours_on_part: Mapped[Decimal | None]
    metals: Mapped[tuple[str, ...]]
    cleanliness: Mapped[str] = mapped_column(String(12))
    reading: Mapped[str]
    result: Mapped[str] = mapped_column(String(10))
    quantity: Mapped[Decimal | None]
    quantity_low: Mapped[Decimal | None]
    quantity_high: Mapped[Decimal | None]
    override: Mapped[str] = mapped_column(String(20))
    override_reason: Mapped[str]
    overridden_by: Mapped[str]
    photo: Mapped[tuple[str, ...]]
    note: Mapped[str]
    inspector: Mapped[str]
    date: Mapped[datetime.date]


class ScopeChangeRow(JobPart):
    """A line put in (`added`) or taken out by hand."""

    __tablename__ = "scope_change"

    added: Mapped[bool]
    row_id: Mapped[str] = mapped_column(String(24))
    reason: Mapped[str]
    by: Mapped[str]


class ExchangeRateRow(JobPart):
    """A rate frozen for the job."""

    __tablename__ = "exchange_rate"
    __table_args__ = (UniqueConstraint("job_id", "currency"),)

    currency: Mapped[str] = mapped_column(String(3))
    rate: Mapped[Decimal]
    date: Mapped[datetime.date]
    source: Mapped[str]


class StageRow(JobPart):
    """A stage payment."""

    __tablename__ = "stage"

    share: Mapped[Decimal]
    when: Mapped[str]


class WayRow(JobPart):
    """A way of putting a part right, chosen instead of the usual one."""

    __tablename__ = "way"
    __table_args__ = (UniqueConstraint("job_id", "part"),)

    part: Mapped[str] = mapped_column(String(24))
    way: Mapped[str] = mapped_column(String(20))


class IssuedQuoteRow(Table):
    """A revision as it was issued: figures and PDF bytes, never changed, reissued as they are."""

    __tablename__ = "issued_quote"
    __table_args__ = (UniqueConstraint("job_id", "revision"),)

    id: Mapped[str] = mapped_column(String(26), primary_key=True)
    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), index=True)
    revision: Mapped[str] = mapped_column(String(4))
    issued_at: Mapped[datetime.datetime]
    issued_by: Mapped[str]
    released_by: Mapped[str]
    currency: Mapped[str] = mapped_column(String(3))
    net: Mapped[int] = mapped_column(BigInteger)
    contingency: Mapped[int] = mapped_column(BigInteger)
    gross: Mapped[int] = mapped_column(BigInteger)
    ready_on: Mapped[datetime.date]
    valid_until: Mapped[datetime.date]
    catalogue_version: Mapped[str]
    catalogue_fingerprint: Mapped[str] = mapped_column(String(64))
    record: Mapped[str] = mapped_column(String(64))
    inputs: Mapped[str]  # the job as priced, as JSON
    figures: Mapped[str]  # every figure with its why, as JSON
    pdf: Mapped[bytes] = mapped_column(LargeBinary)
    pdf_sha256: Mapped[str] = mapped_column(String(64))


class ChangeLogRow(Table):
    """Who did what when, from what to what. Append-only, each entry hashed with the one before."""

    __tablename__ = "change_log"

    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    at: Mapped[datetime.datetime]
    who: Mapped[str]
    act: Mapped[str] = mapped_column(String(40))
    subject: Mapped[str] = mapped_column(String(80), index=True)
    before: Mapped[str]
    after: Mapped[str]
    previous_hash: Mapped[str] = mapped_column(String(64))
    hash: Mapped[str] = mapped_column(String(64))


class TeardownOutcomeRow(Table):
    """What a teardown showed of one component: the exposure learns from it."""

    __tablename__ = "teardown_outcome"

    id: Mapped[str] = mapped_column(String(26), primary_key=True)
    pool: Mapped[str] = mapped_column(String(80), index=True)
    machine_class: Mapped[str]
    component: Mapped[str]
    hours: Mapped[Decimal]
    duty: Mapped[Decimal]
    life_basis: Mapped[str] = mapped_column(String(20))
    disposition: Mapped[str] = mapped_column(String(20))
    worn: Mapped[bool]
    cost: Mapped[int | None] = mapped_column(BigInteger)
    currency: Mapped[str] = mapped_column(String(3))
    days: Mapped[Decimal | None]
    found_on: Mapped[datetime.date]


class ClosedJobRow(Table):
    """A job that is over: what was quoted, and what it came to less the customer's requests."""

    __tablename__ = "closed_job"

    id: Mapped[str] = mapped_column(String(26), primary_key=True)
    number: Mapped[str] = mapped_column(String(40), unique=True)
    machine_class: Mapped[str]
    hours: Mapped[Decimal]
    currency: Mapped[str] = mapped_column(String(3))
    quoted_base: Mapped[int] = mapped_column(BigInteger)
    quoted_contingency: Mapped[int] = mapped_column(BigInteger)
    final_less_requests: Mapped[int] = mapped_column(BigInteger)
    closed_on: Mapped[datetime.date]
