"""How far a job has come, area by area, and who is waited for."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.job import LineChange, ScopeChange
from estimator.domain.job_path import AREAS, job_path, state_today, who_waits
from estimator.domain.price_age import GOOD_FOR_DAYS, expired_prices
from estimator.domain.priced_work import priced_work
from tests.unit.changed import finding_dropped, row_changed

TODAY = date(2026, 11, 20)
UNTIL = date(2026, 12, 20)


def path(job, cat, reckoned, state="draft", today=TODAY, valid_until=None):
    marks = job_path(job, cat, state, reckoned, today, valid_until)
    assert tuple(one.area for one in marks) == AREAS
    return {one.area: (one.mark, one.note) for one in marks}


def test_the_golden_job_as_a_draft(job, cat, priced):
    got = path(job, cat, priced)
    assert got["enquiry"] == ("done", "class 3")
    assert got["inspection"] == ("done", "84 findings, 46 not seen")
    assert got["scope"] == ("done", f"{len(priced.lines)} lines")
    assert got["price"] == ("done", "15 provisional")
    assert got["exposure"] == ("in_hand", "80 % proposed")
    assert got["programme"] == ("done", "14 weeks at 80 %")
    assert got["quote"] == ("not_begun", "")


def test_an_enquiry_nobody_has_looked_at(job, cat):
    bare = replace(job, findings=())
    got = path(bare, cat, None)
    assert got["enquiry"] == ("in_hand", "class 5, a range only")
    assert got["inspection"] == ("not_begun", "no findings")
    assert {got[area][0] for area in AREAS[2:]} == {"not_begun"}
    worked = path(bare, cat, priced_work(bare, cat))
    assert {worked[area][0] for area in ("scope", "price", "exposure", "programme")} == {"in_hand"}


def test_an_inspection_with_gaps_is_in_hand(job, cat):
    gap = finding_dropped(job, "I51")  # nobody counted the hoses
    got = path(gap, cat, priced_work(gap, cat))
    assert got["inspection"] == (
        "in_hand",
        "83 findings, 47 not seen, 1 not looked at",
    )
    assert got["scope"][0] == got["price"][0] == "in_hand"


def test_what_is_counted_twice_needs_you_until_it_is_kept(job, catalogue):
    twice = for_class(row_changed(catalogue, "operations", "O0102", includes=("O0103",)), "WL28")
    assert path(job, twice, priced_work(job, twice))["scope"] == (
        "needs_you", "1 operation counted twice"
    )  # fmt: skip
    kept = replace(job, kept=(ScopeChange("O0102+O0103", "r", "b"),))
    assert path(kept, twice, priced_work(kept, twice))["scope"][0] == "done"


def test_changes_without_effect_need_you(job, cat):
    idle = replace(job, changed=(LineChange("P-VBK", Decimal(1), None, "r", "b", TODAY),),
                   added=(ScopeChange("P-LIN", "r", "b"),))  # fmt: skip
    assert path(idle, cat, priced_work(idle, cat))["scope"] == (
        "needs_you", "2 changes without effect"
    )  # fmt: skip


def test_expired_prices_need_you_until_they_are_typed_over(job, cat, priced):
    dates = {one.line.row.price_date for one in priced.lines if one.line.kind != "labour"}
    last_good = min(dates) + timedelta(days=GOOD_FOR_DAYS)
    assert expired_prices(priced.lines, last_good) == ()
    day = last_good + timedelta(days=1)
    old = expired_prices(priced.lines, day)
    assert len(old) > 1
    assert path(job, cat, priced, today=day)["price"] == (
        "needs_you", f"{len(old)} prices expired"
    )  # fmt: skip
    typed = replace(
        job, changed=tuple(LineChange(row, None, Decimal(9), "r", "b", day) for row in old)
    )
    assert expired_prices(priced_work(typed, cat).lines, day) == ()


@pytest.mark.parametrize(
    ("state", "today", "exposure", "quote"),
    [
        ("proposed", TODAY, ("waits", "80 %, waits on service manager"),
         ("waits", "waits on service manager")),
        ("issued", UNTIL, ("done", "80 % released"), ("waits", "waits on customer")),
        ("issued", UNTIL + timedelta(days=1), ("done", "80 % released"),
         ("needs_you", "expired")),
    ],
)  # fmt: skip
def test_what_is_out_of_our_hands_waits(job, cat, priced, state, today, exposure, quote):
    got = path(job, cat, priced, state, today, UNTIL if state == "issued" else None)
    assert got["exposure"] == exposure
    assert got["quote"] == quote


def test_a_finish_later_than_wanted_needs_you(job, cat, priced):
    covered = priced.finish.days[0.8]
    in_time = replace(job, wanted_by=covered)
    assert path(in_time, cat, priced)["programme"] == ("done", "14 weeks at 80 %")
    a_day_late = replace(job, wanted_by=covered - timedelta(days=1))
    assert path(a_day_late, cat, priced)["programme"] == (
        "needs_you", "14 weeks at 80 %, 1 week late"
    )  # fmt: skip
    late = replace(job, wanted_by=covered - timedelta(days=8))
    assert path(late, cat, priced)["programme"][1].endswith("2 weeks late")


@pytest.mark.parametrize(
    ("state", "today", "on"),
    [
        ("draft", TODAY, "estimator"),
        ("proposed", TODAY, "service manager"),
        ("issued", UNTIL, "customer"),
        ("issued", UNTIL + timedelta(days=1), "estimator"),
        ("expired", TODAY, "estimator"),
        ("declined", TODAY, "nobody"),
    ],
)
def test_who_is_waited_for(state, today, on):
    waiting = who_waits(state, today, UNTIL)
    assert waiting.on == on
    assert waiting.reason


def test_only_an_issued_quote_expires():
    late = UNTIL + timedelta(days=400)
    assert state_today("issued", UNTIL, late) == "expired"
    assert state_today("issued", None, late) == "issued"
    assert state_today("draft", UNTIL, late) == "draft"
