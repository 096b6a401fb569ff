"""Tables of a job: the job itself and the rows that belong to it, one table a kind.

Money is whole minor units beside its currency; rates, quantities and shares are exact decimals.
"""

from __future__ import annotations

import datetime
from decimal import Decimal

from sqlalchemy import Index, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from estimator.storage.table_base import JobPart, Table


class JobRow(Table):
    """A job: the machine, the customer, the terms. Its findings and the like have tables."""

    __tablename__ = "job"
    __table_args__ = (
        Index("ix_job_state_changed_at", "state", "changed_at"),
        Index("ix_job_class_id_changed_at", "class_id", "changed_at"),
    )

    id: Mapped[str] = mapped_column(String(26), primary_key=True)
    version: Mapped[int] = mapped_column()
    number: Mapped[str] = mapped_column(String(40), unique=True)
    revision: Mapped[str] = mapped_column(String(4))
    state: Mapped[str] = mapped_column(String(20))
    created_at: Mapped[datetime.datetime]
    changed_at: Mapped[datetime.datetime] = mapped_column(index=True)
    state_since: Mapped[datetime.datetime]
    valid_until: Mapped[datetime.date | None]  # of the revision that is issued, while it is
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
    meter: Mapped[str] = mapped_column(String(20))
    hours_doubt: Mapped[Decimal]
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
    note: Mapped[str]
    wanted_by: Mapped[datetime.date | None]
    learnt_until: Mapped[datetime.date | None]
    new_machine: Mapped[str | None] = mapped_column(Text)  # inputs of rebuild or new, as JSON


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
    """A line put in or taken out by hand, or work counted twice on purpose."""

    __tablename__ = "scope_change"

    kind: Mapped[str] = mapped_column(String(10))  # added, removed or kept
    row_id: Mapped[str] = mapped_column(String(60))
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


class LineChangeRow(JobPart):
    """A catalogue line whose quantity or cost was typed over."""

    __tablename__ = "line_change"
    __table_args__ = (UniqueConstraint("job_id", "row_id"),)

    row_id: Mapped[str] = mapped_column(String(24))
    quantity: Mapped[Decimal | None]
    unit_cost: Mapped[Decimal | None]
    reason: Mapped[str]
    by: Mapped[str]
    date: Mapped[datetime.date]


class OwnLineRow(JobPart):
    """A line that no catalogue row gives."""

    __tablename__ = "own_line"
    __table_args__ = (UniqueConstraint("job_id", "code"),)

    code: Mapped[str] = mapped_column(String(24))
    component: Mapped[str]
    name: Mapped[str]
    kind: Mapped[str] = mapped_column(String(20))
    quantity: Mapped[Decimal]
    quantity_low: Mapped[Decimal]
    quantity_high: Mapped[Decimal]
    unit: Mapped[str] = mapped_column(String(20))
    trade: Mapped[str] = mapped_column(String(24))
    unit_cost: Mapped[Decimal]
    markup: Mapped[str] = mapped_column(String(24))
    reason: Mapped[str]
    by: Mapped[str]
