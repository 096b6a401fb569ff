"""Tables of price lists: lists taken in, items that stand, those that stood, how each supplier's
list is read, and which items make up a part.

Tens of thousands of items come in at once. So an item is a row without a number of its own, known
by supplier and key; all cells that are only shown stand in one text; and no foreign key is looked
up for each. `taken` is the number of the list it came with.
"""

from __future__ import annotations

import datetime
from decimal import Decimal

from sqlalchemy import BigInteger, String
from sqlalchemy.orm import Mapped, mapped_column

from estimator.storage.table_base import Table


class PriceListRow(Table):
    """A list that was taken in. Undoing it says so, and deletes nothing."""

    __tablename__ = "price_list"

    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    supplier: Mapped[str] = mapped_column(String(40), index=True)
    file: Mapped[str]
    sha256: Mapped[str] = mapped_column(String(64))
    sheet: Mapped[str]
    full: Mapped[bool]
    price_date: Mapped[datetime.date]
    taken_by: Mapped[str]
    taken_at: Mapped[datetime.datetime]
    counts: Mapped[str]  # JSON
    edition: Mapped[int]
    moved: Mapped[str]  # JSON: links that went over to a successor
    undone_by: Mapped[str]
    undone_at: Mapped[datetime.datetime | None]


class SupplierItemRow(Table):
    """An item that stands."""

    __tablename__ = "supplier_item"
    __table_args__ = {"sqlite_with_rowid": False}

    supplier: Mapped[str] = mapped_column(String(40), primary_key=True)
    key: Mapped[str] = mapped_column(String(80), primary_key=True)
    taken: Mapped[int]
    minor: Mapped[int] = mapped_column(BigInteger)
    said: Mapped[str]  # domain/price_list/item.Cells, joined


class SupplierItemPastRow(Table):
    """An item as it stood until the list `until` changed or dropped it: undoing brings it back."""

    __tablename__ = "supplier_item_past"
    __table_args__ = {"sqlite_with_rowid": False}

    until: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    supplier: Mapped[str] = mapped_column(String(40), primary_key=True)
    key: Mapped[str] = mapped_column(String(80), primary_key=True)
    taken: Mapped[int]
    minor: Mapped[int] = mapped_column(BigInteger)
    said: Mapped[str]


class SupplierMappingRow(Table):
    """Which column of a supplier's list holds what."""

    __tablename__ = "supplier_mapping"

    supplier: Mapped[str] = mapped_column(String(40), primary_key=True)
    body: Mapped[str]  # JSON
    at: Mapped[datetime.datetime]
    who: Mapped[str]


class PartLinkRow(Table):
    """An item that goes into a parts group of the catalogue."""

    __tablename__ = "part_link"

    code: Mapped[str] = mapped_column(String(40), primary_key=True)
    needs: Mapped[str] = mapped_column(String(200), primary_key=True)  # ";" between
    supplier: Mapped[str] = mapped_column(String(40), primary_key=True)
    key: Mapped[str] = mapped_column(String(80), primary_key=True)
    quantity: Mapped[Decimal]
