"""What stands between names, units, words the record keeps in English, and labels that need room,
in the languages of print."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import cache
from io import BytesIO
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog
from babel.messages.pofile import read_po
from pypdf import PdfReader

from estimator.documents.contract import contract_texts
from estimator.documents.contract.stop_paper import stop_pdf
from estimator.documents.grammar.columns import Columns
from estimator.documents.grammar.look import style
from estimator.documents.grammar.spoken import DOMAIN, speaking
from estimator.documents.grammar.text import Line
from estimator.documents.grammar.told import told
from estimator.documents.grammar.wording import Words, apart, listed, unit_of
from estimator.documents.inspection.inspection_sheet import inspection_sheet_pdf
from estimator.documents.quote import domain_texts
from estimator.documents.workshop.cost_sheet import cost_sheet_pdf
from estimator.documents.workshop.job_card import job_card_pdf
from estimator.domain.budget_letter import budget_letter
from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.catalogue.names import names_in, texts_of
from estimator.domain.contract.acceptance import TEARDOWN_ONLY, WHOLE
from estimator.domain.enquiry import range_so_far
from estimator.domain.rebuild_or_new.starting import starting_values
from estimator.domain.wording import Worded, joined, worded
from estimator.domain.workshop_papers.cost_sheet import build_cost_sheet
from estimator.domain.workshop_papers.inspection_sheet import sheet_of_job
from estimator.domain.workshop_papers.job_card import build_job_card
from estimator.intake.catalogue_files import read_catalogue
from estimator.services.record_teardown import NOT_SEEN
from estimator.services.strip_paper import stop_paper
from tests.documents.contract_sources import golden_work, sources_at
from tests.documents.read_back import read_back

ROOT = Path(__file__).parents[2]
DAY = date(2026, 11, 25)
LANGUAGES = ("de", "fr", "es", "pl")
LOCALES = ("en_GB", "en_US", "de_DE", "fr_FR", "es_ES", "pl_PL")
BRITISH = re.compile(
    r"\btyre|\bbush(es)?\b(?! out of)|\bcentr(e|es|ed|ing)\b|colour|labour|mould|aluminium|\bgrey\b"
    r"|(stabil|equal|pressur|galvan)is(e|er|ed)|judgement|outwork|\blooms?\b|pipework|windscreen",
    re.IGNORECASE,
)
VERB = re.compile(r"(strip|tear down|measure|gauge), bush\b")  # work, and no part


@cache
def messages(language: str) -> Catalog:
    path = ROOT / "resources" / "translations" / language / "LC_MESSAGES" / f"{DOMAIN}.po"
    with path.open("rb") as file:
        return read_po(file, locale=language)


def said(text: str, language: str) -> str:
    found = messages(language).get(text)
    return "" if found is None else str(found.string)


@pytest.fixture(scope="module")
def shipped():
    found, problems = read_catalogue(ROOT / "catalog")
    assert found is not None, problems
    return found


# -- between names ---------------------------------------------------------------------------------


def test_names_that_hold_a_comma_are_set_apart_by_semicolons():
    assert listed(["pins", "seals"]) == "pins, seals"
    assert listed(iter(["discs, plates and seals", "pins"])) == "discs, plates and seals; pins"
    assert listed([]) == ""


def test_french_has_a_space_before_a_semicolon():
    with speaking("fr"):
        assert apart(["Freins", "Direction"]) == "Freins\u202f; Direction"
        reason = joined([worded("gauged"), worded("counted")], "; ")
        assert "\u202f; " in told(reason, Words.of("fr_FR", "EUR", Decimal(1)))
    with speaking("de"):
        assert apart(["Bremsen", "Lenkung"]) == "Bremsen; Lenkung"


def test_a_unit_is_counted_in_the_language():
    assert (unit_of("each", Decimal(2)), unit_of("L", Decimal(2))) == ("off", "L")
    assert (unit_of("job", Decimal(1)), unit_of("set", Decimal(3))) == ("job", "sets")
    with speaking("de"):
        assert unit_of("set", Decimal(1)) == "Satz"
        assert unit_of("each", Decimal(4)) == "St\u00fcck"


# -- texts of domain and record --------------------------------------------------------------------


@pytest.mark.parametrize("language", LANGUAGES)
def test_texts_of_the_domain_on_customers_pages_are_translated(language, shipped, job):
    rows = starting_values(job, for_class(shipped, job.machine.class_id))
    sources = {getattr(one, "source", None) for one in map(rows.__getattribute__, rows.__slots__)}
    patterns = {one.pattern for one in sources if isinstance(one, Worded)}
    texts = [*domain_texts.STAGES, *domain_texts.FIGURES, *domain_texts.MOVED, *patterns]
    assert len(patterns) >= 4
    assert [one for one in texts if not said(str(one), language)] == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_words_that_a_contract_keeps_are_translated(language):
    assert set(contract_texts.ACCEPTED_OF) == {WHOLE, TEARDOWN_ONLY}
    assert set(contract_texts.NOT_SEEN_WHY) == {NOT_SEEN}
    for known in (contract_texts.ACCEPTED_OF, contract_texts.NOT_SEEN_WHY, contract_texts.CHANNELS):
        assert all(key == text for key, text in known.items())
        assert [one for one in known if not said(one, language)] == []


def test_american_names_hold_no_british_word(shipped):
    names = names_in(shipped, "en_US")
    british = [
        one for one in (names.get(key, key[3]) for key in texts_of(shipped))
        if BRITISH.search(VERB.sub("", one))
    ]  # fmt: skip
    assert british == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_letter_whose_texts_are_all_translated_does_not_say_that_some_are_not(
    language, shipped, job
):
    bare = replace(job, findings=())
    cat = for_class(shipped, job.machine.class_id)
    assert not budget_letter(bare, cat, language).head.partly_english
    nameless = for_class(replace(shipped, names={}), job.machine.class_id)
    assert budget_letter(bare, nameless, language).head.partly_english


# -- room for words --------------------------------------------------------------------------------


@pytest.mark.parametrize("locale", LOCALES)
def test_words_under_boxes_and_in_heads_are_whole(locale):
    work = golden_work()[1]
    language = locale if locale == "en_US" else locale[:2]
    sheet = sheet_of_job(work.job, work.cat, DAY, language)
    card = build_job_card(work, "HF", DAY, language=language)
    for data in (inspection_sheet_pdf(sheet, locale), job_card_pdf(card, locale)):
        assert "\u2026" not in read_back(data).text


def test_a_long_reference_has_what_a_short_name_leaves_it():
    work = golden_work()[1]
    card = build_job_card(work, "HF", DAY, language="de")
    card = replace(card, name="Schwei\u00dfer f\u00fcr tragende Teile")
    pages = read_back(job_card_pdf(card, "de_DE"))
    assert "\u2026" not in pages.text
    assert "25. November 2026" in pages.text.replace("\u00a0", " ")


def test_a_reference_has_no_more_than_a_long_name_leaves_it():
    work = golden_work()[1]
    card = build_job_card(work, "HF", DAY, language="de")
    name = replace(card.head.workshop, name="Schwermaschineninstandsetzung Nord " * 4)
    card = replace(card, head=replace(card.head, workshop=name))
    first = read_back(job_card_pdf(card, "de_DE")).text
    assert "Schwermaschineninstandsetzung Nord" in first
    assert "\u2026" in first


def test_no_word_is_broken_where_a_document_is_signed():
    text = _text(_stop("de_DE"))
    assert "Unterschrift" in text
    assert "Unter-" not in text.splitlines()


def _stop(locale: str) -> bytes:
    sources = sources_at("E15")
    return stop_pdf(stop_paper(sources.in_language(locale[:2])), locale)


def _text(data: bytes) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(BytesIO(data)).pages)


def test_heads_of_the_cost_sheet_are_whole_words():
    priced, work = golden_work()
    sheet = build_cost_sheet(priced, range_so_far(work, priced.contingency), DAY, "de")
    assert "Gew\u00fcnschte" in _text(cost_sheet_pdf(sheet, "de_DE"))


# -- what begins a page ----------------------------------------------------------------------------


def points(count: int) -> list[Line]:
    return [Line(f"Point {at}", style("list")) for at in range(count)]


@pytest.mark.parametrize(("count", "kept", "carried"), [(12, 9, 3), (5, 4, 1)])
def test_few_points_of_a_list_are_not_left_alone_on_the_next_page(count, kept, carried):
    """A list too short to give some away is cut where it must be."""
    columns = Columns([points(count), points(1)], rule=True)
    height = columns.wrap(400, 1000)[1]
    first, second = columns.split(400, height - 2)
    assert (len(first.columns[0]), len(second.columns[0])) == (kept, carried)
    assert first.least == (height - 2 if count == 12 else 0)
