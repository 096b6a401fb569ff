"""The clauses fit the class and level of the machine, in both catalogues alike."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from estimator.documents.quote.sheet import Sheet
from estimator.domain.catalogue.catalogue import fits, for_class
from estimator.domain.catalogue.rows import JOB_LEVELS
from estimator.domain.quote_length import STANDARD, section_in
from estimator.intake.agreed_sections import FORMS
from estimator.intake.catalogue_files import read_catalogue
from tests.documents.read_back import printed, with_job, without_contingency

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def shipped():
    found, problems = read_catalogue(ROOT / "catalog")
    assert found is not None, problems
    return found


def texts(catalogue, class_id, level, section):
    traits = catalogue.machine_class(class_id).all_traits
    return " | ".join(
        one.text for one in catalogue.clauses["en"]
        if one.section == section and fits(one, traits) and (not one.levels or level in one.levels)
    )  # fmt: skip


def test_the_golden_catalogue_has_the_same_clauses():
    golden = ROOT / "tests/golden/catalogue/clauses/en.csv"
    assert golden.read_bytes() == (ROOT / "catalog/clauses/en.csv").read_bytes()


@pytest.mark.parametrize(
    ("class_id", "level", "included", "not_included"),
    [
        ("WL28", "full", ["Arms, linkage, bucket", "rims crack-tested", "axles"], ["attachments"]),
        ("WL28", "driveline", ["Transmission and converter", "Cab refitted"], ["Frames, joints"]),
        ("CE36", "full", ["Pump drive", "slew drive", "Undercarriage", "Boom, arm"], ["Fuel"]),
        ("CE36", "driveline", ["main pumps given new seals", "sprockets"], ["Track chains"]),
        ("LC36", "full", ["Steel wheels", "trash rack", "trash guards"], ["Tips", "the skip"]),
        ("LC36", "driveline", ["Steel wheels refitted"], ["Frames, joints"]),
    ],
)  # fmt: skip
def test_lists_fit_class_and_level(shipped, class_id, level, included, not_included):
    for section, expected in (("included", included), ("not_included", not_included)):
        found = texts(shipped, class_id, level, section)
        assert all(words in found for words in expected), found


@pytest.mark.parametrize(
    ("class_id", "foreign"),
    [
        ("WL28", ["slew", "Undercarriage", "Steel wheel", "Blade", "Pump drive"]),
        ("CE36", ["axles", "Transmission", "centre joint", "Steering", "rims", "suppression"]),
        ("LC36", ["slew", "Undercarriage", "rims", "bucket", "Boom"]),
    ],
)
def test_lists_name_nothing_the_class_lacks(shipped, class_id, foreign):
    for level in JOB_LEVELS:
        for section in ("included", "not_included"):
            found = texts(shipped, class_id, level, section)
            assert not [words for words in foreign if words in found], found


def test_every_clause_is_the_workshops_own_sample(shipped):
    for one in shipped.clauses["en"]:
        assert one.origin == "own"
        assert one.source == "sample wording, to be checked by the workshop’s lawyer"


def test_a_promise_names_the_rows_that_make_it_true(shipped):
    """One without a row in the class would be printed whatever is taken out."""
    for class_id in ("WL28", "CE36", "LC36"):
        cat = for_class(shipped, class_id)
        known = {*cat.operations, *cat.parts, *cat.outwork}
        for one in shipped.clauses["en"]:
            if one.section == "included" and fits(one, cat.machine_class.all_traits):
                assert known & set(one.rows), (class_id, one.id)


def test_a_whole_scope_keeps_every_promise(shipped, quote):
    traits = quote.priced.cat.machine_class.all_traits
    promised = [one.id for one in shipped.clauses["en"]
                if one.section == "included" and fits(one, traits)
                and (not one.levels or "full" in one.levels)]  # fmt: skip
    assert [one.id for one in quote.clauses["included"]] == promised


SHOP_TALK = ["resealed", "finals", "shimmed", "gouge", "gauged", "to the readings", "torqued"]


@pytest.mark.parametrize("words", SHOP_TALK)
def test_clauses_use_words_a_customer_knows(shipped, words):
    assert not [one.id for one in shipped.clauses["en"] if words in one.text]


def test_every_section_written_is_asked_for(quote, shipped, monkeypatch):
    """A section named wrongly on either side would leave its text out without a word."""
    asked = set()
    clauses = Sheet.clauses

    def noted(sheet, section):
        asked.add(section)
        return clauses(sheet, section)

    monkeypatch.setattr(Sheet, "clauses", noted)
    for form in FORMS:
        terms = replace(quote.priced.job.terms, commercial_form=form)
        printed(with_job(quote, terms=terms))
    printed(without_contingency(quote))
    written = {one.section for one in shipped.clauses["en"]
               if section_in(one.section, STANDARD)}  # fmt: skip
    by_case = {"contingency: rests on own past work", "contingency: rests on starting values",
               "contingency: rests on judgement", "contingency: enough, earned",
               "form not to exceed: contingency: enough, earned"}  # fmt: skip
    assert written - asked == by_case
    said_by_some = {re.sub("^form [a-z ]+: ", "", section) for section in written}
    assert {re.sub("^form [a-z ]+: ", "", section) for section in asked} <= said_by_some
