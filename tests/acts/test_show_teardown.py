"""The Teardown page's rows: components as they open, the bench, and what an opening moves."""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from PIL import Image

from estimator.domain.contract.acceptance import TEARDOWN_ONLY, TO_CUSTOMER
from estimator.domain.contract.forms import NAMED
from estimator.services.accept_quote import accept_quote
from estimator.services.errors import Conflict, NotAllowed, NotFound, Refused
from estimator.services.plan_opening import Answers, Receipt, opening_of, proposals, waits_for
from estimator.services.record_teardown import (
    Found,
    MeasuredAgain,
    Opening,
    open_component,
    opening_events,
    receive_machine,
)
from estimator.services.show_acceptance import show_acceptance
from estimator.services.show_bench import show_bench
from estimator.services.show_contract_head import contract_head
from estimator.services.show_moves import show_moves
from estimator.services.show_teardown import chances_now, show_teardown
from estimator.services.teardown_photographs import (
    add_teardown_photograph,
    teardown_photograph,
    teardown_photographs,
)
from estimator.services.verify_record import verify_record
from estimator.services.work_out_contract import (
    read_contract,
    reckon_accepted,
    try_events,
    work_out_contract,
)
from tests.acts.contracts import accept_golden, arrived, golden_terms, issue_golden, pounds
from tests.acts.workshop import ESTIMATOR, INSPECTOR, NOW, VIEWER

REAR = "C05D"  # rear hubs and finals: planets and two hub seats, all closed
TODAY = date(2027, 1, 12)


@pytest.fixture
def number(record, catalogue):
    return accept_golden(record, catalogue)


def ticked(bench, **answers):
    return Answers(frozenset(one.id for one in bench.cautions), **answers)


def row(view, code):
    return next(one for one in view.rows if one.id == code)


def jpeg() -> bytes:
    content = io.BytesIO()
    Image.new("RGB", (64, 48), "grey").save(content, "JPEG")
    return content.getvalue()


def test_the_machine_before_anything_is_opened(record, number):
    now = work_out_contract(read_contract(record, number))
    view = show_teardown(now.here, now.rest)
    assert view.received is None
    assert (view.parts, view.closed) == (45, 45)
    assert {one.mark for one in view.rows} == {"not_begun"}
    # the rear crown wheel, 5,600 to some 15,000 at two in five, is what is least certain
    assert view.next is row(view, "C05C")
    assert row(view, "C08E").lines == 2  # hoses, and the hours to fit them
    assert show_teardown(now.here, None).next is None


def test_it_comes_in_with_everything_that_was_written_down(record, number):
    receipt = Receipt("one mirror\nmissing", "fuel 40 %", "", "battery")
    receive_machine(record, number, receipt.note, INSPECTOR, NOW)
    view = show_teardown(read_contract(record, number), None)
    assert view.received == "condition: one mirror missing; fluids: fuel 40 %; loose items: battery"


def test_an_opening_moves_marks_and_counts(record, number):
    arrived(record, number)
    opening = Opening(REAR, (Found("P-HB3", "sound"), Found("P-PLR", "worn")))
    here = open_component(record, number, opening, INSPECTOR, NOW)
    view = show_teardown(here, None)
    rear = row(view, REAR)
    assert (rear.mark, rear.opened, rear.closed) == ("needs_you", 2, 1)
    assert rear.variations == ("V01",)
    assert view.closed == 43
    parts = {one.id: one for one in show_bench(here, None, REAR).parts}
    assert (parts["P-PLR"].state, parts["P-PLR"].variation) == ("worn", "V01")
    assert parts["P-HB4"].state == ""
    assert (parts["P-HB4"].low, parts["P-HB4"].high) == (pounds(850), pounds(1700))


