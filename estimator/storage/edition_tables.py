"""Table of the catalogue's editions; their rows are kept as those of issued quotes are."""

from __future__ import annotations

import datetime

from sqlalchemy import LargeBinary, String
from sqlalchemy.orm import Mapped, mapped_column

from estimator.storage.table_base import Table


class CatalogueEditionRow(Table):
    """An edition. None is changed or deleted: taking one back is an edition of its own."""

    __tablename__ = "catalogue_edition"

    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    version: Mapped[str]
    fingerprint: Mapped[str] = mapped_column(String(64), index=True)
    based_on: Mapped[int]
    kind: Mapped[str] = mapped_column(String(20))
    at: Mapped[datetime.datetime]
    who: Mapped[str]
    why: Mapped[str]
    rows: Mapped[int]
    changes: Mapped[bytes] = mapped_column(LargeBinary)  # see edition_record
    changes_sha256: Mapped[str] = mapped_column(String(64))
    kept: Mapped[str] = mapped_column(String(64))  # its rows, in kept_catalogue
    folder: Mapped[str] = mapped_column(String(64))
    folder_kept: Mapped[str] = mapped_column(String(64))  # rows of that folder, in kept_catalogue
