"""Faults of what was changed by hand: each with its code and its place."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.job import LineChange, ScopeChange
from estimator.domain.job_check import check_job
from tests.unit.changed import own_made, row_changed

FINE = {
    "row_id": "P-LIN", "quantity": Decimal(5), "unit_cost": None,
    "reason": "counted again", "by": "P. Holt", "date": date(2026, 11, 20),
}  # fmt: skip


def found(job, cat) -> list[tuple[str, str]]:
    return [(problem.code, problem.place.column) for problem in check_job(job, cat)]


def test_sound_changes_have_no_fault(job, cat):
    sound = replace(
        job,
        changed=(LineChange(**FINE), LineChange(**FINE | {"row_id": "O0103"})),
        own=(own_made(), own_made("X02", "parts"), own_made("X03", "outwork")),
    )
    assert found(sound, cat) == []


@pytest.mark.parametrize(
    ("cells", "code", "key"),
    [
        ({"row_id": "P-LNI"}, "unknown-row", "row"),
        ({"quantity": None}, "no-change", "quantity"),
        ({"quantity": Decimal(-1)}, "negative", "quantity"),
        ({"quantity": Decimal(0)}, "zero", "quantity"),
        ({"quantity": Decimal("1e12")}, "bad-number", "quantity"),
        ({"quantity": Decimal("NaN")}, "bad-number", "quantity"),
        ({"unit_cost": Decimal("-0.01")}, "negative", "unit_cost"),
        ({"row_id": "O0103", "unit_cost": Decimal(70)}, "labour-cost", "unit_cost"),
        ({"reason": "  "}, "no-reason", "reason"),
        ({"by": ""}, "no-name", "by"),
    ],
)
def test_faults_of_a_line_typed_over(job, cat, cells, code, key):
    slipped = replace(job, changed=(LineChange(**FINE | cells),))
    assert found(slipped, cat) == [(code, f"[[changed]] 1 {key}")]


def test_a_row_typed_over_twice(job, cat):
    assert found(replace(job, changed=(LineChange(**FINE),) * 2), cat) == [
        ("change-twice", "[[changed]] 2 row")
    ]


def test_a_misspelt_row_is_answered_with_its_like(job, cat):
    problem = check_job(replace(job, changed=(LineChange(**FINE | {"row_id": "P-LNI"}),)), cat)[0]
    assert "P-LIN" in problem.remedy


@pytest.mark.parametrize(
    ("kind", "cells", "code", "key"),
    [
        ("labour", {"id": "Y1"}, "bad-id", "id"),
        ("labour", {"id": "X1"}, "bad-id", "id"),
        ("labour", {"name": " "}, "no-name", "name"),
        ("labour", {"component": "C99Z"}, "unknown-component", "component"),
        ("labour", {"quantity": Decimal(0)}, "zero", "quantity"),
        ("labour", {"quantity": Decimal(-2)}, "negative", "quantity"),
        ("labour", {"quantity_low": Decimal(11)}, "range-order", "quantity_low"),
        ("labour", {"quantity_high": Decimal(9)}, "range-order", "quantity_low"),
        ("labour", {"quantity_low": Decimal(-1)}, "negative", "quantity_low"),
        ("labour", {"quantity_high": Decimal("inf")}, "bad-number", "quantity_high"),
        ("labour", {"unit": "each"}, "bad-unit", "unit"),
        ("parts", {"unit": "dozen"}, "unknown-unit", "unit"),
        ("labour", {"trade": "XX"}, "unknown-trade", "trade"),
        ("labour", {"trade": ""}, "unknown-trade", "trade"),
        ("labour", {"unit_cost": Decimal(5)}, "labour-cost", "unit_cost"),
        ("labour", {"markup": "A"}, "labour-cost", "markup"),
        ("parts", {"markup": "Q"}, "unknown-markup", "markup"),
        ("outwork", {"markup": ""}, "unknown-markup", "markup"),
        ("parts", {"trade": "HF"}, "no-labour", "trade"),
        ("parts", {"unit_cost": Decimal(-5)}, "negative", "unit_cost"),
        ("parts", {"kind": "gift"}, "unknown-kind", "kind"),
        ("labour", {"reason": ""}, "no-reason", "reason"),
        ("labour", {"by": ""}, "no-name", "by"),
    ],
)
def test_faults_of_a_line_of_ones_own(job, cat, kind, cells, code, key):
    slipped = replace(job, own=(replace(own_made(kind=kind), **cells),))
    assert (code, f"[[own]] 1 {key}") in found(slipped, cat)


def test_two_lines_of_one_number(job, cat):
    assert found(replace(job, own=(own_made(), own_made())), cat) == [("id-twice", "[[own]] 2 id")]


@pytest.mark.parametrize(
    ("row", "code"),
    [("O0102", "unknown-row"), ("O0102+", "unknown-row"), ("O0102+O9999", "unknown-row"),
     ("O0103+O0102", "not-included"), ("O0102+O0103", None)],
)  # fmt: skip
def test_what_may_be_kept_twice(job, catalogue, row, code):
    twice = for_class(row_changed(catalogue, "operations", "O0102", includes=("O0103",)), "WL28")
    got = found(replace(job, kept=(ScopeChange(row, "r", "b"),)), twice)
    assert got == ([] if code is None else [(code, "[[kept]] 1 row")])
