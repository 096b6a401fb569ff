"""A contract in the record: accepted, opened, varied, answered, settled; and what is refused."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest

from estimator.domain.contract.acceptance import TEARDOWN_ONLY
from estimator.domain.contract.remeasure import Wanted, priced_line
from estimator.domain.contract.variation import (
    CONTRACT_SUM,
    REQUEST,
    Variation,
)
from estimator.services.accept_quote import accept_quote
from estimator.services.answer_variation import (
    Answer,
    answer_as_manager,
    record_customers_answer,
    who_may,
)
from estimator.services.edit_job import make_edit
from estimator.services.errors import Conflict, NotAllowed, NotFound, Refused
from estimator.services.issue_quote import revise_job
from estimator.services.record_teardown import (
    Found,
    MeasuredAgain,
    Opening,
    open_component,
    receive_machine,
)
from estimator.services.settle_contract import (
    close_account,
    hand_over,
    invoice_stage,
    read_account,
    stop_job,
    stop_offer,
)
from estimator.services.vary_contract import (
    Move,
    make_safe,
    move_variation,
    raise_variation,
    revise_variation,
)
from estimator.services.verify_record import verify_record
from estimator.services.write_contract import contract_here
from estimator.storage.contract_record import contract_row, waiting_rows
from tests.acts.contracts import (
    FINANCE,
    FLEET,
    accept_golden,
    arrived,
    golden_terms,
    issue_golden,
    pounds,
)
from tests.acts.workshop import ESTIMATOR, FOREMAN, INSPECTOR, MANAGER, NOW, VIEWER, edited

DAY = timedelta(days=1)


@pytest.fixture
def number(record, catalogue):
    return accept_golden(record, catalogue)


def here(record, number):
    with record.reading() as session:
        return contract_here(session, number)[1]


def request(**changes) -> Variation:
    plain = Variation(
        number="", revision=0, found_at=NOW, finder=ESTIMATOR.name, component="C12A",
        location="cab roof", title="Brighter work lights", cause=REQUEST, end=CONTRACT_SUM,
        consequence="dark", priced_by=ESTIMATOR.name,
    )  # fmt: skip
    return replace(plain, **changes)


def lights(record, number):
    """Six lights at 145 and 12 hours of an electrician, at the quote's own rates."""
    work = here(record, number).work
    return (
        priced_line(
            work,
            Wanted(
                kind="parts",
                what="Work lights",
                quantity=Decimal(6),
                unit_cost=Decimal(145),
                markup="A",
            ),
        ),
        priced_line(
            work, Wanted(kind="labour", what="Fit and wire", quantity=Decimal(12), trade="EL")
        ),
    )


def test_the_contract_sum_is_the_frozen_revisions(record, number):
    contract = here(record, number).contract
    assert contract.acceptance.contract_sum == pounds(275_946)
    assert contract.acceptance.contingency == pounds(31_317)
    assert contract.current_sum == pounds(275_946)


def test_the_job_changes_no_more(record, number):
    with pytest.raises(Conflict, match="accepted and no longer changes"):
        edit = edited(record, number, "level", lambda job: replace(job, level="driveline"))
        make_edit(record, number, edit, ESTIMATOR, NOW)
    with pytest.raises(Conflict, match="is accepted"):
        revise_job(record, number, ESTIMATOR, NOW)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"revision": "B"}, "only the revision that is issued"),
        ({"on": datetime(2026, 12, 30, tzinfo=UTC)}, "was valid until"),
        ({"on": datetime(2026, 11, 1, tzinfo=UTC)}, "after that day"),
        ({"approvers": ()}, "nobody of the customer may approve"),
    ],
)
def test_what_cannot_be_accepted(record, catalogue, changes, words):
    number = issue_golden(record, catalogue)
    with pytest.raises(Conflict, match=words):
        accept_quote(record, number, golden_terms(**changes), ESTIMATOR, NOW)
    with pytest.raises(NotFound, match="accepted yet"):
        here(record, number)


def test_a_draft_is_not_accepted_and_a_viewer_accepts_nothing(record, catalogue):
    number = issue_golden(record, catalogue)
    with pytest.raises(NotAllowed):
        accept_quote(record, number, golden_terms(), VIEWER, NOW)


def test_a_price_is_held_past_its_day_by_the_service_manager_alone(record, catalogue):
    number = issue_golden(record, catalogue)
    late = golden_terms(on=datetime(2027, 1, 10, tzinfo=UTC))
    with pytest.raises(NotAllowed):
        accept_quote(record, number, late, ESTIMATOR, NOW, held=True)
    accept_quote(record, number, late, MANAGER, NOW, held=True)
    assert here(record, number).contract.current_sum == pounds(275_946)


