"""A reckoning in stages: each agrees with the whole, and the long one can be cancelled."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from time import perf_counter

import pytest

from estimator.domain.exposure.contingency import CONFIDENCES
from estimator.domain.priced_job import reckon, reckon_on
from estimator.domain.priced_work import held, priced_work
from estimator.domain.reasons import missing_inputs


@pytest.fixture(scope="module")
def work(job, cat):
    return priced_work(job, cat)


@pytest.fixture(scope="module")
def second(work):
    return held(work)


def test_the_first_stage_has_the_sums_of_the_whole(work, priced):
    assert work.firm == priced.price.firm
    assert work.provisional == priced.price.provisional_lines
    assert work.sums.base == priced.price.base
    assert work.lines == priced.lines
    assert work.scope.lines == priced.scope.lines
    assert [one.by_kind for one in work.sums.groups] == [one.by_kind for one in priced.price.groups]


def test_figures_of_the_first_stage_can_be_asked_why(work, priced):
    assert missing_inputs(work.reasons.figures) == []
    for name in ("firm_lines", "provisional_lines", "base", "discount", "line/P-LIN"):
        assert work.reasons.get(name) == priced.reasons.get(name)
    assert "net" not in work.reasons.figures


def test_the_second_stage_has_the_amount_and_curve_of_the_whole(second, priced):
    whole = priced.contingency
    assert second.amount == whole.amount
    assert second.percentiles == whole.percentiles
    assert (second.bound, second.mean, second.deviation) == (
        whole.bound, whole.mean, whole.deviation
    )  # fmt: skip
    assert second.shares == ()


def test_going_on_from_the_stages_gives_the_whole_and_leaves_them_as_they_were(
    work, second, priced
):
    known = set(work.reasons.figures)
    got = reckon_on(work, second)
    assert got.price == priced.price
    assert got.contingency.shares == priced.contingency.shares
    assert got.finish == priced.finish
    # Offers reckoned on the way by other tests note their figures beside the job's own.
    own = {k: v for k, v in priced.reasons.figures.items() if not k.startswith("teardown/")}
    assert got.reasons.figures == own
    assert got.warnings == priced.warnings
    assert set(work.reasons.figures) == known


class Cancelled(Exception):
    """What a listener raises who no longer wants the answer."""


@pytest.mark.parametrize("after", [1, 2, 3, 10, 30, 100])
def test_what_the_listener_raises_ends_the_work(job, cat, after):
    heard: list[str] = []

    def listen(step: str) -> None:
        heard.append(step)
        if len(heard) == after:
            raise Cancelled

    with pytest.raises(Cancelled):
        reckon(job, cat, listen)
    assert len(heard) == after


def test_the_listener_is_heard_often_while_the_shares_are_worked_out(job, cat):
    """No long stretch of the whole passes without a word, whatever else the machine does."""
    times = [perf_counter()]
    reckon(job, cat, lambda _: times.append(perf_counter()))
    gaps = [later - sooner for sooner, later in zip(times, times[1:], strict=False)]
    assert len(gaps) > 100
    assert sorted(gaps)[-3] < 0.25 * (times[-1] - times[0])


# -- the curve ----------------------------------------------------------------------------------


def test_the_curve_rises_from_next_to_nothing_to_next_to_all(second):
    curve = second.curve()
    assert len(curve) == 200
    sums, shares = zip(*curve, strict=True)
    assert list(sums) == sorted(sums)
    assert list(shares) == sorted(shares)
    assert shares[0] == pytest.approx(0.001, abs=2e-4)
    assert shares[-1] == pytest.approx(0.999, abs=2e-4)


def test_the_curve_passes_through_the_percentiles(second):
    for share, total in second.percentiles.items():
        assert second.share_below(total) == pytest.approx(share, abs=1e-6)
    for total, share in second.curve(40)[1:-1]:
        assert second.share_below(total) == pytest.approx(share, abs=1e-9)


def test_other_confidences_ask_for_what_a_job_of_that_confidence_holds(second, job, cat):
    asked = [second.at(one, job.terms.quoting_unit) for one in CONFIDENCES]
    assert asked == sorted(asked, key=lambda one: one.minor)
    assert asked[CONFIDENCES.index(Decimal("0.8"))] == second.amount
    surer = replace(job, terms=replace(job.terms, confidence=Decimal("0.95")))
    assert held(priced_work(surer, cat)).amount == asked[-1]
    with pytest.raises(ValueError, match="confidence"):
        second.at(Decimal(1), job.terms.quoting_unit)


def test_where_nothing_is_open_the_curve_is_one_step(job, cat):
    from tests.unit.changed import finding_dropped

    settled = finding_dropped(job, *(one.id for one in job.findings))
    nothing = held(priced_work(settled, replace(cat, wear={})))
    assert nothing.curve() == ((0.0, 1.0),)
    assert not nothing.amount
    assert not nothing.at(Decimal("0.95"), Decimal(1))
    assert (nothing.share_below(-1), nothing.share_below(0)) == (0.0, 1.0)


# -- weeks --------------------------------------------------------------------------------------


def test_the_weeks_of_finish_add_up_and_hold_the_percentiles(priced):
    weeks = priced.finish.weeks
    assert sum(one.share for one in weeks) == pytest.approx(1)
    assert all(one.monday.weekday() == 0 for one in weeks)
    steps = {(b.monday - a.monday).days for a, b in zip(weeks, weeks[1:], strict=False)}
    assert steps == {7}
    assert weeks[0].share > 0
    assert weeks[-1].share > 0
    for wanted in (0.1, 0.5, 0.8, 0.9):
        day = priced.finish.days[wanted]
        until = sum(one.share for one in weeks if one.monday <= day)
        before = sum(one.share for one in weeks if (day - one.monday).days >= 7)
        assert before <= wanted <= until + 1e-9


def test_what_is_longest_how_often_comes_surest_first(priced):
    ordered = priced.finish.longest_first(0.01)
    assert dict(ordered).items() <= priced.finish.on_longest.items()
    shares = [share for _, share in ordered]
    assert shares == sorted(shares, reverse=True)
    assert min(shares) > 0.01
    assert ordered[0][1] == 1.0
