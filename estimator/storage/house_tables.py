"""Tables of the workshop's own look: every version of its style, and the drawings they name."""

from __future__ import annotations

import datetime

from sqlalchemy import Float, LargeBinary, String
from sqlalchemy.orm import Mapped, mapped_column

from estimator.storage.table_base import Table


class HouseStyleRow(Table):
    """A version of the house style. None is changed or deleted: what was issued names its style."""

    __tablename__ = "house_style"

    version: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    style: Mapped[str] = mapped_column(String(64), index=True)  # SHA-256 of what it prints
    at: Mapped[datetime.datetime]
    who: Mapped[str]
    body: Mapped[str]  # JSON; drawings by their SHA-256


class HouseDrawingRow(Table):
    """A logo or signature that some version names."""

    __tablename__ = "house_drawing"

    sha256: Mapped[str] = mapped_column(String(64), primary_key=True)
    kind: Mapped[str] = mapped_column(String(4))
    width: Mapped[float] = mapped_column(Float)
    height: Mapped[float] = mapped_column(Float)
    data: Mapped[bytes] = mapped_column(LargeBinary)
