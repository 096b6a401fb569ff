"""Tables beside a job: what was edited since the last issue, text that is not valid yet, figures
last worked out, photographs, and the text that is searched."""

from __future__ import annotations

import datetime
from decimal import Decimal

from sqlalchemy import BigInteger, ForeignKey, Index, LargeBinary, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from estimator.storage.table_base import Table


class EditStepRow(Table):
    """One edit since the last issue, so that it can be undone also after a restart."""

    __tablename__ = "edit_step"
    __table_args__ = (UniqueConstraint("job_id", "place"),)

    id: Mapped[str] = mapped_column(String(26), primary_key=True)
    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"))
    place: Mapped[int]
    name: Mapped[str]
    who: Mapped[str]
    at: Mapped[datetime.datetime]
    changes: Mapped[str]  # JSON, see change_codec
    undone: Mapped[bool]


class KeptTextRow(Table):
    """Text typed into a field that does not take it yet, with the reason."""

    __tablename__ = "kept_text"

    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), primary_key=True)
    place: Mapped[str] = mapped_column(String(160), primary_key=True)  # like finding/I03/measured
    text: Mapped[str]
    reason: Mapped[str]
    who: Mapped[str]
    at: Mapped[datetime.datetime]


class StandingRow(Table):
    """Figures of a job as last worked out, so that a list needs no reckoning."""

    __tablename__ = "standing"
    __table_args__ = (Index("ix_standing_currency_net", "currency", "net"),)

    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), primary_key=True)
    job_version: Mapped[int]
    currency: Mapped[str] = mapped_column(String(3))
    quoting_unit: Mapped[Decimal]
    firm: Mapped[int] = mapped_column(BigInteger)
    provisional: Mapped[int] = mapped_column(BigInteger)
    contingency: Mapped[int] = mapped_column(BigInteger)
    net: Mapped[int] = mapped_column(BigInteger)
    confidence: Mapped[Decimal]
    finish_half: Mapped[datetime.date]
    finish_covered: Mapped[datetime.date]
    area: Mapped[str] = mapped_column(String(20))
    waits_on: Mapped[str]
    note: Mapped[str]
    worked_out_at: Mapped[datetime.datetime]


class PhotographRow(Table):
    """A photograph of a finding. It is never changed; whether it is shown, its finding says."""

    __tablename__ = "photograph"
    __table_args__ = (UniqueConstraint("job_id", "name"),)

    id: Mapped[str] = mapped_column(String(26), primary_key=True)
    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"))
    finding: Mapped[str] = mapped_column(String(24))
    place: Mapped[int]
    name: Mapped[str] = mapped_column(String(40))
    caption: Mapped[str]
    taken_on: Mapped[datetime.date | None]
    image: Mapped[bytes] = mapped_column(LargeBinary)
    thumbnail: Mapped[bytes] = mapped_column(LargeBinary)
    width: Mapped[int]
    height: Mapped[int]
    sha256: Mapped[str] = mapped_column(String(64))


class JobTextRow(Table):
    """What of a job is searched. SQLite keeps a full-text index (`job_search`) over these."""

    __tablename__ = "job_text"

    row: Mapped[int] = mapped_column(primary_key=True, autoincrement=True)
    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), unique=True)
    number: Mapped[str]
    customer: Mapped[str]
    serial: Mapped[str]
    class_id: Mapped[str]
    note: Mapped[str]
    findings: Mapped[str]
    photographs: Mapped[str]
