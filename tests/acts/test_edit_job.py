"""Editing a recorded job: merged with what others did, undone until issue, refused where due."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.job import Job, LineChange, OwnLine, ScopeChange
from estimator.domain.job_edit import Change, JobEdit, edit_between
from estimator.services.edit_job import (
    drop_text,
    edits_of,
    keep_text,
    make_edit,
    open_draft,
    redo_edit,
    undo_edit,
)
from estimator.services.errors import Clash, Conflict, NotAllowed, NotFound, Refused
from estimator.services.issue_quote import issue_quote, revise_job
from estimator.services.keep_job import recorded_job
from estimator.services.open_record import Record, open_record
from estimator.services.verify_record import job_history, verify_record
from tests.acts.workshop import (
    ESTIMATOR,
    FOREMAN,
    INSPECTOR,
    LATER,
    MANAGER,
    NOW,
    VIEWER,
    adopt_all,
    edited,
    keep_golden,
    with_cell,
)


@pytest.fixture
def number(record: Record) -> str:
    return keep_golden(record)


def everything(job: Job) -> Job:
    """A change of each kind there is."""
    return replace(
        job,
        level="driveline",
        note="back before the harvest",
        wanted_by=NOW.date(),
        machine=replace(job.machine, hours=Decimal("14861.5"), history=()),
        customer=replace(job.customer, address=("1 Mill Lane", "Ostrey")),
        terms=replace(job.terms, confidence=Decimal("0.9"), stages=job.terms.stages[:1]),
        exchange_rates={},
        findings=(
            *(replace(one, note="again") for one in job.findings[1:3]),
            *job.findings[4:],
            replace(job.findings[0], id="I99"),
        ),
        added=(ScopeChange("O-1", "asked for", "P. Holt"),),
        removed=(ScopeChange("O-2", "done before", "P. Holt"),),
        kept=(ScopeChange("O-1+O-3", "twice on purpose", "P. Holt"),),
        ways={"P-TCK": "exchange"},
        changed=(LineChange("O-5", Decimal("2.5"), None, "seen", "P. Holt", NOW.date()),),
        own=(
            OwnLine("X01", "C01A", "Paint", "parts", Decimal(3), Decimal(2), Decimal(5), "L", "",
                    Decimal("18.40"), "paint", "not in the list", "P. Holt"),
        ),
    )  # fmt: skip


def test_every_kind_of_edit_is_made_undone_and_redone(record: Record, number: str) -> None:
    before = open_draft(record, number)
    edit = edited(record, number, "all of it", everything)
    made = make_edit(record, number, edit, ESTIMATOR, LATER)
    assert made.job == everything(before.job)
    assert (made.undo, made.redo, made.version) == ("all of it", "", before.version + 1)
    assert recorded_job(record, number)[0] == made.job
    undone = undo_edit(record, number, ESTIMATOR, LATER)
    assert undone.job == before.job == recorded_job(record, number)[0]
    assert (undone.undo, undone.redo) == ("", "all of it")
    assert redo_edit(record, number, ESTIMATOR, LATER).job == made.job
    acts = [one.act for one in job_history(record, number)]
    assert acts == ["all of it", "undo all of it", "redo all of it"]
    assert verify_record(record).faults == ()


def test_undo_survives_a_restart(tmp_path: Path) -> None:
    path = tmp_path / "record.db"
    with open_record(path, NOW) as record:
        number = keep_golden(record)
        before = recorded_job(record, number)[0]
        for n in range(3):
            edit = edited(record, number, f"note {n}", lambda job, n=n: replace(job, note=f"{n}"))
            make_edit(record, number, edit, ESTIMATOR, NOW)
    with open_record(path, LATER) as record:
        names = []
        while (draft := open_draft(record, number)).undo:
            names.append(draft.undo)
            undo_edit(record, number, MANAGER, LATER)
        assert names == [f"note {n} (P. Holt)" for n in (2, 1, 0)]  # somebody else sees whose
        assert recorded_job(record, number)[0] == before


def test_a_new_edit_ends_redoing(record: Record, number: str) -> None:
    for level in ("driveline", "engine"):
        edit = edited(record, number, level, lambda job, level=level: replace(job, level=level))
        make_edit(record, number, edit, ESTIMATOR, NOW)
    undo_edit(record, number, ESTIMATOR, NOW)
    edit = edited(record, number, "note", lambda job: replace(job, note="x"))
    draft = make_edit(record, number, edit, ESTIMATOR, NOW)
    assert (draft.undo, draft.redo) == ("note", "")
    with pytest.raises(NotFound, match="nothing to redo"):
        redo_edit(record, number, ESTIMATOR, NOW)
    assert [one.name for one in edits_of(record, number)] == ["driveline", "note"]


def test_edits_of_different_values_merge(record: Record, number: str) -> None:
    mine = edited(record, number, "reading", with_cell("I03", measured=Decimal("2.1")))
    theirs = edited(record, number, "level", lambda job: replace(job, level="driveline"))
    same_row = edited(record, number, "note", with_cell("I03", note="hot"))
    for edit in (theirs, same_row, mine):
        draft = make_edit(record, number, edit, ESTIMATOR, NOW)
    third = next(one for one in draft.job.findings if one.id == "I03")
    assert (draft.job.level, third.measured, third.note) == ("driveline", Decimal("2.1"), "hot")


def test_the_same_value_clashes_and_nothing_is_written(record: Record, number: str) -> None:
    mine = edited(record, number, "reading of I03", with_cell("I03", measured=Decimal("2.1")))
    theirs = edited(record, number, "reading of I03", with_cell("I03", measured=Decimal("3.4")))
    kept = make_edit(record, number, theirs, INSPECTOR, NOW)
    with pytest.raises(Clash) as caught:
        make_edit(record, number, mine, ESTIMATOR, NOW)
    ((key, there, here),) = [(c.key, c.theirs, c.mine) for c in caught.value.clashes]
    assert (key, there, here) == (("finding", "I03", "measured"), Decimal("3.4"), Decimal("2.1"))
    assert caught.value.message == (
        "A. Rowe changed measured of I03 to 3.4 meanwhile; yours is 2.1."
    )
    assert open_draft(record, number).job == kept.job
    draft = make_edit(record, number, mine, ESTIMATOR, NOW, force=True)
    assert next(one for one in draft.job.findings if one.id == "I03").measured == Decimal("2.1")
    undone = undo_edit(record, number, ESTIMATOR, NOW)  # back to theirs, not to what I had seen
    assert undone.job == kept.job


def test_a_blank_cell_is_filled(record: Record, number: str) -> None:
    blank = edited(record, number, "blank", with_cell("I03", measured=None))
    make_edit(record, number, blank, INSPECTOR, NOW)
    filled = edited(record, number, "filled", with_cell("I03", measured=Decimal("2.1")))
    make_edit(record, number, filled, INSPECTOR, NOW)
    undo_edit(record, number, INSPECTOR, NOW)
    draft = undo_edit(record, number, INSPECTOR, NOW)
    assert next(one for one in draft.job.findings if one.id == "I03").measured == Decimal("1.9")


def test_a_reading_of_a_finding_that_is_gone_clashes(record: Record, number: str) -> None:
    mine = edited(record, number, "reading", with_cell("I03", measured=Decimal("2.1")))
    gone = edited(
        record, number, "I03 taken out",
        lambda job: replace(job, findings=tuple(f for f in job.findings if f.id != "I03")),
    )  # fmt: skip
    make_edit(record, number, gone, ESTIMATOR, NOW)
    with pytest.raises(Clash, match="measured of I03 to nothing"):
        make_edit(record, number, mine, ESTIMATOR, NOW)


def test_undo_takes_back_only_what_is_seen(record: Record, number: str) -> None:
    edit = edited(record, number, "level", lambda job: replace(job, level="driveline"))
    seen = make_edit(record, number, edit, ESTIMATOR, NOW)
    theirs = edited(record, number, "note", lambda job: replace(job, note="x"))
    make_edit(record, number, theirs, MANAGER, NOW)
    with pytest.raises(Conflict, match="changed by someone else"):
        undo_edit(record, number, ESTIMATOR, NOW, version=seen.version)
    assert open_draft(record, number).undo == "note (J. Tarn)"


def test_an_edit_of_nothing_is_no_edit(record: Record, number: str) -> None:
    before = open_draft(record, number)
    assert make_edit(record, number, JobEdit("nothing", ()), ESTIMATOR, NOW) == before
    level = before.job.level
    same = JobEdit("level", (Change(("level",), "elsewhere", level),))  # it is there already
    assert make_edit(record, number, same, ESTIMATOR, NOW) == before
    assert job_history(record, number) == []


@pytest.mark.parametrize("who", [INSPECTOR, FOREMAN])
def test_evidence_is_all_that_an_inspector_edits(record: Record, number: str, who) -> None:
    reading = edited(record, number, "reading", with_cell("I03", measured=Decimal("2.1")))
    make_edit(record, number, reading, who, NOW)
    level = edited(record, number, "level", lambda job: replace(job, level="driveline"))
    with pytest.raises(NotAllowed, match="may not edit more than findings and photographs"):
        make_edit(record, number, level, who, NOW)
    make_edit(record, number, level, ESTIMATOR, NOW)
    with pytest.raises(NotAllowed):
        undo_edit(record, number, who, NOW)


def test_a_viewer_edits_nothing(record: Record, number: str) -> None:
    reading = edited(record, number, "reading", with_cell("I03", measured=Decimal("2.1")))
    with pytest.raises(NotAllowed, match=r"L\. Quill \(viewer\) may not record findings"):
        make_edit(record, number, reading, VIEWER, NOW)
    with pytest.raises(NotAllowed):
        keep_text(record, number, "finding/I03/measured", "2,1x", "no number", VIEWER, NOW)
    assert open_draft(record, number).kept == {}


@pytest.mark.parametrize("after", ["half \ud800 of one", "a\0b", "\x1b[2J", "a\u202eb"])
def test_what_cannot_be_kept_is_refused(record: Record, number: str, after: str) -> None:
    with pytest.raises(Refused) as caught:
        make_edit(record, number, JobEdit("note", (Change(("note",), "", after),)), ESTIMATOR, NOW)
    assert caught.value.problems[0].place.column == "note"
    for value in (Decimal("NaN"), 1.5):
        edit = JobEdit("hours", (Change(("machine", "hours"), Decimal(1), value),))
        with pytest.raises(Refused):
            make_edit(record, number, edit, ESTIMATOR, NOW)


def test_number_and_revision_are_the_records(record: Record, number: str) -> None:
    edit = edited(record, number, "revision", lambda job: replace(job, revision="Z"))
    with pytest.raises(Refused):
        make_edit(record, number, edit, ESTIMATOR, NOW)


def test_text_is_kept_until_its_place_is_edited(record: Record, number: str) -> None:
    place, hostile = "finding/I03/measured", "2,1x'; drop table job; --\ud800\0"
    keep_text(record, number, place, hostile, "is no number", INSPECTOR, NOW)
    keep_text(record, number, "finding/I04/date", "soon", "is no day", INSPECTOR, NOW)
    keep_text(record, number, "machine/hours", "many", "is no number", ESTIMATOR, NOW)
    draft = open_draft(record, number)
    assert draft.kept[place] == "2,1x'; drop table job; --\ufffd\ufffd"
    assert draft.reasons[place] == "is no number"
    edit = edited(record, number, "reading", with_cell("I03", measured=Decimal("2.1")))
    assert set(make_edit(record, number, edit, INSPECTOR, NOW).kept) == {
        "finding/I04/date", "machine/hours",
    }  # fmt: skip
    gone = edited(
        record, number, "I04 taken out",
        lambda job: replace(job, findings=tuple(f for f in job.findings if f.id != "I04")),
    )  # fmt: skip
    assert set(make_edit(record, number, gone, INSPECTOR, NOW).kept) == {"machine/hours"}
    drop_text(record, number, "machine/hours", ESTIMATOR, NOW)
    assert open_draft(record, number).kept == {}


def test_issue_ends_undoing_and_editing(record: Record, number: str, catalogue: Catalogue) -> None:
    edit = edited(record, number, "note", lambda job: replace(job, note="as agreed"))
    make_edit(record, number, edit, ESTIMATOR, NOW)
    keep_text(record, number, "terms/confidence", "most", "is no share", ESTIMATOR, NOW)
    with pytest.raises(Conflict, match="not valid yet, and so is in no price: terms/confidence"):
        issue_quote(record, number, catalogue, ESTIMATOR, MANAGER, LATER)
    drop_text(record, number, "terms/confidence", ESTIMATOR)
    adopt_all(record, number, catalogue)
    issue_quote(record, number, catalogue, ESTIMATOR, MANAGER, LATER)
    draft = open_draft(record, number)
    assert (draft.state, draft.undo, edits_of(record, number)) == ("issued", "", [])
    again = edit_between(draft.job, replace(draft.job, note="more"), "note")
    with pytest.raises(Conflict, match=r"rev A is issued and no longer changes") as caught:
        make_edit(record, number, again, ESTIMATOR, LATER)
    assert caught.value.remedy == "Make rev B first."
    revise_job(record, number, ESTIMATOR, LATER)
    assert make_edit(record, number, again, ESTIMATOR, LATER).job.note == "more"
