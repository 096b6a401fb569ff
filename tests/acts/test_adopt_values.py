"""A quote that rests on starting values goes out only once somebody stands for them."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.domain.adoption import count_parts, starting_values
from estimator.domain.catalogue.catalogue import Catalogue
from estimator.services.adopt_values import adopt, adoptions, not_adopted
from estimator.services.errors import NotAllowed, Refused, Withheld
from estimator.services.issue_quote import issue_quote, revise_job
from estimator.services.keep_job import recorded_job
from estimator.services.open_record import Record
from estimator.services.verify_record import verify_record
from estimator.services.work_out import work_out
from estimator.storage.change_log import entries
from tests.acts.workshop import (
    ESTIMATOR,
    INSPECTOR,
    LATER,
    MANAGER,
    NOW,
    golden_job,
    keep_golden,
)
from tests.unit.changed import row_changed

WHY = "they fit what we have seen"


def test_a_quote_waits_until_they_are_adopted(record: Record, catalogue: Catalogue) -> None:
    number = keep_golden(record)
    with pytest.raises(Withheld) as caught:
        issue_quote(record, number, catalogue, ESTIMATOR, MANAGER, NOW)
    work = work_out(golden_job(), catalogue)
    count = count_parts(starting_values(work.exposed, work.cat))
    assert f"{count} chances rest on starting values that nobody has adopted" in str(caught.value)
    assert "Adopt them" in caught.value.remedy and "inspection" in caught.value.remedy
    assert recorded_job(record, number)[1] == "draft"
    # adopted in one act with the release, by the releaser
    issued = issue_quote(record, number, catalogue, ESTIMATOR, MANAGER, NOW, adopt_why=WHY)
    assert str(issued.net) == "275,946.00 GBP"
    assert {(one.who, one.at, one.why) for one in adoptions(record)} == {("J. Tarn", NOW, WHY)}
    with record.reading() as session:
        said = [one for one in entries(session) if one.act == "starting values adopted"]
    assert json.loads(said[0].after)["values"]["P-TGR"] == "shape 3, chance 0.09 at 15000 h"
    # the next quote needs no more
    revise_job(record, number, ESTIMATOR, LATER)
    issue_quote(record, number, catalogue, ESTIMATOR, MANAGER, LATER)
    assert len(said) == 1
    assert verify_record(record).faults == ()


def test_who_may_and_with_what_reason(record: Record, catalogue: Catalogue) -> None:
    values = not_adopted(record, work_out(golden_job(), catalogue))
    for person in (ESTIMATOR, INSPECTOR):
        with pytest.raises(NotAllowed, match="may not release"):
            adopt(record, values, person, NOW, WHY)
    for reason in (" ", "\n", "a\x00b"):
        with pytest.raises(Refused):
            adopt(record, values, MANAGER, NOW, reason)
    assert adoptions(record) == []
    assert adopt(record, values[:2], MANAGER, NOW, WHY) == 2
    assert adopt(record, values, MANAGER, NOW, WHY) == len(values) - 2  # once each
    assert adopt(record, values, MANAGER, NOW, WHY) == 0
    assert not_adopted(record, work_out(golden_job(), catalogue)) == ()


def test_it_holds_for_other_jobs_and_ends_where_the_catalogue_says_another_thing(
    record: Record, catalogue: Catalogue
) -> None:
    adopt(record, not_adopted(record, work_out(golden_job(), catalogue)), MANAGER, NOW, WHY)
    job = golden_job()
    other = replace(job, number="Q-1", machine=replace(job.machine, hours=Decimal(16000)))
    assert not_adopted(record, work_out(other, catalogue)) == ()
    changed = row_changed(catalogue, "wear", "P-TGR", starting_chance=Decimal("0.1"))
    changed = replace(changed, fingerprint="another edition")
    (left,) = not_adopted(record, work_out(job, changed))
    assert left.parts == ("P-TGR",)