def test_cautions_wait_and_only_readings_are_recorded_meanwhile(record, number):
    arrived(record, number)
    here = read_contract(record, number)
    bench = show_bench(here, None, REAR)
    assert [one.id for one in bench.cautions] == ["K03"]
    answers = Answers(dispositions={"P-PLR": "replace"}, readings={"M0503": Decimal("0.12")})
    assert [one.id for one in waits_for(bench, answers)] == ["K03"]
    early = opening_of(here, bench, answers, INSPECTOR.name, TODAY)
    assert (early.found, [one.id for one in early.readings]) == ((), ["T01"])
    after = open_component(record, number, early, INSPECTOR, NOW)
    assert after.contract.components == ()  # a reading does not open it
    ready = replace(answers, ticked=frozenset({"K03"}), readings={"M0504": Decimal("0.14")})
    opening = opening_of(after, bench, ready, INSPECTOR.name, TODAY)
    assert [one.id for one in opening.readings] == ["T02"]
    done = open_component(record, number, opening, INSPECTOR, NOW)
    (tick,) = show_bench(done, None, REAR).cautions
    assert (tick.ticked_by, tick.ticked_at) == (INSPECTOR.name, NOW)
    first, second = show_bench(done, None, REAR).measures
    assert (first.reading.measured, first.by) == (Decimal("0.12"), INSPECTOR.name)
    assert second.reading.measured == Decimal("0.14")
    assert done.contract.case("V01").variation.chosen == "replace"


def test_a_reading_settles_its_part_by_the_rules_of_the_quote(record, number):
    """No measure of the worked job's catalogue settles a closed part; one that does is made."""
    here = read_contract(record, number)
    bench = show_bench(here, None, REAR)
    measures = tuple(
        replace(one, settles="P-HB3") if one.id == "M0503" else one for one in bench.measures
    )
    rows = {**here.work.cat.measures}
    rows["M0503"] = replace(rows["M0503"], part="P-HB3")
    here = replace(here, work=replace(here.work, cat=replace(here.work.cat, measures=rows)))
    bench = replace(bench, measures=measures)
    answers = ticked(bench, readings={"M0503": Decimal("0.30")})
    proposed = proposals(here, bench, answers, TODAY)
    assert proposed["P-HB3"].disposition == "replace"
    opening = opening_of(here, bench, answers, INSPECTOR.name, TODAY)
    (found,) = opening.found
    assert (found.part, found.state, found.way) == ("P-HB3", "worn", "replace")
    assert found.measured == "0.30 mm, rebuild limit 0.15, service limit 0.25"
    kept = replace(answers, dispositions={"P-HB3": "reuse"})  # the hand's word counts
    assert opening_of(here, bench, kept, INSPECTOR.name, TODAY).found[0].state == "sound"


def test_what_is_tried_out_is_what_recording_it_comes_to(record, number):
    arrived(record, number)
    now = work_out_contract(read_contract(record, number))
    bench = show_bench(now.here, now.rest, REAR)
    answers = ticked(bench, dispositions={"P-PLR": "recondition", "P-HB3": "reuse"})
    opening = opening_of(now.here, bench, answers, INSPECTOR.name, TODAY)
    events = opening_events(now.here, [opening], INSPECTOR, NOW)
    tried = try_events(now.here, events, now)
    assert len(read_contract(record, number).contract.events) == 2  # nothing was written
    after = work_out_contract(open_component(record, number, opening, INSPECTOR, NOW), now)
    assert tried.row == after.row
    assert tried.finish.days == after.finish.days
    with pytest.raises(Conflict, match="resolved already"):
        try_events(after.here, opening_events(now.here, [replace(
            opening, found=(Found("P-PLR", "sound"),))], INSPECTOR, NOW))  # fmt: skip


def test_what_an_opening_moves(record, number):
    arrived(record, number)
    before = work_out_contract(read_contract(record, number))
    opening = Opening("C05B", (Found("P-PLF", "worn"), Found("P-HB1", "worn")))
    after = work_out_contract(open_component(record, number, opening, INSPECTOR, NOW), before)
    both = (before, contract_head(before)), (after, contract_head(after))
    moves = show_moves(*both)
    assert moves.exposed_was == pounds(31_317)
    assert moves.scale == max(moves.exposed.minor, moves.exposed_was.minor)
    chances, was = chances_now(after.rest), chances_now(before.rest)
    first = moves.chances[0]
    assert (first.part, first.same_oil) == ("P-HB2", True)  # front right, in the same oil
    assert (first.was, first.now) == (was["P-HB2"], chances["P-HB2"])
    assert first.now > first.was
    assert any(not one.same_oil for one in moves.chances)  # life alone
    assert moves.unpriced == ("V01", "V02")
    assert not moves.covered
    assert not moves.short_by
    assert [one.number for one in moves.ranges] == ["V01", "V02"]
    assert moves.left == moves.left_if_agreed == pounds(31_317)


