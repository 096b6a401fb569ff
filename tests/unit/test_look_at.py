"""What an estimator is told to look at before a quote goes out; nothing of it stops the work."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.job import LineChange, ScopeChange
from estimator.domain.priced_job import PricedJob, reckon
from tests.golden.golden_job import golden_inputs
from tests.unit.changed import (
    finding_added,
    finding_dropped,
    finding_made,
    row_changed,
    rows_changed,
    terms_changed,
)

ALL_BUT_DATES = {"starting-values", "valid-past-start"}


@pytest.fixture(scope="module")
def warned() -> PricedJob:
    """A job with an overlooked part, work counted twice, a short calendar and a cheap machine."""
    job, cat = golden_inputs()
    catalogue = rows_changed(cat.catalogue, "closures", cat.catalogue.tables["closures"][:2])
    catalogue = row_changed(catalogue, "operations", "O0102", includes=("O0103",))
    catalogue = row_changed(
        catalogue,
        "classes",
        "WL28",
        new_price_low=Decimal(1000),
        new_price_likely=Decimal(200000),
        new_price_high=Decimal(900000),
    )
    unpriced = finding_made("N1", kind="visual", part=("P-AHF",), component="C05A", result="worn")
    idle = replace(job, added=(ScopeChange("P-LIN", "r", "b"),))
    return reckon(
        finding_added(finding_dropped(idle, "I12"), unpriced), for_class(catalogue, "WL28")
    )


@pytest.mark.parametrize(
    ("code", "named"),
    [
        ("above-band", "of a new wheel loader, usual 50% to 70%"),
        ("counted-twice", "O0102 already includes O0103"),
        ("not-looked-at", "Engine mounts"),
        ("starting-values", "rest on starting values"),
        ("calendar-ends", "2026-12-28"),
        ("priced-thin", "P-AHF"),
        ("idle-change", "P-LIN"),
    ],
)
def test_what_an_estimator_should_look_at_is_said(warned, code, named):
    messages = [problem.message for problem in warned.warnings if problem.code == code]
    assert any(named in message for message in messages), messages


def test_warnings_stop_nothing(warned):
    assert all(problem.warning for problem in warned.warnings)
    assert all(problem.place.file == "Q-2041 rev A" for problem in warned.warnings)
    assert warned.price.net.minor > 0


def test_the_golden_job_is_warned_of_its_starting_values(priced):
    assert {problem.code for problem in priced.warnings} == ALL_BUT_DATES


def codes_of(job) -> set[str]:
    """Warnings of a job reckoned without chances of wear, for speed."""
    cat = replace(golden_inputs()[1], wear={})
    return {problem.code for problem in reckon(job, cat).warnings}


def test_a_job_without_a_finding_is_said_to_have_none():
    job, _ = golden_inputs()
    assert "no-findings" in codes_of(replace(job, findings=()))


@pytest.mark.parametrize(
    ("changes", "code", "warned_of"),
    [
        ({"inspected": date(2026, 7, 1)}, "old-inspection", True),
        ({"inspected": date(2026, 11, 1)}, "old-inspection", False),
        ({"start": date(2026, 12, 6)}, "start-closed", True),
        ({"start": date(2026, 12, 25)}, "start-closed", True),
        ({"start": date(2026, 12, 7)}, "start-closed", False),
        ({"start": date(2026, 12, 19)}, "valid-past-start", True),
        ({"start": date(2026, 12, 21)}, "valid-past-start", False),
    ],
)
def test_dates_that_do_not_go_together_are_said(changes, code, warned_of):
    job, _ = golden_inputs()
    assert (code in codes_of(replace(job, **changes))) is warned_of


def test_a_short_validity_ends_before_the_machine_comes_in():
    job, _ = golden_inputs()
    assert "valid-past-start" not in codes_of(terms_changed(job, valid_days=17))


def test_prices_that_no_longer_hold_are_named_and_typed_over_ones_are_not(priced):
    job, cat = priced.job, replace(priced.cat, wear={})
    later = replace(job, date=date(2027, 4, 5))  # six months after the oldest prices
    typed = LineChange("P-LIN", None, Decimal(800), "asked again", "P. Holt", later.date)

    def told(one) -> list[str]:
        warnings = reckon(one, cat).warnings
        return [warning.message for warning in warnings if warning.code == "old-price"]

    assert told(job) == []
    assert "P-LIN" in told(later)[0]
    assert "P-LIN" not in told(replace(later, changed=(typed,)))[0]
    assert "O0103" not in told(later)[0]
