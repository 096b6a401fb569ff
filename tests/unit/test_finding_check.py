"""Is a finding sound by itself and against the catalogue: every fault at its row and column."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.domain.job_check import check_job
from estimator.domain.priced_job import reckon
from estimator.domain.problem import errors_in
from tests.unit.changed import (
    finding_added,
    finding_changed,
    finding_made,
    walked,
)

# (finding, what is changed, code of the fault, column)
FINDINGS = [
    ("I23", {"id": "=1+1"}, "bad-code", "id"),
    ("I23", {"id": "I24"}, "id-twice", "id"),
    ("I23", {"measure": "M9999"}, "unknown-measure", "measure"),
    ("I23", {"component": "C99Z"}, "unknown-component", "component"),
    ("I22", {"part": ("P-TGR", "P-XXX")}, "unknown-part", "part"),
    ("I23", {"sign_of": ("P-XXX",)}, "unknown-sign_of", "sign_of"),
    ("I79", {"test": "T-XXX"}, "unknown-test", "test"),
    ("I26", {"kind": ""}, "no-kind", "kind"),
    ("I26", {"component": ""}, "no-component", "component"),
    ("I26", {"what": ""}, "no-text", "what"),
    ("I23", {"kind": "not seen"}, "seen-or-not", "measured"),
    ("I23", {"kind": "not tested"}, "seen-or-not", "measured"),
    ("I23", {"measured": None}, "no-reading", "measured"),
    ("I23", {"unit": ""}, "no-unit", "unit"),
    ("I23", {"unit": "bar"}, "wrong-unit", "unit"),
    ("I23", {"unit": "deg"}, "wrong-unit", "unit"),
    ("I14", {"unit": "bar", "gauge_error": Decimal(1)}, "wrong-unit", "unit"),
    ("I03", {"unit": "L/min"}, "wrong-unit", "unit"),
    ("I23", {"new": Decimal(1)}, "limits-incomplete", "new"),
    ("I23", {"new": Decimal(1), "rebuild_limit": Decimal(2), "service_limit": Decimal(1)},
     "limit-wrong-side", "rebuild_limit"),
    ("I23", {"new": Decimal(1), "rebuild_limit": Decimal(3), "service_limit": Decimal(2)},
     "limit-wrong-side", "rebuild_limit"),
    ("I23", {"new": Decimal(3), "rebuild_limit": Decimal("3.1"), "service_limit": Decimal(2)},
     "limit-wrong-side", "rebuild_limit"),
    ("I23", {"measured": Decimal("-0.33")}, "below-zero", "measured"),
    ("I23", {"new": Decimal(3), "rebuild_limit": Decimal(2), "service_limit": Decimal(1)},
     "limit-wrong-side", "service_limit"),
    ("I12", {"result": ""}, "no-result", "result"),
    ("I68", {"result": "alarm"}, "no-result", "result"),
    ("I70", {"measured": None}, "no-result", "measured"),
    ("I51", {"measured": None}, "no-result", "measured"),
    ("I11", {"measured": None}, "no-result", "measured"),
    ("I11", {"measured": Decimal(-1)}, "below-zero", "measured"),
    ("I03", {"measured": Decimal("-0.1")}, "below-zero", "measured"),
    ("I70", {"measured": Decimal(-2)}, "below-zero", "measured"),
    ("I23", {"override_reason": ""}, "no-reason", "override_reason"),
    ("I23", {"override": ""}, "no-override", "override"),
    ("I10", {"metals": ("Fe86",)}, "bad-metal", "metals"),
    ("I10", {"metals": ("Fe eighty",)}, "bad-metal", "metals"),
    ("I21", {"cleanliness": "21-19-16"}, "bad-cleanliness", "cleanliness"),
    ("I21", {"cleanliness": "16/19/21"}, "bad-cleanliness", "cleanliness"),
    ("I51", {"quantity_low": None}, "half-range", "quantity"),
    ("I51", {"quantity": None}, "half-range", "quantity"),
    ("I51", {"quantity_low": Decimal(47)}, "range-order", "quantity"),
    ("I51", {"quantity_high": Decimal(45)}, "range-order", "quantity"),
]  # fmt: skip


@pytest.mark.parametrize(("finding", "changes", "code", "column"), FINDINGS)
def test_a_fault_of_a_finding_is_placed_at_its_row_and_column(
    job, cat, finding, changes, code, column
):
    row = next(one.place.row for one in job.findings if one.id == finding)
    problems = check_job(finding_changed(job, finding, **changes), cat)
    ours = [one for one in problems if (one.code, one.place.column) == (code, column)]
    assert ours
    assert ours[0].place.file == "findings.csv"
    # of two findings of one number the second is at fault
    assert ours[0].place.row == row + (code == "id-twice")
    assert len(str(ours[0])) < 400


@pytest.mark.parametrize(
    ("code", "nearest"), [("m0101", "M0101"), ("M01O1", "M0101"), ("M0101 b", "M0101")]
)
def test_a_mistyped_code_is_answered_with_the_nearest(job, cat, code, nearest):
    problems = check_job(finding_changed(job, "I01", measure=code), cat)
    assert nearest in problems[0].remedy


@pytest.mark.parametrize(
    ("measured", "unit"), [("104", "L/min"), ("104000", "mL/min"), ("27.5", "US gal/min")]
)
def test_any_unit_of_the_right_kind_will_do(job, cat, measured, unit):
    other = finding_changed(job, "I01", measured=Decimal(measured), unit=unit)
    assert check_job(other, cat) == []


@pytest.mark.parametrize(
    ("measured", "warned"), [("3.3", True), ("33", True), ("1.75", False), ("0.33", False)]
)
def test_a_reading_so_far_off_that_a_slip_is_likelier_is_warned_of(job, cat, measured, warned):
    problems = check_job(finding_changed(job, "I23", measured=Decimal(measured)), cat)
    assert [one.code for one in problems] == (["reading-far-off"] if warned else [])
    assert all(one.warning for one in problems)


# Cells that say nothing of a part, yet would settle it as sound and empty its share of the
# contingency: not looked at is never the same as good.
SAYS_NOTHING = [
    {"kind": "pressure", "measured": Decimal("18.4"), "unit": "bar"},
    {"kind": "flow", "measured": Decimal("18.4"), "unit": "L/min"},
    {"kind": "measure", "measured": Decimal("0.2"), "unit": "mm"},
    {"kind": "drift", "measured": Decimal(7), "unit": "mm"},
    {"kind": "leak-down", "measured": Decimal(7), "unit": "kPa"},
    {"kind": "visual"},
    {"kind": "visual", "result": "alarm"},
    {"kind": "safety"},
    {"kind": "safety", "result": "alarm"},
    {"kind": "count"},
    {"kind": "hose"},
]


@pytest.mark.parametrize("cells", SAYS_NOTHING, ids=str)
def test_a_finding_that_says_nothing_never_makes_its_part_sound(job, cat, cells):
    mute = finding_added(job, finding_made(component="C03C", part=("P-TPM",), **cells))
    assert check_job(mute, cat) or "P-TPM" in walked(mute, cat).open_parts


def test_limits_a_hair_apart_do_not_stop_the_reckoning(job, cat):
    """Read against them a part is worn by more percent than a decimal holds: refuse or price it."""
    absurd = finding_changed(
        job,
        "I23",
        measured=Decimal("9e14"),
        new=Decimal("1e-14"),
        rebuild_limit=Decimal("1.5e-14"),
        service_limit=Decimal("2e-14"),
    )
    if not errors_in(check_job(absurd, cat)):
        assert reckon(absurd, replace(cat, wear={})).price.net.minor > 0
