"""The table of contract papers as they went out."""

from __future__ import annotations

import datetime

from sqlalchemy import ForeignKey, LargeBinary, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from estimator.storage.table_base import Table


class IssuedPaperRow(Table):
    """A paper of a contract as it went out. None is changed or deleted."""

    __tablename__ = "issued_paper"
    __table_args__ = (UniqueConstraint("job_id", "place"),)

    id: Mapped[str] = mapped_column(String(26), primary_key=True)
    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"))
    place: Mapped[int]  # 1 is the job's first
    kind: Mapped[str] = mapped_column(String(20))
    variation: Mapped[str] = mapped_column(String(12))  # "" where it is of none
    revision: Mapped[int]  # of the variation
    day: Mapped[datetime.date]
    at: Mapped[datetime.datetime]
    who: Mapped[str]
    locale: Mapped[str] = mapped_column(String(20))
    events: Mapped[int]  # of the contract, that it tells of
    chain_head: Mapped[str] = mapped_column(String(64))
    pdf: Mapped[bytes] = mapped_column(LargeBinary)
    pdf_sha256: Mapped[str] = mapped_column(String(64))