def test_teardown_only_is_the_strips_own_price(record, catalogue):
    number = issue_golden(record, catalogue)
    accept_quote(record, number, golden_terms(extent=TEARDOWN_ONLY), ESTIMATOR, NOW)
    contract = here(record, number).contract
    assert not contract.acceptance.contingency
    offer = stop_offer(record, number)
    assert contract.current_sum == offer.net
    stop_job(record, number, "reassembly", "Put it back.", FLEET, MANAGER, NOW)
    assert here(record, number).state == "stopped"


def test_opening_a_component_makes_a_variation_of_each_worn_part(record, number):
    receive_machine(record, number, "two keys, fuel 40 %", FOREMAN, NOW)
    opening = Opening(
        "C05B",
        found=(
            Found("P-CWR", "sound"),
            Found("P-PLR", "worn", location="rear axle, right", measured="54.90, limit 54.92"),
        ),
        measured=(MeasuredAgain("P-BDR", Decimal(1), by_factor=True),),
        cautions_ticked=("K03", "K04"),
    )
    after = open_component(record, number, opening, INSPECTOR, NOW)
    case = after.contract.case("V01")
    assert case.state == "found"
    assert case.variation.parts == ("P-PLR",)
    assert case.variation.range.low == pounds(2300)
    assert after.contract.resolved == {"P-CWR": "sound", "P-PLR": "worn"}
    with pytest.raises(Conflict, match="P-CWR is resolved already"):
        open_component(record, number, Opening("C05B", (Found("P-CWR", "worn"),)), INSPECTOR, NOW)


def test_an_opening_with_faults_names_every_one(record, number):
    opening = Opening(
        "C99",
        found=(Found("P-NIL", "worn"), Found("P-CWR", "broken"), Found("P-LIN", "worn")),
        measured=(MeasuredAgain("P-NIL", Decimal(2)),),
    )
    with pytest.raises(Refused) as refused:
        open_component(record, number, opening, INSPECTOR, NOW)
    assert [problem.place.column for problem in refused.value.problems] == [
        "component", "P-NIL", "P-CWR", "P-LIN", "P-NIL",
    ]  # fmt: skip
    assert len(here(record, number).contract.events) == 1


def test_a_request_from_price_to_done(record, number):
    raise_variation(record, number, request(lines=lights(record, number)), ESTIMATOR, NOW)
    move_variation(record, number, Move(variation="V01", act="issue"), ESTIMATOR, NOW)
    with pytest.raises(NotAllowed, match="only the customer"):
        answer_as_manager(
            record, number, [Answer(variation="V01", revision=0, act="approve")], MANAGER, NOW
        )
    answer = Answer(
        variation="V01", revision=0, act="approve", channel="e-mail", words="Please add."
    )
    after = record_customers_answer(record, number, answer, FLEET, ESTIMATOR, NOW)
    # 6 x 145 x 1.30 = 1,131; 12 x 81.50 = 978
    assert after.contract.current_sum == pounds(275_946 + 1131 + 978)
    with pytest.raises(NotAllowed, match="may not release work"):
        move_variation(record, number, Move(variation="V01", act="release"), ESTIMATOR, NOW)
    move_variation(record, number, Move(variation="V01", act="release"), FOREMAN, NOW)
    move_variation(record, number, Move(variation="V01", act="finish"), FOREMAN, NOW)
    assert here(record, number).contract.case("V01").state == "done"


def test_two_desks_answer_at_once_and_the_second_is_told(record, number):
    raise_variation(record, number, request(lines=lights(record, number)), ESTIMATOR, NOW)
    move_variation(record, number, Move(variation="V01", act="issue"), ESTIMATOR, NOW)
    answer = Answer(variation="V01", revision=0, act="approve", channel="e-mail", words="Yes.")
    record_customers_answer(record, number, answer, FLEET, ESTIMATOR, NOW)
    with pytest.raises(Conflict, match="what is approved cannot") as told:
        record_customers_answer(
            record, number, replace(answer, act="decline", words="No."), FLEET, MANAGER, NOW
        )
    assert FLEET in told.value.remedy


def test_a_superseded_revision_is_not_answered(record, number):
    lines = lights(record, number)
    raise_variation(record, number, request(lines=lines), ESTIMATOR, NOW)
    move_variation(record, number, Move(variation="V01", act="issue"), ESTIMATOR, NOW)
    first = here(record, number).contract.case("V01").variation
    revise_variation(record, number, replace(first, lines=lines[:1]), ESTIMATOR, NOW)
    answer = Answer(variation="V01", revision=0, act="approve", channel="e-mail", words="Yes.")
    with pytest.raises(Conflict, match="superseded by rev 1"):
        record_customers_answer(record, number, answer, FLEET, ESTIMATOR, NOW)
    with pytest.raises(Conflict, match="is followed by rev 2"):
        revise_variation(record, number, first, ESTIMATOR, NOW)


