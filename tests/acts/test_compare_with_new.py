"""A recorded job beside a new machine: its inputs are kept, undone, exported, and printed."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.job_edit import edit_between
from estimator.domain.priced_job import PricedJob
from estimator.services.compare_revisions import as_priced, compare
from estimator.services.compare_with_new import (
    compare_recorded,
    compare_with_new,
    comparison_bytes,
    faults_by_input,
    print_comparison,
    recorded_priced,
)
from estimator.services.edit_job import make_edit, open_draft, redo_edit, undo_edit
from estimator.services.errors import Clash, Conflict, NotAllowed, NotFound, NotWritten, Refused
from estimator.services.issue_quote import issue_quote
from estimator.services.keep_job import export_job, recorded_job, take_in_job
from estimator.services.open_record import Record
from estimator.services.verify_record import job_history, verify_record
from tests.acts.workshop import (
    ESTIMATOR,
    INSPECTOR,
    LATER,
    MANAGER,
    NOW,
    WHY_ADOPTED,
    keep_golden,
)
from tests.new_machines import FULL, one

NAME = "the new machine it is compared with"


@pytest.fixture
def number(record: Record) -> str:
    return keep_golden(record)


def give(record: Record, number: str, given: object, who: object = ESTIMATOR) -> None:
    job = recorded_job(record, number)[0]
    edit = edit_between(job, replace(job, new_machine=given), NAME)  # type: ignore[arg-type]
    make_edit(record, number, edit, who, LATER)  # type: ignore[arg-type]


def test_inputs_are_kept_undone_and_redone(record: Record, number: str) -> None:
    give(record, number, FULL)
    assert recorded_job(record, number)[0].new_machine == FULL
    undo_edit(record, number, ESTIMATOR, LATER)
    assert recorded_job(record, number)[0].new_machine is None
    redo_edit(record, number, ESTIMATOR, LATER)
    assert open_draft(record, number).job.new_machine == FULL
    assert [entry.act for entry in job_history(record, number)][0] == NAME
    assert verify_record(record).faults == ()


def test_who_may_only_look_cannot_give_them(record: Record, number: str) -> None:
    with pytest.raises(NotAllowed):
        give(record, number, FULL, INSPECTOR)


def test_two_who_give_different_ones_are_asked(record: Record, number: str) -> None:
    job = recorded_job(record, number)[0]
    mine = edit_between(job, replace(job, new_machine=FULL), NAME)
    give(record, number, replace(FULL, hire_week=one("1900")))
    with pytest.raises(Clash, match="figures of a new machine"):
        make_edit(record, number, mine, MANAGER, LATER)


def test_a_job_goes_out_and_comes_in_with_them(
    record: Record, number: str, catalogue: Catalogue, tmp_path: Path
) -> None:
    give(record, number, FULL)
    folder = export_job(record, number, tmp_path / "out")
    data = json.loads((folder / "job.json").read_text())
    assert data["new_machine"]["new_price"]["likely"] == "455000"
    data["number"] = "new"
    (folder / "job.json").write_text(json.dumps(data))
    again = take_in_job(record, folder, catalogue, ESTIMATOR, NOW)
    assert recorded_job(record, again)[0].new_machine == FULL
    assert verify_record(record).faults == ()


def test_a_job_is_compared_with_what_was_given(
    record: Record, number: str, catalogue: Catalogue
) -> None:
    plain = compare_recorded(record, number, catalogue)
    assert plain.inputs.new_price is not None
    assert plain.inputs.new_price.likely == 465_000
    give(record, number, FULL)
    found = compare_recorded(record, number, catalogue)
    assert found.inputs == FULL
    assert found.priced.price.net == plain.priced.price.net
    with pytest.raises(NotFound):
        compare_recorded(record, "Q-9999", catalogue)


def test_an_issued_revision_is_compared_as_it_was_issued(
    record: Record, number: str, catalogue: Catalogue
) -> None:
    give(record, number, FULL)
    issued = issue_quote(
        record, number, catalogue, ESTIMATOR, MANAGER, LATER, adopt_why=WHY_ADOPTED
    )
    row = catalogue.tables["classes"][0]
    dearer = replace(row, new_price_likely=row.new_price_likely * 2)  # type: ignore[type-var]
    moved = replace(
        catalogue, tables={**catalogue.tables, "classes": (dearer,)}, fingerprint="another"
    )
    priced = recorded_priced(record, number, moved)
    assert priced.price.net == issued.net
    assert priced.cat.machine_class.new_price_likely == 465_000
    with pytest.raises(Conflict):
        give(record, number, None)
    assert verify_record(record).faults == ()


def test_they_are_no_difference_between_revisions(priced: PricedJob) -> None:
    given = replace(priced, job=replace(priced.job, new_machine=FULL))
    assert compare(as_priced(priced), as_priced(given)) == ()


def test_the_page_is_written_whole_and_kept_unless_told(priced: PricedJob, tmp_path: Path) -> None:
    found = compare_with_new(priced, FULL)
    path = print_comparison(found, tmp_path / "new folder" / "page.pdf")
    data = path.read_bytes()
    assert data == comparison_bytes(priced, FULL)
    path.write_text("older")
    with pytest.raises(NotWritten, match="is there already"):
        print_comparison(found, path)
    assert print_comparison(found, path, replace=True).read_bytes() == data
    with pytest.raises(NotFound, match="no number and date formats"):
        comparison_bytes(priced, FULL, "xx")


def test_what_cannot_be_is_refused_with_every_place(priced: PricedJob) -> None:
    wrong = replace(FULL, interest=one("2"), fuel_new=None, currency="EUR")
    with pytest.raises(Refused) as refused:
        compare_with_new(priced, wrong)
    assert [one.place.column for one in refused.value.problems] == [
        "[new_machine] currency", "[new_machine] interest", "[new_machine] fuel_new",
    ]  # fmt: skip
    assert set(faults_by_input(wrong, "GBP")) == {"currency", "interest", "fuel_new"}
    assert faults_by_input(FULL, "GBP") == {}
