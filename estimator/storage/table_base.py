"""What every table of the record shares: names of constraints, column types, rows of a job."""

from __future__ import annotations

import datetime
from decimal import Decimal

from sqlalchemy import ForeignKey, MetaData, String, Text
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

from estimator.storage.column_types import Day, DecimalText, Texts, UtcTime

NAMES = {
    "ix": "ix_%(column_0_label)s",
    "uq": "uq_%(table_name)s_%(column_0_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}
# SQLite's full-text index and the tables it keeps for itself: made by a migration, no model.
FULL_TEXT = "job_search"


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


class JobPart(Table):
    """What the rows that belong to a job share: a place in its order, and a version."""

    __abstract__ = True

    id: Mapped[str] = mapped_column(String(26), primary_key=True)
    version: Mapped[int]  # one up with every change of the row
    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), index=True)
    place: Mapped[int]
