"""The worked job's catalogue as the one that comes with the program, and changes of its rows."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.catalogue.changes import RowChange, code_of, rows_of
from estimator.services import catalogue_editions, keep_catalogue


@pytest.fixture
def supplied(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> Catalogue:
    """The worked job's catalogue stands for the one that comes with the program."""
    for module in (keep_catalogue, catalogue_editions):
        monkeypatch.setattr(module, "open_catalogue", lambda _folder=None: catalogue)
    return catalogue


def row_of(catalogue: Catalogue, table: str, code: str) -> Any:
    return next(one for one in rows_of(catalogue, table) if code_of(one) == code)


def change_of(catalogue: Catalogue, table: str, code: str, **cells: Any) -> RowChange:
    """A row of the catalogue with other cells; numbers are given as text."""
    row = row_of(catalogue, table, code)
    values = {
        name: Decimal(value) if isinstance(getattr(row, name), Decimal) else value
        for name, value in cells.items()
    }
    return RowChange(table, row, replace(row, **values))