def test_the_head_adds_up_in_its_four_parts(record, number):
    arrived(record, number)
    now = work_out_contract(read_contract(record, number))
    head = contract_head(now)
    assert head.firm + head.provisional + head.left == head.current_sum == pounds(275_946)
    assert (head.exposed, head.spare, head.short) == (pounds(31_317), pounds(0), pounds(0))
    opening = Opening("C05B", (Found("P-PLF", "sound"),))
    head = contract_head(
        work_out_contract(open_component(record, number, opening, INSPECTOR, NOW), now)
    )
    assert head.spare == head.left - head.exposed
    assert head.shown_end == head.current_sum.minor
    opening = Opening("C05C", (Found("P-CWR", "worn"),))
    head = contract_head(work_out_contract(open_component(record, number, opening, INSPECTOR, NOW)))
    assert head.unpriced == ("V01",)
    assert head.range.low.minor > 0


def test_a_line_measured_again_moves_the_sum(record, number):
    arrived(record, number)
    opening = Opening("C08E", measured=(MeasuredAgain("P-HOS", Decimal(51)),))
    here = open_component(record, number, opening, INSPECTOR, NOW)
    line = next(one for one in show_bench(here, None, "C08E").lines if one.id == "P-HOS")
    assert line.measured.change == pounds(962)  # 51 x 148 x 1.30 - 8,850
    assert (line.quantity, line.measured.quantity) == (Decimal(46), Decimal(51))
    head = contract_head(work_out_contract(here))
    assert head.changes == pounds(962)


def test_photographs_of_a_job_that_changes_no_more(record, number):
    taken = add_teardown_photograph(record, number, REAR, ("flank.jpg", jpeg()), INSPECTOR, NOW)
    assert (taken.name, taken.caption) == (f"{REAR}-1", "flank")
    again = add_teardown_photograph(record, number, REAR, ("pin.jpg", jpeg()), INSPECTOR, NOW)
    assert [one.name for one in teardown_photographs(record, number, REAR)] == [
        taken.name, again.name,
    ]  # fmt: skip
    assert teardown_photograph(record, number, again.name).caption == "pin"
    with pytest.raises(NotFound):
        teardown_photograph(record, number, "C05D-9")
    with pytest.raises(Refused):
        add_teardown_photograph(record, number, REAR, ("no.jpg", b"no"), INSPECTOR, NOW)
    with pytest.raises(NotAllowed):
        add_teardown_photograph(record, number, REAR, ("x.jpg", jpeg()), VIEWER, NOW)
    bench = show_bench(read_contract(record, number), None, REAR)
    answers = ticked(
        bench,
        dispositions={"P-PLR": "replace", "P-HB3": "replace", "P-HB4": "reuse"},
        photographs=((taken.name, "P-PLR"), (again.name, "")),
    )
    opening = opening_of(read_contract(record, number), bench, answers, "A. Rowe", TODAY)
    shown = {one.part: one.photographs for one in opening.found}
    assert shown == {"P-PLR": (taken.name, again.name), "P-HB3": (again.name,), "P-HB4": ()}
    assert verify_record(record).faults == ()


def test_no_photographs_of_a_teardown_before_acceptance(record, catalogue):
    number = issue_golden(record, catalogue)
    with pytest.raises(Conflict, match="accepted yet"):
        add_teardown_photograph(record, number, REAR, ("x.jpg", jpeg()), INSPECTOR, NOW)


def test_what_can_be_accepted_of_an_issued_revision(record, catalogue):
    number = issue_golden(record, catalogue)
    offer = show_acceptance(record, number, date(2026, 11, 30))
    assert (offer.net, offer.contingency) == (pounds(275_946), pounds(31_317))
    assert (offer.commercial_form, offer.unspent, offer.fixed) == (NAMED, TO_CUSTOMER, False)
    assert not offer.held
    assert show_acceptance(record, number, date(2027, 1, 10)).held
    after = accept_quote(record, number, golden_terms(extent=TEARDOWN_ONLY), ESTIMATOR, NOW)
    assert after.contract.acceptance.contract_sum == offer.strip
    head = contract_head(work_out_contract(after))
    assert head.firm == head.current_sum == offer.strip  # it holds nothing of the rebuild
    with pytest.raises(Conflict, match="is accepted"):
        show_acceptance(record, number, date(2026, 11, 30))


def test_an_accepted_revision_is_reckoned_as_it_was_issued(record, number):
    priced = reckon_accepted(read_contract(record, number).work)
    assert priced.price.net == pounds(275_946)
