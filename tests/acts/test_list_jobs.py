"""The list, and finding anything: words in any form, hostile ones too."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.domain.money import Money
from estimator.domain.record import Standing
from estimator.services.edit_job import make_edit, undo_edit
from estimator.services.errors import NotFound
from estimator.services.list_jobs import count_jobs, find_anywhere, list_jobs
from estimator.services.open_record import Record, open_record
from estimator.storage.job_record import job_id_of
from estimator.storage.standing_record import write_standing
from tests.acts.workshop import ESTIMATOR, NOW, edited, golden_job, keep_golden, with_cell

TODAY = NOW.date()


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Record]:
    """Three jobs: one as it is, one of a customer with accents, one with a note."""
    with open_record(tmp_path_factory.mktemp("shop") / "record.db", NOW) as record:
        job = golden_job()
        keep_golden(record)
        keep_golden(record, number="Q-7", customer=replace(job.customer, name="Çelik & Söhne"),
                    machine=replace(job.machine, class_id="CE36", serial="CE36-X0099"),
                    findings=job.findings[:2])  # fmt: skip
        keep_golden(record, number="Q-8", note='back before the "harvest" -- or NOT', findings=())
        yield record


def numbers(record: Record, text: str = "", **asked: object) -> set[str]:
    return {one.number for one in list_jobs(record, text, today=TODAY, **asked)}


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("", {"Q-2041", "Q-7", "Q-8"}),
        ("ostr", {"Q-2041", "Q-8"}),
        ("OSTREY agg", {"Q-2041", "Q-8"}),
        ("celik", {"Q-7"}),
        ("söh", {"Q-7"}),
        ("CE36-X00", {"Q-7"}),
        ("x0099", {"Q-7"}),
        ("0099", {"Q-7"}),  # not how a word begins: looked for anywhere
        ("q-8", {"Q-8"}),
        ("harvest back", {"Q-8"}),
        ('"harvest"', {"Q-8"}),
        ("nobody", set()),
        ("not", {"Q-2041", "Q-8"}),
        ("ostrey NOT harvest", {"Q-8"}),  # words, not operators
        ("ostrey OR celik", set()),
        ("& celik", {"Q-7"}),
        ("celik\0sohne", {"Q-7"}),
    ],
)
def test_searching_as_one_types(shop: Record, text: str, found: set[str]) -> None:
    assert numbers(shop, text) == found
    assert count_jobs(shop, text, today=TODAY) == len(found)


@given(st.text(max_size=30) | st.text("\"'*^():-+{}%_\\;= \0ANDORTNE\ud800ae", max_size=30))
@settings(max_examples=150, deadline=None)
def test_any_text_is_safe(shop: Record, text: str) -> None:
    assert numbers(shop, text) <= {"Q-2041", "Q-7", "Q-8"}
    for hit in find_anywhere(shop, text):
        assert hit.kind in ("job", "finding", "photograph")


def test_filters_and_counts(shop: Record) -> None:
    assert numbers(shop, class_id="CE36") == {"Q-7"}
    assert numbers(shop, state="draft") == {"Q-2041", "Q-7", "Q-8"}
    assert numbers(shop, state="issued") == numbers(shop, state="expired") == set()
    assert len(list_jobs(shop, today=TODAY, limit=2)) == 2
    assert len(list_jobs(shop, today=TODAY, limit=2, skip=2)) == 1
    for asked in ({"state": "lost"}, {"order": "size"}):
        with pytest.raises(NotFound):
            list_jobs(shop, today=TODAY, **asked)


def test_find_tells_the_place(shop: Record) -> None:
    hits = find_anywhere(shop, "celik")
    assert [(one.kind, one.number, one.title) for one in hits] == [
        ("job", "Q-7", "Çelik & Söhne, CE36 CE36-X0099")
    ]
    words = next(f.note for f in golden_job().findings if f.id == "I02")
    assert words == "no leak heard at valves"
    found = {(one.kind, one.number, one.place) for one in find_anywhere(shop, "leak valves")}
    assert {("finding", "Q-2041", "I02"), ("finding", "Q-7", "I02")} <= found
    (hit,) = find_anywhere(shop, "celik leak heard")  # one word of the job, two of the finding
    assert (hit.number, hit.place, hit.words) == ("Q-7", "I02", "no leak heard at valves")
    assert find_anywhere(shop, "celik harvest") == []
    (hit,) = find_anywhere(shop, "harvest")
    assert (hit.kind, hit.words) == ("job", 'back before the "harvest" -- or NOT')


def test_what_is_edited_is_found_at_once(record: Record) -> None:
    number = keep_golden(record)
    edit = edited(record, number, "reading", with_cell("I03", note="Haarriß am Steg"))
    make_edit(record, number, edit, ESTIMATOR, NOW)
    (hit,) = find_anywhere(record, "haarri")
    assert (hit.place, hit.words) == ("I03", "Haarriß am Steg")
    undo_edit(record, number, ESTIMATOR, NOW)
    assert find_anywhere(record, "haarri") == []
    assert numbers(record, "haarri") == set()


def test_by_value_highest_first(tmp_path: Path) -> None:
    with open_record(tmp_path / "record.db", NOW) as record:
        for number, net in (("Q-1", 500), ("Q-2", 9_000), ("Q-3", None), ("Q-4", 70)):
            keep_golden(record, number=number, findings=())
            if net is not None:
                sum_of = Money(net, "GBP")
                standing = Standing(
                    1, Decimal(1), sum_of, sum_of, sum_of, sum_of, Decimal("0.8"), TODAY,
                    TODAY + timedelta(3), "scope", "", "", NOW,
                )  # fmt: skip
                with record.writing() as session:
                    job_id = job_id_of(session, number)
                    assert job_id is not None
                    assert write_standing(session, job_id, standing)
        by_value = [one.number for one in list_jobs(record, today=TODAY, order="value")]
        assert by_value == ["Q-2", "Q-1", "Q-4", "Q-3"]
