"""The scope as a screen shows it: each line in one row, and what can be decided about each."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from estimator.domain.money import money_sum
from estimator.domain.priced_job import PricedJob
from estimator.domain.priced_work import PricedWork, priced_work
from estimator.domain.scope_edits import overruled, with_line_out, with_row_in
from estimator.services.open_catalogue import open_catalogue
from estimator.services.open_job import open_job
from estimator.services.show_options import levels_side_by_side, ways_side_by_side
from estimator.services.show_scope import ScopeTable, scope_table, with_same_scope
from estimator.services.work_out import work_out
from tests.golden.golden_job import golden_inputs, golden_priced

SAMPLES = Path(__file__).parent.parent.parent / "sample_db"


@pytest.fixture(scope="module")
def golden() -> PricedWork:
    return priced_work(*golden_inputs())


def check_sums(table: ScopeTable, work: PricedWork | PricedJob) -> None:
    """Each line stands in one row, and rows add up to groups and to the scope."""
    shown = [code for row in table.rows for code in row.lines]
    assert sorted(shown) == sorted(one.id for one in work.lines)
    currency = work.job.terms.currency
    for head, rows in table.sections:
        assert head.hours == sum((row.hours or Decimal(0) for row in rows), Decimal(0))
        assert head.amount == money_sum((row.amount for row in rows if row.amount), currency)
    whole = money_sum((head.amount for head, _rows in table.sections), currency)
    assert whole == money_sum((one.amount for one in work.lines), currency)
    keys = [row.key for row in table.rows]
    assert len(keys) == len(set(keys))


@pytest.mark.parametrize("name", ["golden", "landfill_compactor", "crawler_excavator"])
def test_every_line_is_in_one_row(name: str, golden: PricedWork) -> None:
    if name == "golden":
        check_sums(scope_table(golden), golden)
        return
    catalogue = open_catalogue()
    work = work_out(open_job(SAMPLES / name, catalogue)[0], catalogue)
    table = scope_table(work)
    check_sums(table, work)
    gone = [row for row in table.rows if row.kind == "gone"]
    assert [row.id for row in gone] == [one.row_id for one in work.job.removed]


def test_a_row_says_what_it_rests_on(golden: PricedWork) -> None:
    rows = {row.id: row for row in scope_table(golden).rows if row.kind == "part"}
    crank = rows["P-CRK"]
    assert (crank.disposition, crank.finding, crank.rests.unseen) == ("open", "I80", True)
    assert crank.parts_of_finding > 1
    by_chance = rows["P-MPR"]
    assert (by_chance.disposition, by_chance.rests.how) == ("replace", "chance")
    always = rows["P-GSK"]
    assert (always.disposition, always.rests.how) == ("replace", "level")
    worn = rows["P-UJT"]
    assert worn.rests.findings == ("I23",)
    assert worn.overruled
    assert worn.proposal == "recondition"


def test_what_was_overruled_keeps_the_proposal(golden: PricedWork) -> None:
    by = golden.scope.judgements["I80"]
    job = overruled(golden.job, by, "P-HED", "replace", "heads of this age crack", "P. Holt")
    before = scope_table(golden)
    work = priced_work(job, golden.cat)
    after = with_same_scope(before, scope_table(work))
    check_sums(after, work)
    row = next(row for row in after.rows if row.id == "P-HED")
    assert (row.disposition, row.proposal) == ("replace", "open")
    assert (row.overruled_by, row.reason) == ("P. Holt", "heads of this age crack")
    known = {id(row) for row in before.rows}
    assert next(row for row in after.rows if row.id == "P-LIN") in before.rows
    assert sum(id(row) in known for row in after.rows) > len(before.rows) // 2


def test_operations_counted_twice_stand_together(golden: PricedWork) -> None:
    including = replace(golden.cat.operations["O0102"], includes=("O0109",))
    cat = replace(golden.cat, operations={**golden.cat.operations, "O0102": including})
    work = priced_work(golden.job, cat)
    table = scope_table(work)
    check_sums(table, work)
    ids = [row.id for row in table.rows]
    assert ids[ids.index("O0102") + 1] == "O0109"
    pair = [row for row in table.rows if row.twice]
    assert [row.first for row in pair] == [True, False]
    assert all(row.to_decide for row in pair)


def test_changes_by_hand_are_rows(golden: PricedWork) -> None:
    job = with_line_out(golden.job, "O0101", "done last year", "P. Holt")
    job = with_row_in(job, "P-GSK", "there already", "P. Holt")
    work = priced_work(job, golden.cat)
    rows = {row.key: row for row in scope_table(work).rows}
    assert rows["gone/O0101"].reason == "done last year"
    assert rows["idle/P-GSK"].to_decide


def test_ways_and_levels_side_by_side() -> None:
    priced = golden_priced()
    recondition, new = ways_side_by_side(priced, "P-CRK")
    assert (recondition.option.way, recondition.keeps_old) == ("recondition", True)
    assert recondition.open_chance is not None
    assert new.lead_weeks == priced.cat.parts["P-CRK"].lead_weeks
    driveline, full = levels_side_by_side(priced)
    assert full.chosen
    assert not driveline.chosen
    assert full.option.net == priced.price.net
    assert driveline.whole < full.whole
    assert set(driveline.safety_left) >= set(full.safety_left)
