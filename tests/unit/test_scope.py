"""From findings to a scope: what is called in, how often, why, and how certain it is."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.scope import FIRM, LABOUR, OUTWORK, PARTS
from tests.golden.golden_job import golden_inputs
from tests.unit.changed import (
    finding_added,
    finding_changed,
    finding_dropped,
    finding_made,
    row_changed,
    walked,
)


def seen(code: str, part: str, component: str, way: str = "", result: str = "worn"):
    """A look at one part, put right in that way if one is given."""
    reason = "as agreed" if way else ""
    return finding_made(
        code, kind="visual", part=(part,), component=component, result=result,
        override=way, override_reason=reason,
    )  # fmt: skip


# -- what calls a row in ------------------------------------------------------------------------


def test_rows_of_the_level_are_always_there_once_and_firm(job, cat, golden_walk):
    for row in (*cat.operations.values(), *cat.parts.values(), *cat.outwork.values()):
        line = golden_walk.line(row.id)
        if row.called_by == "level":
            assert (line is not None) is ("full" in row.levels)
            if line is not None:
                assert (line.certainty, line.rule) == (FIRM, "level")


@pytest.mark.parametrize("level", ["full", "driveline"])
def test_only_rows_of_the_level_are_in_its_scope(job, cat, level):
    lines = walked(replace(job, level=level), cat).scope.lines
    assert lines
    assert all(level in line.row.levels for line in lines)


def test_a_driveline_rebuild_leaves_the_work_tool_alone(job, cat):
    groups = {line.group for line in walked(replace(job, level="driveline"), cat).scope.lines}
    assert "G11" not in groups
    assert {"G01", "G03", "G05"} <= groups


def test_a_part_is_bought_on_its_own_condition(job, cat):
    assert walked(job, cat).line("P-EDG").rule == "P-EDG: replace"
    sound = finding_changed(job, "I62", measured=Decimal(44))
    assert walked(sound, cat).line("P-EDG") is None


def test_excluded_and_carrier_rows_are_never_bought(job, cat, golden_walk):
    assert golden_walk.line("P-TYR") is None
    assert golden_walk.called["P-TRD"].put_right
    assert golden_walk.line("P-TRD") is None
    assert golden_walk.line("W16") is not None  # what follows the carrier is


@pytest.mark.parametrize(
    ("way", "bought", "worked"),
    [("replace", True, False), ("recondition", False, True), ("exchange", False, False)],
)
def test_a_row_comes_in_only_for_the_ways_it_belongs_to(job, cat, way, bought, worked):
    crank = finding_added(job, seen("N01", "P-CRK", "C01A", way))
    got = walked(crank, cat)
    assert (got.line("P-CRK") is not None) is bought
    assert (got.line("O0151") is not None) is worked
    assert (got.line("W02") is not None) is worked


@pytest.mark.parametrize("count", [0, 1, 2, 3, 4])
def test_a_row_that_follows_is_called_once_for_each_part(job, cat, count):
    seats = ["P-HB1", "P-HB2", "P-HB3", "P-HB4"]
    worn = finding_added(
        job,
        *(seen(f"N{seat[-1]}", seat, "C05B") for seat in seats[:count]),
        # seen sound, or the last seat would be priced by its chance: seats go bad together
        *(seen(f"N{seat[-1]}", seat, "C05B", result="sound") for seat in seats[count:]),
    )
    got = walked(worn, cat)
    work, outwork = got.line("O0553"), got.line("W12")
    if count == 0:
        assert (work, outwork) == (None, None)
    else:
        assert (work.quantity, outwork.quantity) == (5 * count, count)
        assert set(work.because) == {f"N{seat[-1]}" for seat in seats[:count]}


def test_a_part_put_right_in_another_way_is_not_counted(job, cat):
    worn = finding_added(job, seen("N1", "P-HB1", "C05B"), seen("N2", "P-HB2", "C05B", "replace"))
    got = walked(worn, cat)
    assert got.line("W12").quantity == 1
    assert got.line("P-HB1") is None
    assert got.line("P-HB2").quantity == 1


def test_one_finding_that_settles_two_parts_is_named_once(job, cat):
    both = finding_made(
        "N1", kind="visual", part=("P-HB1", "P-HB2"), component="C05B", result="worn"
    )
    line = walked(finding_added(job, both), cat).line("W12")
    assert line.quantity == 2
    assert line.because == ("N1",)


def test_a_part_of_another_level_calls_nothing_in(job, cat):
    """Lift rods are no part of a driveline rebuild, so neither is what follows them."""
    both = row_changed(cat.catalogue, "outwork", "W17", levels=("full", "driveline"))
    for level, there in (("full", True), ("driveline", False)):
        got = walked(replace(job, level=level), for_class(both, "WL28"))
        assert got.called["P-LRD"].put_right
        assert (got.line("W17") is not None) is there


def test_a_safety_finding_calls_the_inspection_of_its_component(job, cat):
    assert walked(job, cat).line("W23").because == ("I67",)
    assert walked(finding_dropped(job, "I67"), cat).line("W23") is None


# -- several findings on one part ---------------------------------------------------------------


def test_the_most_severe_finding_that_settles_a_part_counts(job, cat):
    mild = seen("N1", "P-HB1", "C05B")  # recondition
    grave = seen("N2", "P-HB1", "C05B", "replace")
    for findings in ((mild, grave), (grave, mild)):
        called = walked(finding_added(job, *findings), cat).called["P-HB1"]
        assert called.disposition == "replace"
        assert called.by.finding.id == "N2"


@pytest.mark.parametrize("kind", ["not seen", "not tested"])
def test_not_seen_never_erases_a_measurement(job, cat, kind):
    before = walked(job, cat)
    unseen = finding_made("N1", kind=kind, part=("P-UJT", "P-CAC"), component="C04A")
    for findings in ((*job.findings, unseen), (unseen, *job.findings)):
        after = walked(replace(job, findings=findings), cat)
        for part in ("P-UJT", "P-CAC"):
            assert after.called[part] == before.called[part]
        assert [(line.id, line.quantity, line.why) for line in after.scope.lines] == [
            (line.id, line.quantity, line.why) for line in before.scope.lines
        ]


def test_a_sound_finding_does_not_erase_a_worn_one(job, cat):
    sound = finding_made("N1", kind="visual", part=("P-UJT",), component="C04A", result="sound")
    assert walked(finding_added(job, sound), cat).called["P-UJT"].disposition == "replace"


def test_of_two_findings_as_severe_the_order_in_the_file_does_not_decide(job, cat):
    firm = seen("N1", "P-STA", "C13C", "replace")
    counted = finding_made(
        "N2", kind="count", part=("P-STA",), component="C13C", measured=Decimal(3), unit="count",
        quantity=Decimal(3), quantity_low=Decimal(2), quantity_high=Decimal(4),
    )  # fmt: skip
    one = walked(finding_added(job, firm, counted), cat).called["P-STA"]
    other = walked(finding_added(job, counted, firm), cat).called["P-STA"]
    assert (one.by.finding.id, one.provisional_reason) == (
        other.by.finding.id,
        other.provisional_reason,
    )


# -- what an estimator should look at -----------------------------------------------------------


def test_what_nobody_looked_at_is_listed(job, cat):
    assert walked(job, cat).scope.not_looked_at == ()
    blind = walked(finding_dropped(job, "I12", "I66"), cat)
    assert set(blind.scope.not_looked_at) == {"P-EMT", "P-LAW"}


def test_a_part_with_a_chance_is_open_rather_than_overlooked(job, cat):
    blind = walked(finding_dropped(job, "I23"), cat)
    assert "P-UJT" not in blind.scope.not_looked_at
    assert "P-UJT" in blind.open_parts | set(blind.firm)


def test_what_was_not_seen_is_kept_with_its_reason(golden_walk):
    assert len(golden_walk.scope.unseen) == 16
    assert {one.kind for one in golden_walk.scope.unseen} == {"not seen", "not tested"}


def test_work_counted_twice_is_found(job, catalogue):
    double = for_class(row_changed(catalogue, "operations", "O0102", includes=("O0103",)), "WL28")
    assert walked(job, double).scope.doubles == (("O0102", "O0103"),)
    absent = for_class(row_changed(catalogue, "operations", "O0102", includes=("O0151",)), "WL28")
    assert walked(job, absent).scope.doubles == ()


# -- order --------------------------------------------------------------------------------------


@settings(max_examples=25)
@given(st.randoms(use_true_random=False))
def test_the_order_of_findings_does_not_change_the_scope(random):
    job, cat = golden_inputs()
    shuffled = list(job.findings)
    random.shuffle(shuffled)
    before, after = walked(job, cat), walked(replace(job, findings=tuple(shuffled)), cat)

    def seen(got):
        return [(line.id, line.quantity, line.low, line.high, line.certainty)
                for line in got.scope.lines]  # fmt: skip

    assert seen(after) == seen(before)
    assert after.open_parts == before.open_parts


def test_lines_stand_in_the_order_of_print(golden_walk):
    order = {LABOUR: 0, PARTS: 1, OUTWORK: 2}
    keys = [(line.group, order[line.kind], line.id) for line in golden_walk.scope.lines]
    assert keys == sorted(keys)
    assert len(set(keys)) == len(keys)
