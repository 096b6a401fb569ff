"""Tables of the record. Every editable row has a version; issued rows and the log never change.

Money is whole minor units beside its currency; rates, quantities and shares are exact decimals.
"""

from __future__ import annotations

import datetime
from decimal import Decimal

from sqlalchemy import BigInteger, ForeignKey, LargeBinary, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from estimator.storage import (
    contract_tables,
    edition_tables,
    house_tables,
    job_tables,
    paper_tables,
    price_list_tables,
    side_tables,
)
from estimator.storage.table_base import Table

# One place that knows every table.
__all__ = [
    "Table", "contract_tables", "edition_tables", "house_tables", "job_tables", "paper_tables",
    "price_list_tables", "side_tables",
]  # fmt: skip


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
    chain_head: Mapped[str] = mapped_column(String(64))  # of the log when it was printed
    inputs: Mapped[str]  # the job as priced, as JSON
    figures: Mapped[str]  # every figure with its why, as JSON
    pdf: Mapped[bytes] = mapped_column(LargeBinary)
    pdf_sha256: Mapped[str] = mapped_column(String(64))
    edition: Mapped[str] = mapped_column(String(64))  # kept_catalogue; "" on the oldest ones
    style: Mapped[str] = mapped_column(String(64), default="")  # house_style; "" on the oldest ones


class ChangeLogRow(Table):
    """Who did what when, from what to what. Append-only, each entry hashed with the one before."""

    __tablename__ = "change_log"

    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    at: Mapped[datetime.datetime]
    who: Mapped[str]
    act: Mapped[str] = mapped_column(String(120))
    subject: Mapped[str] = mapped_column(String(80), index=True)
    before: Mapped[str]
    after: Mapped[str]
    previous_hash: Mapped[str] = mapped_column(String(64))
    hash: Mapped[str] = mapped_column(String(64))


class AdoptionRow(Table):
    """Starting values of a part or pool that the workshop took for its own. Never changed: it
    holds as long as the catalogue still states the same."""

    __tablename__ = "adoption"

    id: Mapped[str] = mapped_column(String(26), primary_key=True)
    subject: Mapped[str] = mapped_column(String(80), index=True)  # pool of like parts, or part
    stated: Mapped[str]  # the values in words
    who: Mapped[str]
    at: Mapped[datetime.datetime]
    why: Mapped[str]


class TeardownOutcomeRow(Table):
    """What a teardown showed of one component: the exposure learns from it."""

    __tablename__ = "teardown_outcome"

    id: Mapped[str] = mapped_column(String(26), primary_key=True)
    version: Mapped[int]
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
    version: Mapped[int]
    number: Mapped[str] = mapped_column(String(40), unique=True)
    machine_class: Mapped[str]
    hours: Mapped[Decimal]
    currency: Mapped[str] = mapped_column(String(3))
    quoted_base: Mapped[int] = mapped_column(BigInteger)
    quoted_contingency: Mapped[int] = mapped_column(BigInteger)
    final_less_requests: Mapped[int] = mapped_column(BigInteger)
    closed_on: Mapped[datetime.date]
    p10: Mapped[int | None] = mapped_column(BigInteger)
    p50: Mapped[int | None] = mapped_column(BigInteger)
    p80: Mapped[int | None] = mapped_column(BigInteger)
    p90: Mapped[int | None] = mapped_column(BigInteger)
    mean: Mapped[int | None] = mapped_column(BigInteger)
