"""Tables of what follows an acceptance. Events are appended and never changed; the other rows are
what they come to, kept so that lists over all jobs need no folding."""

from __future__ import annotations

import datetime

from sqlalchemy import BigInteger, ForeignKey, Index, LargeBinary, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from estimator.storage.table_base import Table


class ContractEventRow(Table):
    """One event of a contract."""

    __tablename__ = "contract_event"
    __table_args__ = (UniqueConstraint("job_id", "place"),)

    id: Mapped[str] = mapped_column(String(26), primary_key=True)
    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"))
    place: Mapped[int]  # 1 is the acceptance
    at: Mapped[datetime.datetime]
    who: Mapped[str]
    kind: Mapped[str] = mapped_column(String(40))
    body: Mapped[str]  # JSON, see contract_codec


class ContractRow(Table):
    """A contract as it stands. The forecast is of its event `worked_out`; where `events` is more,
    it is behind."""

    __tablename__ = "contract"

    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), primary_key=True)
    revision: Mapped[str] = mapped_column(String(4))
    accepted_at: Mapped[datetime.datetime]
    events: Mapped[int]
    currency: Mapped[str] = mapped_column(String(3))
    contract_sum: Mapped[int] = mapped_column(BigInteger)
    current_sum: Mapped[int] = mapped_column(BigInteger)
    held: Mapped[int] = mapped_column(BigInteger)
    left: Mapped[int] = mapped_column(BigInteger)
    worked_out: Mapped[int]
    exposed: Mapped[int | None] = mapped_column(BigInteger)
    mark: Mapped[str] = mapped_column(String(12))
    forecast_low: Mapped[int | None] = mapped_column(BigInteger)
    forecast_likely: Mapped[int | None] = mapped_column(BigInteger)
    forecast_high: Mapped[int | None] = mapped_column(BigInteger)
    finish_half: Mapped[datetime.date | None]
    finish_covered: Mapped[datetime.date | None]


class VariationRow(Table):
    """A variation as it stands, for lists over all jobs."""

    __tablename__ = "variation"
    __table_args__ = (Index("ix_variation_waits_on_since", "waits_on", "since"),)

    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), primary_key=True)
    number: Mapped[str] = mapped_column(String(12), primary_key=True)
    revision: Mapped[int]
    state: Mapped[str] = mapped_column(String(20))
    since: Mapped[datetime.datetime]
    waits_on: Mapped[str] = mapped_column(String(20))  # role or side; "" where nobody is awaited
    ask: Mapped[str]  # who is to be asked by name
    title: Mapped[str]
    component: Mapped[str]
    end: Mapped[str] = mapped_column(String(20))
    currency: Mapped[str] = mapped_column(String(3))
    amount: Mapped[int | None] = mapped_column(BigInteger)
    low: Mapped[int | None] = mapped_column(BigInteger)
    high: Mapped[int | None] = mapped_column(BigInteger)
    raised_at: Mapped[datetime.datetime]
    answer_by: Mapped[datetime.date | None]
    waiting_from: Mapped[datetime.date | None]
    waiting_per_day: Mapped[int | None] = mapped_column(BigInteger)
    activity: Mapped[str] = mapped_column(String(24))
    safety: Mapped[bool]


class KeptCatalogueRow(Table):
    """A catalogue edition that something was issued from, as its files were."""

    __tablename__ = "kept_catalogue"

    fingerprint: Mapped[str] = mapped_column(String(64), primary_key=True)
    version: Mapped[str]
    files: Mapped[bytes] = mapped_column(LargeBinary)  # zip
