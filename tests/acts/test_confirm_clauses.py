"""A quote with translated clauses goes out only once somebody has confirmed them."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.services.adopt_values import adoptions
from estimator.services.confirm_clauses import confirm_clauses, show_clauses
from estimator.services.errors import NotAllowed, NotFound, Refused, Withheld
from estimator.services.issue_quote import issue_quote
from estimator.services.keep_job import recorded_job
from estimator.services.learn import learnt
from estimator.services.open_record import Record
from estimator.services.print_quote import quote_bytes
from estimator.services.work_out import reckon_whole
from estimator.storage.change_log import entries
from tests.acts.workshop import ESTIMATOR, INSPECTOR, LATER, MANAGER, NOW, adopt_all, keep_golden
from tests.documents.read_back import read_back

WHY = "read by our lawyer"


@pytest.fixture(scope="module")
def german(catalogue: Catalogue) -> Catalogue:
    """The catalogue with German clauses, of which nobody has confirmed any."""
    rows = tuple(replace(one, text=f"Auf Deutsch: {one.text}") for one in catalogue.clauses["en"])
    return replace(catalogue, clauses={**catalogue.clauses, "de": rows}, fingerprint="german")


def issued_in(record: Record, number: str, catalogue: Catalogue, locale: str) -> str:
    issued = issue_quote(record, number, catalogue, ESTIMATOR, MANAGER, NOW, locale=locale)
    return read_back(issued.pdf).text


def test_a_translation_that_nobody_confirmed_is_not_released(
    record: Record, german: Catalogue
) -> None:
    number = keep_golden(record)
    adopt_all(record, number, german)
    with pytest.raises(Withheld) as caught:
        issued_in(record, number, german, "de_DE")
    assert "clauses in de were confirmed by nobody at the workshop" in str(caught.value)
    assert "confirm-clauses de --as NAME --why WHY" in str(caught.value.remedy)
    assert recorded_job(record, number)[1] == "draft"
    # a preview stays possible, with a mark
    priced = reckon_whole(recorded_job(record, number)[0], learnt(record, german))
    assert "\N{DAGGER}" in read_back(quote_bytes(priced, "de_DE")).text
    # confirmed, it goes out without one
    count = confirm_clauses(record, german, "de", MANAGER, NOW, WHY)
    assert count == len(german.clauses["de"])
    text = issued_in(record, number, german, "de_DE")
    assert "Auf Deutsch:" in text and "\N{DAGGER}" not in text
    with record.reading() as session:
        said = [one for one in entries(session) if one.act == "clauses confirmed"]
    assert len(said) == 1 and json.loads(said[0].after)["why"] == WHY


def test_a_preview_knows_at_once_what_was_confirmed(record: Record, german: Catalogue) -> None:
    number = keep_golden(record)
    job = recorded_job(record, number)[0]
    before = reckon_whole(job, learnt(record, german))
    confirm_clauses(record, german, "de", MANAGER, NOW, WHY)
    after = reckon_whole(job, learnt(record, german))
    assert "\N{DAGGER}" in read_back(quote_bytes(before, "de_DE")).text
    assert "\N{DAGGER}" not in read_back(quote_bytes(after, "de_DE")).text


def test_english_goes_out_without(record: Record, german: Catalogue) -> None:
    number = keep_golden(record)
    adopt_all(record, number, german)
    assert "Payment" in issued_in(record, number, german, "en_GB")


def test_what_is_confirmed_is_the_wording(record: Record, german: Catalogue) -> None:
    confirm_clauses(record, german, "de", MANAGER, NOW, WHY)
    assert show_clauses(record, german, "de").unconfirmed == ()
    first, *others = german.clauses["de"]
    reworded = replace(first, text=f"{first.text} Neu.")
    changed = replace(german, clauses={**german.clauses, "de": (reworded, *others)})
    assert [one.id for one in show_clauses(record, changed, "de").unconfirmed] == [first.id]
    assert confirm_clauses(record, changed, "de", MANAGER, LATER, WHY) == 1
    assert show_clauses(record, german, "de").unconfirmed == ()  # the former wording too


def test_some_can_be_confirmed_alone(record: Record, german: Catalogue) -> None:
    ids = [one.id for one in german.clauses["de"][:3]]
    assert confirm_clauses(record, german, "de", MANAGER, NOW, WHY, ids) == 3
    assert confirm_clauses(record, german, "de", MANAGER, NOW, WHY, ids) == 0
    left = show_clauses(record, german, "de")
    assert len(left.unconfirmed) == left.count - 3


def test_a_file_may_name_who_confirmed(record: Record, german: Catalogue) -> None:
    rows = tuple(replace(one, confirmed_by="J. Tarn") for one in german.clauses["de"])
    named = replace(german, clauses={**german.clauses, "de": rows})
    assert show_clauses(record, named, "de").unconfirmed == ()


def test_who_may_and_what_is_there(record: Record, german: Catalogue) -> None:
    for person in (ESTIMATOR, INSPECTOR):
        with pytest.raises(NotAllowed):
            confirm_clauses(record, german, "de", person, NOW, WHY)
    for reason in (" ", "a\x00b"):
        with pytest.raises(Refused):
            confirm_clauses(record, german, "de", MANAGER, NOW, reason)
    for language in ("en", "it"):
        with pytest.raises(NotFound, match="no translated clauses"):
            confirm_clauses(record, german, language, MANAGER, NOW, WHY)
    with pytest.raises(NotFound, match="NO-SUCH"):
        confirm_clauses(record, german, "de", MANAGER, NOW, WHY, ["NO-SUCH"])
    assert len(show_clauses(record, german, "de").unconfirmed) == len(german.clauses["de"])


def test_clauses_are_no_adopted_starting_values(record: Record, german: Catalogue) -> None:
    confirm_clauses(record, german, "de", MANAGER, NOW, WHY)
    assert adoptions(record) == []


def test_what_a_language_lacks_is_named(record: Record, german: Catalogue) -> None:
    lacks = replace(german, clauses={**german.clauses, "de": german.clauses["de"][1:]})
    assert show_clauses(record, lacks, "de").lacking == (german.clauses["de"][0].id,)
