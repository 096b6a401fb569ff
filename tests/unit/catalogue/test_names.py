"""Names of the catalogue in other languages: found, missing, reworded, and told apart."""

from __future__ import annotations

from dataclasses import replace

import pytest

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.catalogue.check_names import name_faults
from estimator.domain.catalogue.name_rows import CatalogueName
from estimator.domain.catalogue.names import catalogue_in, lacking, stages_in
from estimator.domain.in_language import in_language, reworded
from estimator.domain.priced_job import reckon
from estimator.domain.quote import build_quote
from estimator.domain.wording import joined, worded
from tests.unit.changed import row_changed


def name(table, code, english, text, field=""):
    return CatalogueName(
        table=table, field=field, id=code, english=english, text=text, origin="own"
    )


NAMES = (
    name("groups", "G01", "Engine", "Motor"),
    name("operations", "O0102", "Strip, clean and measure engine", "Motor zerlegen"),
    name("classes", "WL28", "wheel loader", "Radlader"),
    name("parts", "P-TUR", "low = clean and refit", "niedrig = reinigen", "range_reason"),
    name("stages", "order", "order", "Bestellung"),
    name("class_masses", "WL28", "Transmission", "Getriebe"),
    name("activities", "A01", "bay 1", "Platz 1", "bay"),
)


@pytest.fixture
def named(catalogue):
    return replace(catalogue, names={"de": NAMES})


def test_rows_are_named_in_the_language_and_others_stay(named):
    cat = catalogue_in(for_class(named, "WL28"), "de")
    assert cat.groups["G01"].name == "Motor"
    assert cat.groups["G02"].name == "Cooling"
    assert cat.machine_class.type == "Radlader"
    assert cat.parts["P-TUR"].range_reason == "niedrig = reinigen"
    assert cat.parts["P-TUR"].name == "Turbocharger, exchange"
    assert cat.activities["A01"].bay == "Platz 1"
    pieces = [one.piece for one in cat.masses]
    assert "Getriebe" in pieces and "Transmission" not in pieces and "Front axle" in pieces
    assert cat.catalogue is named


def test_a_language_without_names_changes_nothing(named):
    cat = for_class(named, "WL28")
    assert catalogue_in(cat, "fr") is cat


def test_a_translation_of_other_words_holds_no_more(named):
    changed = row_changed(named, "groups", "G01", name="Engine and clutch")
    assert catalogue_in(for_class(changed, "WL28"), "de").groups["G01"].name == "Engine and clutch"


def test_what_is_missing_is_counted_and_nothing_in_english(named):
    cat = for_class(named, "WL28")
    rows = sum(len(getattr(cat, table)) for table in ("groups", "operations", "parts", "outwork"))
    assert lacking(cat, "de") == rows - 2
    assert lacking(cat, "en") == lacking(cat, "en_US") == 0


def test_stages_are_named_by_their_english(named):
    assert stages_in(named, "de", ("order", "hand-over")) == {"order": "Bestellung"}


def test_a_priced_job_keeps_its_figures_and_says_other_names(priced, named):
    job = reckon(priced.job, for_class(named, "WL28"))
    said = in_language(job, "de")
    assert said.price.net == job.price.net
    assert [one.amount for one in said.lines] == [one.amount for one in job.lines]
    assert {one.name for one in said.price.groups} >= {"Motor", "Cooling"}
    turbo = next(one.line for one in said.lines if one.line.row.id == "P-TUR")
    assert "niedrig = reinigen" in turbo.why
    assert said.reasons is job.reasons


def test_two_languages_of_one_job_reach_the_same_record_but_for_clauses(priced, named):
    job = reckon(priced.job, for_class(named, "WL28"))
    german, english = (build_quote(job, one, with_options=False) for one in ("de", "en"))
    assert german.stage_names == {"order": "Bestellung"}
    assert german.partly_english and not english.partly_english
    assert german.priced.job == english.priced.job
    assert german.teardown.net == english.teardown.net


def test_a_text_put_into_another_is_put_in_anew():
    text = worded("{why} ({findings})", why=joined(["typed", "old"], "; "), findings="I1")
    assert reworded(text, "old", "neu") == "typed; neu (I1)"
    assert reworded(text, "other", "neu") is text
    assert reworded("old", "old", "neu") == "neu"


@pytest.mark.parametrize(
    ("row", "code"),
    [
        (name("groups", "G99", "Engine", "Motor"), "unknown-code"),
        (name("groups", "G01", "Engin", "Motor"), "reworded"),
        (name("groups", "G01", "Engine", "Motor", "origin"), "unknown-column"),
        (NAMES[0], "code-twice"),
    ],
)
def test_faults_of_names_are_told(named, row, code):
    broken = replace(named, names={"de": (*NAMES, row)})
    assert code in {one.code for one in name_faults(broken)}


def test_what_a_language_lacks_is_a_warning(named):
    (told,) = (one for one in name_faults(named) if one.code == "untranslated")
    assert told.warning and told.place.file == "names/de.csv"


def test_a_clause_that_fills_in_other_values_is_a_fault(named):
    english = named.clauses["en"]
    broken = next(one for one in english if "{" in one.text)
    changed = replace(named, clauses={"en": english, "de": (replace(broken, text="Ohne Werte"),)})
    assert "other-braces" in {one.code for one in name_faults(changed)}
