"""What stands on the bench and is not recorded: kept by person, taken up again, no part of the
contract."""

from __future__ import annotations

from decimal import Decimal

import pytest

from estimator.services.bench_notes import keep_bench, read_bench
from estimator.services.edit_job import open_draft
from estimator.services.errors import NotAllowed
from estimator.services.plan_opening import Answers
from estimator.services.record_teardown import MeasuredAgain
from estimator.storage.contract_record import read_events
from estimator.storage.edit_record import keep_text, kept_texts
from estimator.storage.job_record import job_id_of
from tests.acts.contracts import accept_golden
from tests.acts.workshop import FOREMAN, INSPECTOR, NOW, VIEWER

ANSWERS = Answers(
    frozenset({"K03", "K05"}),
    {"P-CWR": "reuse"},
    {"P-CWR": "marking light, 0.20 of 0.35"},
    {"M-GAP": Decimal("0.350"), "M-EYE": "pitted"},
    {"P-BDR": MeasuredAgain("P-BDR", Decimal("1.5"), by_factor=True)},
    (("photo-1.jpg", "P-CWR"),),
)


@pytest.fixture
def number(record, catalogue):
    return accept_golden(record, catalogue)


def test_it_comes_back_as_it_was_for_whoever_chose_it(record, number):
    keep_bench(record, number, {"C05C": ANSWERS}, INSPECTOR, NOW)
    assert read_bench(record, number, INSPECTOR) == {"C05C": ANSWERS}
    assert read_bench(record, number, FOREMAN) == {}


def test_it_is_no_part_of_the_contract_nor_of_the_job(record, number):
    keep_bench(record, number, {"C05C": ANSWERS}, INSPECTOR, NOW)
    assert open_draft(record, number).kept == {}
    with record.reading() as session:
        assert len(read_events(session, job_id_of(session, number))) == 1


def test_an_empty_bench_is_forgotten(record, number):
    keep_bench(record, number, {"C05C": ANSWERS, "C05D": ANSWERS}, INSPECTOR, NOW)
    keep_bench(record, number, {"C05C": Answers()}, INSPECTOR, NOW)
    assert set(read_bench(record, number, INSPECTOR)) == {"C05D"}


def test_who_may_look_only_keeps_nothing(record, number):
    with pytest.raises(NotAllowed):
        keep_bench(record, number, {"C05C": ANSWERS}, VIEWER, NOW)


def test_a_note_that_cannot_be_read_is_none(record, number):
    keep_bench(record, number, {"C05C": ANSWERS}, INSPECTOR, NOW)
    with record.writing() as session:
        job_id = job_id_of(session, number)
        (kept,) = kept_texts(session, job_id)
        keep_text(session, job_id, type(kept)(kept.place, "{", "", kept.who, NOW))
    assert read_bench(record, number, INSPECTOR) == {}
