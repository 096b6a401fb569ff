"""Limits of a column stand beside the field they bind."""

from __future__ import annotations

from dataclasses import MISSING, fields
from decimal import Decimal

import pytest

from estimator.domain.catalogue.catalogue import TABLES
from estimator.domain.catalogue.column import Limits, column
from estimator.domain.catalogue.rows import Clause, Row
from estimator.domain.findings import Finding

ROW_CLASSES = [*TABLES.values(), Clause, Finding]


def test_bounds_are_read_as_decimals():
    limits = column("a share", low="0", high="0.95", above="-1").metadata["limits"]
    assert limits == Limits(low=Decimal(0), high=Decimal("0.95"), above=Decimal(-1), what="a share")


def test_a_column_without_a_default_must_be_filled():
    assert column("a code").default is MISSING
    assert column("a note", default="").default == ""
    assert column("a cap", default=None).default is None


@pytest.mark.parametrize("row_class", ROW_CLASSES, ids=lambda one: one.__name__)
def test_every_column_says_what_it_holds(row_class):
    for one in fields(row_class):
        if one.name != "place":
            assert one.metadata["limits"].what, one.name


@pytest.mark.parametrize("row_class", ROW_CLASSES, ids=lambda one: one.__name__)
def test_what_a_column_refers_to_is_a_table_or_a_list_of_the_program(row_class):
    known = {*TABLES, "currency", "unit", ""}
    for one in fields(row_class):
        if one.name != "place":
            assert one.metadata["limits"].refers in known, one.name


@pytest.mark.parametrize("row_class", ROW_CLASSES, ids=lambda one: one.__name__)
def test_a_default_is_a_value_the_column_would_take(row_class):
    for one in fields(row_class):
        limits = one.metadata.get("limits")
        if limits is None or one.default is MISSING or one.default in (None, (), False):
            continue
        if limits.choices:
            assert one.default in limits.choices, one.name
        if limits.low is not None:
            assert one.default >= limits.low, one.name


def test_every_row_of_the_catalogue_carries_its_origin():
    assert all(issubclass(kind, Row) for kind in TABLES.values())
