"""The price as a screen shows it: every column adds up, to the penny, at every stage."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.money import Money, money_sum
from estimator.domain.people import Person
from estimator.domain.priced_job import PricedJob
from estimator.domain.priced_work import priced_work
from estimator.domain.scope_edits import with_line_typed, with_own_line
from estimator.services.open_catalogue import open_catalogue
from estimator.services.open_job import open_job
from estimator.services.show_price import (
    IssuedLines,
    PriceTable,
    may_see_cost,
    price_table,
    round_scale,
    with_same_rows,
)
from estimator.services.work_out import reckon_whole, work_out
from tests.golden.golden_job import golden_priced
from tests.unit.changed import own_made

TODAY = date(2026, 11, 25)
SAMPLES = Path(__file__).parent.parent.parent / "sample_db"
COLUMNS = ("labour", "parts", "outwork", "amount", "contingency", "cost", "margin")


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return open_catalogue()


@pytest.fixture(scope="module")
def compactor(catalogue: Catalogue) -> PricedJob:
    return reckon_whole(open_job(SAMPLES / "landfill_compactor", catalogue)[0], catalogue)


@pytest.fixture(scope="module")
def excavator(catalogue: Catalogue) -> PricedJob:
    return reckon_whole(open_job(SAMPLES / "crawler_excavator", catalogue)[0], catalogue)


def total(sums: Iterable[Money | None], currency: str) -> Money:
    return money_sum((one for one in sums if one is not None), currency)


def check_sums(table: PriceTable) -> None:
    """Rows add up to their group, groups to the totals, totals to the price."""
    totals = {row.key: row for row in table.totals}
    for column in COLUMNS:
        for head, rows in table.sections:
            below = total((getattr(row, column) for row in rows), table.currency)
            above = getattr(head, column) or Money(0, table.currency)
            assert below == above, (head.name, column)
        heads = total((getattr(head, column) for head, _rows in table.sections), table.currency)
        key = "contingency" if column == "contingency" else "work"
        assert heads == getattr(totals[key], column), column
    for head, rows in table.sections:
        assert head.firm + head.provisional == head.amount
        assert head.hours == sum(row.hours for row in rows if row.hours is not None)
    printed = ("work", "discount", "freight", "levies", "contingency")
    assert total((totals[key].amount for key in printed), table.currency) == totals["net"].amount
    if "gross" in totals:
        assert totals["net"].amount + totals["tax"].amount == totals["gross"].amount


@pytest.mark.parametrize("which", ["golden", "compactor", "excavator"])
def test_columns_add_up_to_the_price(which: str, request: pytest.FixtureRequest) -> None:
    priced = golden_priced() if which == "golden" else request.getfixturevalue(which)
    table = price_table(None, priced, TODAY)
    check_sums(table)
    totals = {row.key: row.amount for row in table.totals}
    assert totals["net"] == priced.price.net
    assert totals["gross"] == priced.price.totals.gross
    assert totals["work"] == money_sum((one.amount for one in priced.lines), table.currency)
    figures = priced.reasons.figures
    named = [row.figure for row in table.rows] + [head.figure for head, _rows in table.sections]
    named += [row.figure for row in table.totals if row.key != "work"]
    assert [name for name in named if name not in figures] == []


def test_typed_lines_show_what_was_worked_out(catalogue: Catalogue, excavator: PricedJob) -> None:
    code = next(one.id for one in excavator.lines if one.line.kind == "parts")
    old = next(one for one in excavator.lines if one.id == code)
    job = with_line_typed(
        excavator.job, code, "counted", "P. Holt", TODAY, quantity=Decimal(9), unit_cost=Decimal(3)
    )
    job = with_own_line(job, own_made("X01", quantity_high=Decimal(14)))
    table = price_table(work_out(job, catalogue), excavator, TODAY)
    check_sums(table)
    assert not table.fresh
    assert [row.key for row in table.totals][-1] == "net", "no tax on a contingency that is old"
    row = next(row for row in table.rows if row.id == code)
    assert (row.quantity, row.before_quantity) == (Decimal(9), old.line.quantity)
    assert (row.unit_cost, row.before_amount) == (Decimal(3), old.amount)
    assert "counted (P. Holt, 2026-11-25)" in row.typed_why
    own = next(row for row in table.rows if row.id == "X01")
    assert own.own
    assert own.uncertain
    assert 0 < own.low <= own.likely < own.high <= own.range_full


def test_only_what_changed_is_another_row(excavator: PricedJob, catalogue: Catalogue) -> None:
    before = price_table(None, excavator, TODAY)
    code = next(one.id for one in excavator.lines if one.line.kind == "labour")
    job = with_line_typed(excavator.job, code, "seized", "P. Holt", TODAY, quantity=Decimal(99))
    after = with_same_rows(before, price_table(work_out(job, catalogue), excavator, TODAY))
    known = {id(row) for row in before.rows}
    assert [row.id for row in after.rows if id(row) not in known] == [code]


def test_amounts_are_held_against_the_issued_revision(excavator: PricedJob) -> None:
    first, second, third = excavator.lines[:3]
    amounts = {one.id: one.amount for one in excavator.lines if one is not third}
    amounts[second.id] = second.amount + Money(100, second.amount.currency)
    table = price_table(None, excavator, TODAY, IssuedLines("A", amounts))
    rows = {row.id: row for row in table.rows}
    assert rows[first.id].since_amount is None
    assert rows[second.id].since_amount == amounts[second.id]
    assert rows[third.id].new_since
    assert table.since == "A"


def test_the_work_alone_has_no_contingency(excavator: PricedJob) -> None:
    table = price_table(priced_work(excavator.job, excavator.cat), None, TODAY)
    assert all(row.contingency is None for row in table.rows)
    totals = {row.key: row.amount for row in table.totals}
    assert totals["net"] == excavator.price.base


def test_old_prices_are_marked(excavator: PricedJob) -> None:
    late = replace(excavator, lines=excavator.lines)
    table = price_table(None, late, date(2031, 1, 1))
    bought = [row for row in table.rows if row.kind in ("parts", "outwork")]
    assert bought
    assert all(row.expired for row in bought)
    assert not any(row.expired for row in table.rows if row.kind == "labour")


def test_cost_is_for_those_who_price() -> None:
    seen = [role for role in ("viewer", "foreman", "inspector", "estimator", "service manager")
            if may_see_cost(Person("1", "P. Holt", role, True))]  # fmt: skip
    assert seen == ["estimator", "service manager"]


def test_scales_are_round() -> None:
    assert [round_scale(n) for n in (0, 1, 3, 10, 11, 4_800_000)] == [1, 1, 5, 10, 20, 5_000_000]