def test_above_the_limit_it_says_who_is_asked(record, number):
    arrived(record, number)
    opening = Opening("C03A", (Found("P-TGR", "worn"),))
    open_component(record, number, opening, INSPECTOR, NOW)
    case = here(record, number).contract.case("V01")
    work = here(record, number).work
    gears = Wanted(
        kind="parts", what="Gear train", quantity=Decimal(1), unit_cost=Decimal(4100),
        currency="EUR", markup="B", part="P-TGR",
    )  # fmt: skip
    line = priced_line(work, gears)
    priced = replace(case.variation, lines=(line,), range=None)
    revise_variation(record, number, priced, ESTIMATOR, NOW)
    with pytest.raises(NotAllowed, match="above 2,500.00 GBP for one") as refused:
        answer_as_manager(
            record, number, [Answer(variation="V01", revision=1, act="approve")], MANAGER, NOW
        )
    assert refused.value.remedy == f"Ask {FLEET}, fleet manager."
    verdict = who_may(record, number, "V01", FINANCE)
    assert verdict.may


def test_several_at_once_or_none(record, number):
    arrived(record, number)
    for part in ("P-HB1", "P-HB2", "P-HB3"):
        open_component(record, number, Opening("C05C", (Found(part, "worn"),)), INSPECTOR, NOW)
    work = here(record, number).work
    for name, cost in (("V01", 500), ("V02", 700), ("V03", 2400)):
        case = here(record, number).contract.case(name)
        wanted = Wanted(
            kind="outwork", what="Build up", quantity=Decimal(1), unit_cost=Decimal(cost),
            markup="W",
        )  # fmt: skip
        line = priced_line(work, wanted)
        priced = replace(case.variation, lines=(line,), range=None)
        revise_variation(record, number, priced, ESTIMATOR, NOW)
    answers = [Answer(variation=n, revision=1, act="approve") for n in ("V01", "V02", "V03")]
    with pytest.raises(NotAllowed, match="V03"):
        answer_as_manager(record, number, answers, MANAGER, NOW)
    assert here(record, number).contract.left == pounds(31_317)
    after = answer_as_manager(record, number, answers[:2], MANAGER, NOW)
    assert after.contract.left == pounds(31_317 - 575 - 805)


def test_safety_work_goes_ahead_and_is_marked(record, number):
    arrived(record, number)
    found = Found("P-BPR", "worn", cannot_be_declined="brakes are a safety part")
    open_component(record, number, Opening("C06A", (found,)), INSPECTOR, NOW)
    after = make_safe(record, number, "V01", pounds(80), FOREMAN, NOW)
    assert after.contract.case("V01").made_safe
    assert after.contract.case("V01").state == "found"


def test_to_the_end(record, number):
    invoice_stage(record, number, "S1", Decimal("0.25"), MANAGER, NOW)
    with pytest.raises(Conflict, match="not handed over"):
        close_account(record, number, MANAGER, NOW)
    hand_over(record, number, FLEET, "Received.", MANAGER, NOW)
    final = close_account(record, number, MANAGER, NOW)
    assert final.net == pounds(275_946 - 31_317)
    assert read_account(record, number) == final
    with pytest.raises(Conflict, match="the account is closed"):
        invoice_stage(record, number, "S2", Decimal("0.25"), MANAGER, NOW)
    assert here(record, number).state == "closed"


def test_a_clock_that_runs_backwards_is_refused(record, number):
    with pytest.raises(Conflict, match="before the last entry"):
        receive_machine(record, number, "", FOREMAN, NOW - DAY)


def test_what_waits_is_listed_without_folding(record, number):
    arrived(record, number)
    open_component(record, number, Opening("C05C", (Found("P-HB1", "worn"),)), INSPECTOR, NOW)
    raise_variation(record, number, request(lines=lights(record, number)), ESTIMATOR, NOW)
    move_variation(record, number, Move(variation="V02", act="issue"), ESTIMATOR, NOW)
    with record.reading() as session:
        rows = {row["number"]: row for row in waiting_rows(session)}
        kept = contract_row(session, rows["V01"]["job_id"])
    assert rows["V01"]["waits_on"] == "estimator"
    assert (rows["V02"]["waits_on"], rows["V02"]["ask"]) == ("customer", f"{FLEET}, fleet manager")
    assert rows["V02"]["amount"] == 210_900
    assert kept["events"] == 6
    assert kept["left"] == 3_131_700


def test_the_log_holds_every_act_and_is_whole(record, number):
    receive_machine(record, number, "two keys", FOREMAN, NOW)
    assert not verify_record(record).faults
