"""What an estimator changes by hand, job before and job after."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

from estimator.domain.by_hand_check import by_hand_faults
from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.job import Job
from estimator.domain.job_edit import apply_edit, edit_between, inverse
from estimator.domain.scope import judge_all
from estimator.domain.scope_edits import (
    COUNTED_TWICE,
    as_proposed,
    as_worked_out,
    next_finding_id,
    next_own_id,
    overruled,
    rows_to_put_in,
    typed_change,
    with_both_kept,
    with_line_back,
    with_line_out,
    with_line_typed,
    with_one_kept,
    with_own_line,
    with_row_in,
    with_way,
    without_idle,
    without_own_line,
)
from tests.unit.changed import own_made, walked

DAY = date(2026, 11, 20)


def finding_of(job: Job, code: str):
    return next(one for one in job.findings if one.id == code)


def test_a_finding_of_one_part_is_overruled_in_place(job: Job, cat: ClassCatalogue) -> None:
    by = judge_all(job, cat)["I23"]
    after = overruled(job, by, "P-UJT", "reuse", "play is within what he accepts", "P. Holt")
    found = finding_of(after, "I23")
    assert (found.override, found.overridden_by) == ("reuse", "P. Holt")
    assert len(after.findings) == len(job.findings)
    walk = walked(after, cat)
    assert walk.called["P-UJT"].disposition == "reuse"
    assert walk.line("P-UJT") is None


def test_one_part_of_many_gets_a_finding_of_its_own(job: Job, cat: ClassCatalogue) -> None:
    by = judge_all(job, cat)["I80"]
    assert len(by.parts) > 1
    after = overruled(job, by, "P-HED", "replace", "heads of this age crack", "P. Holt")
    own = next_finding_id(job)
    assert finding_of(after, own).part == ("P-HED",)
    assert "P-HED" not in finding_of(after, "I80").part
    before_walk, walk = walked(job, cat), walked(after, cat)
    assert walk.line("P-HED") is not None
    assert walk.open_parts == before_walk.open_parts - {"P-HED"}
    assert walk.called["P-CRK"].disposition == "open"


def test_the_proposal_stands_again(job: Job, cat: ClassCatalogue) -> None:
    plain = replace(job, findings=as_proposed(job, "I23").findings)
    by = judge_all(plain, cat)["I23"]
    again = as_proposed(overruled(plain, by, "P-UJT", "reuse", "why", "P. Holt"), "I23")
    assert again == plain


def test_a_way_is_chosen_and_taken_back(job: Job, cat: ClassCatalogue) -> None:
    after = with_way(job, "P-CRK", "replace")
    chosen = next(one for one in walked(after, cat).exposed if one.part == "P-CRK")
    assert chosen.way == "replace"
    assert with_way(after, "P-CRK", "").ways == {}


def test_a_line_goes_and_comes_back(job: Job, cat: ClassCatalogue) -> None:
    typed = with_line_typed(job, "O0101", "seized", "P. Holt", DAY, quantity=Decimal(20))
    out = with_line_out(typed, "O0101", "done last year", "P. Holt")
    assert walked(out, cat).line("O0101") is None
    assert typed_change(out, "O0101") is None, "a change of a line that is gone has no effect"
    assert not list(by_hand_faults(out, cat))
    back = with_line_back(out, "O0101")
    assert walked(back, cat).line("O0101") is not None
    assert with_row_in(out, "O0101", "after all", "P. Holt").removed == ()


def test_a_row_is_put_in_by_hand(job: Job, cat: ClassCatalogue) -> None:
    present = {line.id for line in walked(job, cat).scope.lines}
    free = rows_to_put_in(job, cat, present)
    assert free
    assert not present.intersection(row.id for row in free)
    row = free[0]
    after = with_row_in(job, row.id, "customer asks for it", "P. Holt")
    assert walked(after, cat).line(row.id).by_hand
    assert with_line_out(after, row.id, "no longer", "P. Holt") == replace(job, ways=job.ways)


def test_operations_counted_twice(job: Job, cat: ClassCatalogue) -> None:
    whole, within = "O0102", "O0109"
    including = replace(cat.operations[whole], includes=(within,))
    cat = replace(cat, operations={**cat.operations, whole: including})
    pair = (whole, within)
    assert walked(job, cat).scope.doubles == (pair,)
    one = with_one_kept(job, pair, "P. Holt")
    assert walked(one, cat).line(within) is None
    assert [(change.row_id, change.reason) for change in one.removed] == [(within, COUNTED_TWICE)]
    both = with_both_kept(job, pair, "two visits", "P. Holt")
    scope = walked(both, cat).scope
    assert (scope.kept, scope.doubles) == ((pair,), ())
    assert with_line_out(both, within, "no", "P. Holt").kept == ()


def test_a_line_is_typed_over_and_restored(job: Job, cat: ClassCatalogue) -> None:
    once = with_line_typed(job, "P-EMT", "six on this one", "P. Holt", DAY, quantity=Decimal(6))
    twice = with_line_typed(once, "P-EMT", "quoted", "P. Holt", DAY, unit_cost=Decimal("71.50"))
    change = typed_change(twice, "P-EMT")
    assert change is not None
    assert (change.quantity, change.unit_cost) == (Decimal(6), Decimal("71.50"))
    assert walked(twice, cat).line("P-EMT").quantity == 6
    left = as_worked_out(twice, "P-EMT", unit_cost=False)
    kept = typed_change(left, "P-EMT")
    assert kept is not None
    assert (kept.quantity, kept.unit_cost) == (None, Decimal("71.50"))
    assert as_worked_out(left, "P-EMT") == job


def test_own_lines_are_numbered_changed_and_taken_out(job: Job) -> None:
    assert next_own_id(job) == "X01"
    one = with_own_line(job, own_made("X01"))
    assert next_own_id(one) == "X02"
    changed = with_own_line(one, own_made("X01", name="Bracket welded"))
    assert [line.name for line in changed.own] == ["Bracket welded"]
    assert without_own_line(changed, "X01") == job


def test_a_change_without_effect_is_taken_out(job: Job) -> None:
    idle = with_line_out(job, "P-CRK", "not wanted", "P. Holt")
    assert without_idle(idle, "P-CRK") == job


def test_each_is_an_edit_that_can_be_undone(job: Job, cat: ClassCatalogue) -> None:
    by = judge_all(job, cat)["I80"]
    for after in (
        overruled(job, by, "P-HED", "replace", "why", "P. Holt"),
        with_way(job, "P-CRK", "replace"),
        with_line_out(job, "O0101", "why", "P. Holt"),
        with_own_line(job, own_made("X01")),
        with_line_typed(job, "P-EMT", "why", "P. Holt", DAY, quantity=Decimal(6)),
    ):
        edit = edit_between(job, after, "a change")
        assert apply_edit(job, edit) == after
        assert apply_edit(after, inverse(edit)) == job
