"""Beginning jobs, proposing them for release, and what stands still open on them."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.job import Party
from estimator.domain.priced_job import PricedJob
from estimator.services.begin_job import Enquiry, begin_job
from estimator.services.edit_job import make_edit, open_draft
from estimator.services.errors import Conflict, NotAllowed, Refused
from estimator.services.issue_quote import issue_quote, revise_job
from estimator.services.keep_standing import kept_standing, note_standing
from estimator.services.list_jobs import list_jobs
from estimator.services.open_record import Record
from estimator.services.price_job import reckoned
from estimator.services.propose_release import propose, withdraw
from estimator.services.verify_record import job_history, verify_record
from tests.acts.workshop import (
    ESTIMATOR,
    INSPECTOR,
    LATER,
    MANAGER,
    NOW,
    adopt_all,
    edited,
    keep_golden,
)

ENQUIRY = Enquiry("WL28", Party("Oakmere Quarries"), "WL28-00119", Decimal(11_200), note="urgent")


def test_a_job_begins_on_the_usual_terms(record: Record, catalogue: Catalogue) -> None:
    number = begin_job(record, catalogue, ESTIMATOR, NOW, ENQUIRY)
    assert number == "Q-0001"
    draft = open_draft(record, number)
    job = draft.job
    assert (job.machine.class_id, job.machine.hours) == ("WL28", 11_200)
    assert (job.customer.name, job.note, job.estimator) == ("Oakmere Quarries", "urgent", "P. Holt")
    assert (draft.state, draft.undo, draft.kept) == ("draft", "", {})
    assert [one.act for one in job_history(record, number)] == ["begun"]


def test_numbers_go_on_above_those_taken_in(record: Record, catalogue: Catalogue) -> None:
    assert begin_job(record, catalogue, ESTIMATOR, NOW, ENQUIRY) == "Q-0001"
    keep_golden(record)  # Q-2041
    keep_golden(record, number="Q-77b")
    numbers = [begin_job(record, catalogue, ESTIMATOR, NOW, ENQUIRY) for _ in range(3)]
    assert numbers == ["Q-2042", "Q-2043", "Q-2044"]
    with pytest.raises(Refused):
        begin_job(record, catalogue, ESTIMATOR, NOW, replace(ENQUIRY, class_id="NONE"))
    assert begin_job(record, catalogue, ESTIMATOR, NOW, ENQUIRY) == "Q-2045"


@pytest.mark.parametrize(
    "changes",
    [{"class_id": "NONE"}, {"hours": Decimal(-1)}, {"level": "half"}, {"note": "a\0b"},
     {"customer": Party("\ud800")}, {"duty": Decimal(0)}, {"serial": "\u202e417"}],
)  # fmt: skip
def test_what_cannot_begin_is_refused(record: Record, catalogue: Catalogue, changes: dict) -> None:
    with pytest.raises(Refused):
        begin_job(record, catalogue, ESTIMATOR, NOW, replace(ENQUIRY, **changes))
    assert list_jobs(record, today=NOW.date()) == []


def test_what_is_not_known_is_marked_and_keeps_it_from_issue(
    record: Record, catalogue: Catalogue
) -> None:
    number = begin_job(record, catalogue, ESTIMATOR, NOW)
    draft = open_draft(record, number)
    assert set(draft.kept) == {"customer/name", "machine/hours"}
    assert draft.reasons["machine/hours"] == "the hours are not known yet"
    with pytest.raises(Conflict, match="not valid yet"):
        propose(record, number, ESTIMATOR, NOW)
    with pytest.raises(Conflict, match="not valid yet"):
        issue_quote(record, number, catalogue, ESTIMATOR, MANAGER, NOW)
    edit = edited(
        record, number, "enquiry",
        lambda job: replace(job, machine=replace(job.machine, hours=Decimal(9400)),
                            customer=replace(job.customer, name="Oakmere Quarries")),
    )  # fmt: skip
    assert make_edit(record, number, edit, ESTIMATOR, NOW).kept == {}


def test_an_inspector_begins_nothing(record: Record, catalogue: Catalogue) -> None:
    with pytest.raises(NotAllowed):
        begin_job(record, catalogue, INSPECTOR, NOW, ENQUIRY)


def test_proposing_waits_on_a_manager_until_an_edit(record: Record) -> None:
    number = keep_golden(record)
    with pytest.raises(NotAllowed):
        propose(record, number, INSPECTOR, NOW)
    assert propose(record, number, ESTIMATOR, LATER).state == "proposed"
    (listed,) = list_jobs(record, today=NOW.date(), state="proposed")
    assert (listed.waits_for, listed.since) == ("service manager", LATER)
    with pytest.raises(Conflict, match="proposed already"):
        propose(record, number, ESTIMATOR, LATER)
    edit = edited(record, number, "note", lambda job: replace(job, note="x"))
    draft = make_edit(record, number, edit, ESTIMATOR, LATER)
    assert draft.state == "draft"
    assert draft.notice == "Q-2041 rev A was proposed for release; it is a draft again."
    assert make_edit(record, number, edit, ESTIMATOR, LATER).notice == ""
    propose(record, number, ESTIMATOR, LATER)
    assert withdraw(record, number, MANAGER, LATER).state == "draft"
    with pytest.raises(Conflict, match="is a draft"):
        withdraw(record, number, MANAGER, LATER)


def test_the_figures_last_worked_out_stand_in_the_list(
    record: Record, priced: PricedJob, catalogue: Catalogue
) -> None:
    number = keep_golden(record)
    sound = reckoned(open_draft(record, number).job, priced.cat)
    assert note_standing(record, sound, LATER)
    (listed,) = list_jobs(record, today=NOW.date())
    assert listed.standing is not None
    assert str(listed.standing.net) == "275,946.00 GBP"
    assert listed.standing.finish_covered == sound.finish.days[0.8]
    assert (listed.standing.area, listed.standing.job_version) == ("scope", listed.version)
    edit = edited(record, number, "note", lambda job: replace(job, note="x"))
    make_edit(record, number, edit, ESTIMATOR, LATER)
    assert not note_standing(record, sound, LATER)  # the job has gone on
    kept = kept_standing(record, number)
    assert kept == listed.standing


def test_a_proposed_revision_is_issued_and_expires(record: Record, catalogue: Catalogue) -> None:
    number = keep_golden(record)
    propose(record, number, ESTIMATOR, NOW)
    adopt_all(record, number, catalogue)
    issued = issue_quote(record, number, catalogue, ESTIMATOR, MANAGER, LATER)
    (listed,) = list_jobs(record, today=NOW.date())
    assert (listed.state, listed.waits_for, listed.since) == ("issued", "customer", LATER)
    assert listed.next_date == ("valid until", issued.valid_until)
    assert listed.standing is not None
    assert listed.standing.net == issued.net == listed.net
    after = issued.valid_until.replace(year=issued.valid_until.year + 1)
    (listed,) = list_jobs(record, today=after, state="expired")
    assert (listed.state, listed.waits_for) == ("expired", "estimator")
    assert list_jobs(record, today=issued.valid_until, state="expired") == []
    revise_job(record, number, ESTIMATOR, LATER)
    (listed,) = list_jobs(record, today=after)
    assert (listed.state, listed.valid_until) == ("draft", None)
    assert verify_record(record).faults == ()
