"""Every document of a job before acceptance through one entry: which there are, what each needs,
and what was issued coming again as it was."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from estimator.services.errors import Conflict, NotFound, NotWritten
from estimator.services.issue_quote import issue_quote, revise_job
from estimator.services.print_papers import PAPERS, paper_of, papers_of, print_paper
from estimator.storage import job_record
from tests.acts.contracts import issue_golden
from tests.acts.workshop import ESTIMATOR, LATER, MANAGER, NOW, golden_job, keep_golden


@pytest.fixture
def known(catalogue):
    return lambda: catalogue


def test_keys_are_said_once() -> None:
    keys = [one.key for one in PAPERS]
    assert len(set(keys)) == len(keys)
    assert all(one.title and one.needs for one in PAPERS)


def test_a_draft_that_was_inspected(record, known, tmp_path) -> None:
    number = keep_golden(record)
    lacking = {one.kind.key for one in papers_of(record, number, known) if one.why_not}
    assert lacking == {"revision"}
    with pytest.raises(Conflict, match="No revision was issued"):
        paper_of(record, number, "revision", catalogue=known)
    path = tmp_path / "short.pdf"
    print_paper(record, number, "quote-short", path, catalogue=known)
    first = path.read_bytes()
    assert first.startswith(b"%PDF")
    with pytest.raises(NotWritten):
        print_paper(record, number, "quote-short", path, catalogue=known)
    print_paper(record, number, "quote-short", path, catalogue=known, replace=True)
    assert path.read_bytes() == first


def test_a_budget_letter_of_a_job_nobody_has_looked_at(record, known) -> None:
    number = keep_golden(record, findings=())
    one = paper_of(record, number, "budget", "de_DE", catalogue=known, paper="Letter")
    assert one == paper_of(record, number, "budget", "de_DE", catalogue=known, paper="Letter")
    assert one != paper_of(record, number, "budget", "de_DE", catalogue=known)


def test_what_is_not_there_is_named(record, known) -> None:
    number = keep_golden(record)
    with pytest.raises(NotFound) as caught:
        paper_of(record, number, "quote-long", catalogue=known)
    assert "quote-short" in caught.value.remedy
    with pytest.raises(NotFound):
        paper_of(record, "Q-9", "quote", catalogue=known)
    with pytest.raises(NotFound):
        paper_of(record, number, "quote", "xx_XX", catalogue=known)
    with pytest.raises(NotFound):
        paper_of(record, number, "quote", paper="A3", catalogue=known)


def test_what_was_issued_comes_again_and_is_made_again_the_same(record, catalogue, known) -> None:
    number = issue_golden(record, catalogue)
    with record.reading() as session:
        issued = job_record.issued_quotes(session, number)[0]
    printed = json.loads(issued.inputs)["print"]
    assert (printed["locale"], printed["length"]) == ("en_GB", "standard")
    assert paper_of(record, number, "quote", catalogue=known) == issued.pdf
    made = paper_of(record, number, "quote", catalogue=known, paper="A4")
    assert made == issued.pdf  # asked for by its paper it is made anew, from what was frozen
    assert paper_of(record, number, "quote-short", catalogue=known) != issued.pdf
    lacking = {one.kind.key for one in papers_of(record, number, known) if one.why_not}
    assert lacking == {"budget", "revision"}


def test_a_short_one_is_issued_and_then_revised(record, catalogue, known) -> None:
    number = keep_golden(record)
    issued = issue_quote(record, number, catalogue, ESTIMATOR, MANAGER, NOW, length="short",
                         adopt_why="for the test")  # fmt: skip
    assert paper_of(record, number, "quote-short", catalogue=known) == issued.pdf
    revised = revise_job(record, number, ESTIMATOR, LATER)
    assert revised == replace(golden_job(), revision="B", date=LATER.date())
    letter = paper_of(record, number, "revision", catalogue=known)
    assert letter.startswith(b"%PDF")
    with pytest.raises(NotFound):
        issue_quote(record, number, catalogue, ESTIMATOR, MANAGER, LATER, length="long")
