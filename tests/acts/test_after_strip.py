"""A machine stripped first: the teardown alone is accepted, the revision priced after it follows on
the same contract, and the job is done and closed on that."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from decimal import Decimal

import pytest

from estimator.domain.contract.acceptance import TEARDOWN_ONLY, WHOLE
from estimator.domain.contract.account import account
from estimator.domain.contract.ledger import CLOSED, COVERED
from estimator.domain.contract.variation import CONTINGENCY, HIDDEN, Range, Variation
from estimator.domain.money import money_sum
from estimator.domain.record import ACCEPTED, DRAFT, ISSUED, STOPPED
from estimator.services.accept_quote import accept_quote
from estimator.services.after_strip import strip_findings, take_in_strip
from estimator.services.edit_job import make_edit, undo_edit
from estimator.services.errors import Conflict, Refused
from estimator.services.issue_quote import issue_quote, revise_job
from estimator.services.keep_job import recorded_job
from estimator.services.learn_from_contract import outcomes_of
from estimator.services.print_contract import LEDGER, STRIP, Print, paper_bytes
from estimator.services.read_ledger import read_ledger
from estimator.services.record_teardown import (
    Found,
    MeasuredAgain,
    Opening,
    open_component,
    receive_machine,
)
from estimator.services.settle_contract import (
    account_of,
    close_account,
    hand_over,
    invoice_stage,
    stop_job,
    stop_offer,
)
from estimator.services.show_acceptance import show_acceptance
from estimator.services.show_variations import ACCEPTANCE, CASE, show_variations
from estimator.services.show_variations import STRIP as TEARDOWN
from estimator.services.vary_contract import raise_variation
from estimator.services.verify_record import verify_record
from estimator.services.work_out_contract import read_contract, work_out_contract
from tests.acts.contracts import FLEET, golden_terms, issue_golden, pounds
from tests.acts.test_print_contract import text_of
from tests.acts.workshop import ESTIMATOR, FOREMAN, INSPECTOR, MANAGER, NOW, edited

SOUND_PART, WORN_PART, LATE_PART = "P-CWR", "P-PLR", "P-CWF"
REAR, FRONT = "C05B", "C05A"
STRIPPED = NOW + timedelta(days=20)


def at(days: int) -> datetime:
    return NOW + timedelta(days=days)


@pytest.fixture
def strip(record, catalogue) -> str:
    """A job whose teardown alone was accepted, the machine here, one component opened."""
    number = issue_golden(record, catalogue)
    accept_quote(record, number, golden_terms(extent=TEARDOWN_ONLY), ESTIMATOR, NOW)
    receive_machine(record, number, "two keys", FOREMAN, at(1))
    opening = Opening(
        REAR,
        found=(
            Found(SOUND_PART, "sound"),
            Found(WORN_PART, "worn", title="liner scored", measured="54.90, limit 54.92"),
        ),
    )
    open_component(record, number, opening, INSPECTOR, at(2))
    return number


def test_a_strip_holds_nothing_of_the_rebuild(record, strip):
    now = work_out_contract(read_contract(record, strip))
    row = now.row
    offer = stop_offer(record, strip)
    assert row.forecast_low == row.forecast_high == row.current_sum == offer.net
    assert (row.exposed, row.mark, row.unpriced) == (pounds(0), COVERED, 0)
    assert not now.here.contract.cases  # worn is a finding, not an extra
    assert now.here.contract.resolved == {SOUND_PART: "sound", WORN_PART: "worn"}
    whole = read_contract(record, strip).work.job
    assert now.finish_covered <= offer.report_day + timedelta(days=14)
    assert now.finish_covered < whole.start + timedelta(weeks=6)  # the strip's, not the rebuild's


def test_the_strip_measures_its_own_lines_alone(record, strip):
    opening = Opening(FRONT, measured=(MeasuredAgain("P-BDR", Decimal(1), by_factor=True),))
    with pytest.raises(Refused) as refused:
        open_component(record, strip, opening, INSPECTOR, at(3))
    assert "teardown alone was accepted" in refused.value.problems[0].message


def test_no_contingency_is_drawn_on_by_a_strip(record, strip, catalogue):
    found = Variation(
        number="V01", revision=0, found_at=at(3), finder="K. Brand", component=FRONT,
        location="hub", title="hub worn", cause=HIDDEN, end=CONTINGENCY,
        range=Range(pounds(100), pounds(200), pounds(300)),
    )  # fmt: skip
    with pytest.raises(Conflict, match="teardown alone is accepted"):
        raise_variation(record, strip, found, ESTIMATOR, at(3))


def test_the_next_revision_begins_with_what_the_strip_found(record, strip, catalogue):
    revised = revise_job(record, strip, ESTIMATOR, at(4))
    assert revised.revision == "B"
    found = {one.part: one for one in revised.findings if one.id.startswith("STRIP")}
    assert found[SOUND_PART,].result == "sound"
    assert found[WORN_PART,].result == "worn"
    assert "54.90" in found[WORN_PART,].reading
    here = read_contract(record, strip)
    assert (here.state, here.job.revision, here.contract.acceptance.revision) == (DRAFT, "A", "A")
    # What the strip finds meanwhile is taken in as one edit, which can be undone.
    late = Opening(FRONT, found=(Found(LATE_PART, "worn"),))
    after = open_component(record, strip, late, INSPECTOR, at(5))
    assert after.state == DRAFT  # the draft stays one
    assert recorded_job(record, strip)[1] == DRAFT
    draft = take_in_strip(record, strip, ESTIMATOR, at(6))
    assert len(draft.job.findings) == len(revised.findings) + 1
    assert take_in_strip(record, strip, ESTIMATOR, at(6)).version == draft.version
    undone = undo_edit(record, strip, ESTIMATOR, at(6), version=draft.version)
    assert len(undone.job.findings) == len(revised.findings)


def priced_after(record, strip, catalogue) -> str:
    revise_job(record, strip, ESTIMATOR, at(4))
    issued = issue_quote(record, strip, catalogue, ESTIMATOR, MANAGER, at(5), adopt_why="as seen")
    return issued.revision


def terms_of(revision: str, **changes):
    return golden_terms(revision=revision, on=at(8), **changes)


def test_the_revision_after_the_strip_is_accepted_on_the_same_contract(record, strip, catalogue):
    invoice_stage(record, strip, "strip", Decimal(1), MANAGER, at(3))
    paid = read_contract(record, strip).contract.acceptance.contract_sum
    revision = priced_after(record, strip, catalogue)
    offer = show_acceptance(record, strip, at(6).date())
    assert offer.strip_accepted
    late = Opening(FRONT, found=(Found(LATE_PART, "worn", measured="12.1, limit 12.0"),))
    assert open_component(record, strip, late, INSPECTOR, at(7)).state == ISSUED
    here = accept_quote(record, strip, terms_of(revision), ESTIMATOR, at(8))
    contract = here.contract
    assert (here.state, here.job.revision) == (ACCEPTED, "B")
    assert contract.acceptance.contract_sum == offer.net
    assert contract.acceptance.contingency == offer.contingency
    # Worn and sound by the strip are in the price; what showed after it was issued is a variation.
    exposed = {part.part for part in here.work.exposed}
    assert not exposed & {SOUND_PART, WORN_PART}
    assert contract.resolved == {LATE_PART: "worn"}
    [case] = contract.cases.values()
    assert case.variation.parts == (LATE_PART,)
    assert case.variation.measured == "12.1, limit 12.0"
    read = read_ledger(record, strip)
    assert len(read.rows) == len(contract.events)
    assert read.rows[0].contract_sum == paid
    assert read.now.row.contract_sum == offer.net
    assert read.now.row.closed_parts == len(exposed) - 1
    assert {one.component for one in outcomes_of(here)} >= {SOUND_PART, WORN_PART, LATE_PART}
    lines = show_variations(read.now).lines
    assert [one.kind for one in lines] == [TEARDOWN, ACCEPTANCE, CASE]
    assert [one.title for one in lines[:2]] == ["A", "B"]
    assert lines[1].amount == offer.net - paid
    assert lines[1].current_sum == offer.net
    # The strip is inside the revision's sum: what was invoiced of it is taken off the balance.
    final = account_of(here)
    assert [(one.name, one.net) for one in final.stages] == [("strip", paid)]
    assert final.balance_net == final.net - paid
    assert verify_record(record).faults == ()


def test_what_was_invoiced_of_the_strip_counts_with_the_stages(record, strip, catalogue):
    invoice_stage(record, strip, "strip", Decimal(1), MANAGER, at(3))
    revision = priced_after(record, strip, catalogue)
    accept_quote(record, strip, terms_of(revision), ESTIMATOR, at(8))
    with pytest.raises(Conflict, match="strip is invoiced already"):
        invoice_stage(record, strip, "strip", Decimal("0.1"), MANAGER, at(9))
    with pytest.raises(Conflict, match="stages would come to"):
        invoice_stage(record, strip, "all", Decimal(1), MANAGER, at(9))
    invoice_stage(record, strip, "deposit", Decimal("0.3"), MANAGER, at(9))


def test_the_job_goes_on_to_its_account(record, strip, catalogue):
    revision = priced_after(record, strip, catalogue)
    here = accept_quote(record, strip, terms_of(revision), ESTIMATOR, at(8))
    hand_over(record, strip, FLEET, "Received.", MANAGER, at(60))
    now = work_out_contract(read_contract(record, strip))
    assert now.row.mark == CLOSED
    final = close_account(record, strip, MANAGER, at(61))
    counted = money_sum((one.amount for one in final.lines if one.counts), "GBP")
    assert counted == final.net == here.contract.acceptance.contract_sum - here.contract.left
    assert account(read_contract(record, strip).contract, "S", Decimal(20)).net == final.net


def test_what_cannot_follow_a_strip_is_refused(record, strip, catalogue):
    with pytest.raises(Conflict, match="is accepted; only"):
        accept_quote(record, strip, golden_terms(), ESTIMATOR, at(3))
    revision = priced_after(record, strip, catalogue)
    with pytest.raises(Conflict, match="teardown is accepted already"):
        accept_quote(record, strip, terms_of(revision, extent=TEARDOWN_ONLY), ESTIMATOR, at(8))
    accept_quote(record, strip, terms_of(revision, extent=WHOLE), ESTIMATOR, at(8))
    with pytest.raises(Conflict):
        revise_job(record, strip, ESTIMATOR, at(9))
    with pytest.raises(Conflict):
        take_in_strip(record, strip, ESTIMATOR, at(9))


def test_a_stop_ends_the_revision_that_was_to_follow(record, strip, catalogue):
    revise_job(record, strip, ESTIMATOR, at(4))
    after = stop_job(record, strip, "boxed return", "No.", FLEET, MANAGER, at(10))
    assert after.state == STOPPED
    job, state, _ = recorded_job(record, strip)
    assert (job.revision, state) == ("A", STOPPED)
    now = work_out_contract(read_contract(record, strip))
    days = stop_offer(record, strip).boxed_return.working_days
    assert at(10).date() < now.finish_covered <= at(10 + 2 * days + 14).date()
    assert now.finish_half == now.finish_covered
    with pytest.raises(Conflict):
        revise_job(record, strip, ESTIMATOR, at(11))


def test_the_draft_after_a_strip_is_edited_as_any_other(record, strip, catalogue):
    revise_job(record, strip, ESTIMATOR, at(4))
    edit = edited(record, strip, "note", lambda job: replace(job, note="after the strip"))
    draft = make_edit(record, strip, edit, ESTIMATOR, at(5))
    assert draft.job.note == "after the strip"
    assert draft.contracted


def test_findings_of_the_strip_keep_their_numbers(record, strip):
    before = list(strip_findings(read_contract(record, strip).contract))
    open_component(record, strip, Opening(FRONT, (Found(LATE_PART, "worn"),)), INSPECTOR, at(5))
    after = list(strip_findings(read_contract(record, strip).contract))
    assert after[: len(before)] == before
    assert [one.id for one in after] == ["STRIP01", "STRIP02", "STRIP03"]


def test_papers_are_there_before_and_after(record, strip, catalogue, tmp_path):
    def text(kind: str, day: int) -> str:
        return text_of(paper_bytes(record, strip, Print(kind=kind, day=at(day).date())))

    before = text(STRIP, 4)
    assert "Rear planet gears and pins" in before
    assert "liner scored" in before
    assert "Accepted" in text(LEDGER, 4)
    revision = priced_after(record, strip, catalogue)
    accept_quote(record, strip, terms_of(revision), ESTIMATOR, at(8))
    assert "liner scored" in text(STRIP, 9)
    assert text(LEDGER, 9).count("Accepted") >= 2  # the strip, then the whole
