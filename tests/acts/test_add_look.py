"""Looks put on the inspection as tasks: no figure moves by that, and the answer flows back."""

from __future__ import annotations

from dataclasses import replace

import pytest

from estimator.domain.catalogue.catalogue import Catalogue, ClassCatalogue, for_class
from estimator.domain.finding_edits import with_cell
from estimator.domain.job import Job
from estimator.domain.job_check import check_job
from estimator.domain.priced_work import held, priced_work
from estimator.domain.problem import errors_in
from estimator.services.add_look import TASK, add_look, added_looks, with_look
from estimator.services.edit_job import undo_edit
from estimator.services.errors import NotAllowed, NotFound
from estimator.services.keep_job import recorded_job
from estimator.services.open_record import Record
from tests.acts.workshop import ESTIMATOR, LATER, NOW, VIEWER, golden_job, keep_golden

OPENING, TEST, OIL, HUBS = "open/P-TGR", "T-NDT", "T-EO", "T-HUB"


@pytest.fixture(scope="module")
def job() -> Job:
    return golden_job()


@pytest.fixture
def cat(catalogue: Catalogue, job: Job) -> ClassCatalogue:
    return for_class(catalogue, job.machine.class_id)


def without(job: Job, *codes: str) -> Job:
    return replace(job, findings=tuple(one for one in job.findings if one.id not in codes))


def new_rows(before: Job, after: Job) -> list:
    old = {one.id for one in before.findings}
    return [one for one in after.findings if one.id not in old]


def answered(job: Job, cat: ClassCatalogue, code: str, result: str) -> Job:
    """The job with a result typed on one finding, as the Inspection page types it."""
    found = {one.id: one for one in job.findings}
    typed = with_cell(found[code], "result", result, cat.measures.get(found[code].measure))
    return replace(job, findings=tuple(typed if one.id == code else one for one in job.findings))


def figures(job: Job, cat: ClassCatalogue) -> tuple[object, ...]:
    work = priced_work(job, cat)
    kept = held(work)
    return (
        [(one.id, one.amount, one.line.certainty) for one in work.lines],
        work.sums,
        {part: chance.after for part, chance in work.known.chances.items()},
        kept.amount,
        kept.percentiles,
    )


@pytest.mark.parametrize("look", [OPENING, "P-TGR", TEST, "T-ESC", "T-RIM", "open/P-DSH"])
def test_a_task_moves_no_figure(job, cat, look):
    after = with_look(job, cat, look)
    assert after != job
    assert not errors_in(check_job(after, cat))
    assert figures(after, cat) == figures(job, cat)


def test_an_opening_becomes_a_row_of_its_own(job, cat):
    (row,) = new_rows(job, with_look(job, cat, OPENING))
    assert (row.kind, row.part, row.component) == ("not seen", ("P-TGR",), "C03B")
    assert row.note == TASK
    assert added_looks(with_look(job, cat, OPENING), cat) == {OPENING}


def test_an_unanswered_row_of_the_part_alone_becomes_the_task(job, cat):
    """I26 says of the drive-shaft tubes alone that they were not seen."""
    after = with_look(job, cat, "open/P-DSH")
    assert new_rows(job, after) == []
    changed = [one for one in after.findings if one not in job.findings]
    assert [(one.id, one.kind, one.note) for one in changed] == [("I26", "not seen", TASK)]
    assert added_looks(after, cat) == {"open/P-DSH"}


def test_a_test_becomes_a_row_for_each_part_it_reads(job, cat):
    rows = new_rows(job, with_look(job, cat, "T-ESC"))
    assert [(one.test, one.sign_of, one.kind) for one in rows] == [
        ("T-ESC", ("P-CWF",), "not tested"), ("T-ESC", ("P-CWR",), "not tested"),
    ]  # fmt: skip
    assert [one.id for one in rows] == ["I85", "I86"]
    assert added_looks(with_look(job, cat, "T-ESC"), cat) == {"T-ESC"}


def test_the_catalogues_measure_is_taken_where_it_reads_the_test(job, cat):
    """Hub readings I27 to I30 and the engine oil I09 taken out: their measures come back."""
    bare = without(job, "I27", "I28", "I29", "I30", *_findings_of(job, "M0109"))
    hubs = new_rows(bare, with_look(bare, cat, HUBS))
    assert [one.measure for one in hubs] == ["M0501", "M0502", "M0503", "M0504"]
    (oil,) = new_rows(bare, with_look(bare, cat, OIL))
    assert (oil.measure, oil.kind) == ("M0109", "not tested")
    both = with_look(with_look(bare, cat, OIL), cat, HUBS)
    assert added_looks(both, cat) == {OIL, HUBS}


def _findings_of(job: Job, measure: str) -> list[str]:
    return [one.id for one in job.findings if one.measure == measure]


def test_twice_is_once(job, cat):
    for look in (OPENING, "T-ESC"):
        once = with_look(job, cat, look)
        assert with_look(once, cat, look) == once


def test_a_part_found_worn_becomes_firm_scope(job, cat):
    task = with_look(job, cat, OPENING)
    (row,) = new_rows(job, task)
    work = priced_work(answered(task, cat, row.id, "worn"), cat)
    assert work.known.chances["P-TGR"].state is True
    assert "P-TGR" not in {one.part for one in work.exposed}
    assert work.sums.firm > priced_work(job, cat).sums.firm
    sound = priced_work(answered(task, cat, row.id, "sound"), cat)
    assert sound.known.chances["P-TGR"].state is False
    assert added_looks(answered(task, cat, row.id, "sound"), cat) == frozenset()


def test_a_tests_answer_moves_the_chance_by_its_ratio(job, cat):
    """0.90 and 0.95: alarm 18, clear 0.1053 (tests.csv), on the odds of the part alone."""
    task = with_look(job, cat, TEST)
    (row,) = new_rows(job, task)
    own = priced_work(job, cat).known.chances["P-RFC"].own
    for result, ratio in (("alarm", 18.0), ("clear", 0.1 / 0.95)):
        after = answered(task, cat, row.id, result)
        assert not errors_in(check_job(after, cat))
        found = priced_work(after, cat).known.chances["P-RFC"]
        assert found.ratio == pytest.approx(ratio)
        assert found.own == pytest.approx(ratio * own / (1 - own + ratio * own))


@pytest.mark.parametrize(
    ("look", "says"),
    [
        ("open/P-XXX", "is no look"),
        ("T-XXX", "is no look"),
        ("", "is no look"),
        ("open/P-LIN", "there is an answer already"),
        ("T-CDM", "there is an answer already"),
        ("T-HO", "there is an answer already"),
    ],
)
def test_no_such_look(job, cat, look, says):
    with pytest.raises(NotFound, match=says):
        with_look(job, cat, look)


def test_on_the_record_it_is_one_edit_that_can_be_undone(
    record: Record, catalogue: Catalogue
) -> None:
    number = keep_golden(record)
    before = recorded_job(record, number)[0]
    with pytest.raises(NotAllowed):
        add_look(record, number, OPENING, catalogue, VIEWER, NOW)
    assert add_look(record, number, "T-ESC", catalogue, ESTIMATOR, NOW) == ("I85", "I86")
    assert add_look(record, number, "T-ESC", catalogue, ESTIMATOR, NOW) == ()
    assert len(recorded_job(record, number)[0].findings) == len(before.findings) + 2
    undo_edit(record, number, ESTIMATOR, LATER)
    assert recorded_job(record, number)[0].findings == before.findings
