"""A document in each language: labels, clauses and names say it, and every letter can be drawn."""

from __future__ import annotations

import re
import threading
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from functools import cache
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog
from babel.messages.pofile import read_po

from estimator.documents.grammar import label_texts, labels
from estimator.documents.grammar.fonts import BOLD, ITALIC, REGULAR, SEMIBOLD, runs
from estimator.documents.grammar.spoken import DOMAIN, speaking, spoken
from estimator.documents.grammar.told import told
from estimator.documents.grammar.wording import Words, within
from estimator.documents.quote.terms import family_said
from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.catalogue.names import names_in, row_in, texts_of
from estimator.domain.in_language import in_language
from estimator.domain.language import language_of
from estimator.domain.priced_job import reckon
from estimator.domain.quote import build_quote
from estimator.domain.wording import joined, worded, worded_count
from estimator.intake.catalogue_files import read_catalogue
from tests.documents.read_back import printed

ROOT = Path(__file__).parents[2]
LANGUAGES = ("de", "fr", "es", "pl")
LOCALES = ("de_DE", "fr_FR", "es_ES", "pl_PL")
_BRACES = re.compile(r"\{[^}]*\}")


@cache
def messages(language: str) -> Catalog:
    path = ROOT / "resources" / "translations" / language / "LC_MESSAGES" / f"{DOMAIN}.po"
    with path.open("rb") as file:
        return read_po(file, locale=language)


def forms(text: object) -> tuple[str, ...]:
    return (text,) if isinstance(text, str) else tuple(text)  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def shipped():
    found, problems = read_catalogue(ROOT / "catalog")
    assert found is not None, problems
    return found


@pytest.fixture(scope="module")
def priced(shipped, job):
    return reckon(job, for_class(shipped, job.machine.class_id))


@pytest.fixture(scope="module")
def papers(priced):
    """The golden job's quote in each language, on paper."""
    return {
        locale: printed(build_quote(priced, language_of(locale), with_options=False), locale)
        for locale in LOCALES
    }


# -- texts -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("language", [*LANGUAGES, "en_US"])
def test_a_translated_label_asks_for_the_same_values(language):
    for message in messages(language):
        wanted = sorted(_BRACES.findall(forms(message.id)[-1]))
        for form in forms(message.string):
            if form:
                assert sorted(_BRACES.findall(form)) == wanted, message.id


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_label_that_counts_has_every_form_of_the_language(language):
    known = messages(language)
    for message in known:
        if not isinstance(message.id, str) and any(message.string):
            assert len([form for form in message.string if form]) == known.num_plurals, message.id


@pytest.mark.parametrize("language", LANGUAGES)
def test_clauses_are_the_english_ones_and_stand_in_the_same_places(shipped, language):
    english = {one.id: one for one in shipped.clauses["en"]}
    seen = set()
    for one in shipped.clauses[language]:
        of = english[one.id]
        seen.add(one.id)
        assert sorted(_BRACES.findall(one.text)) == sorted(_BRACES.findall(of.text)), one.id
        places = ("section", "order", "levels", "when", "rows", "needs")
        assert [getattr(one, name) for name in places] == [getattr(of, name) for name in places]
    assert len(seen) == len(shipped.clauses[language])


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_name_of_work_parts_and_groups_is_there(shipped, language):
    known = {(one.table, one.id, one.english) for one in shipped.names[language]}
    for table in ("groups", "components", "operations", "parts", "outwork"):
        for row in shipped.tables[table]:
            assert (table, row.id, row.name) in known


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_text_that_may_be_printed_is_lacking(shipped, language):
    assert not set(texts_of(shipped)) - set(names_in(shipped, language))


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_family_of_standards_is_said_alike_without_its_remarks(shipped, language):
    names = names_in(shipped, language)
    for row in shipped.tables["cautions"]:
        english = family_said(row)
        with speaking(language):
            said = family_said(row_in(row, "cautions", names))
            assert family_said(row) == english  # where the language has no name for it
        assert bool(said) == bool(english) and "(" not in said, row.id
        assert re.findall(r"[A-Z]+ ?[0-9.]+", said) == re.findall(r"[A-Z]+ ?[0-9.]+", english)


def every_text(shipped, language: str) -> Iterator[str]:
    for message in messages(language):
        yield from forms(message.string)
    yield from (one.text for one in shipped.clauses[language])
    yield from (one.text for one in shipped.names[language])


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_letter_of_every_text_can_be_drawn(shipped, language):
    for face in (REGULAR, SEMIBOLD, BOLD, ITALIC):
        for text in every_text(shipped, language):
            assert "\N{REPLACEMENT CHARACTER}" not in "".join(part for _, part in runs(text, face))


@pytest.mark.parametrize(
    "name", ["Ελληνικά Ωμέγα", "Здравствуйте Їжак", "日本語 東京", "한국 중국 中文"]
)
def test_names_of_other_scripts_are_printed(priced, name):
    party = replace(priced.job.customer, name=name)
    job = replace(priced.job, customer=party)
    text = printed(build_quote(replace(priced, job=job), "de", with_options=False), "de_DE").text
    assert name in text
    assert "\N{REPLACEMENT CHARACTER}" not in text


# -- paper -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("locale", LOCALES)
def test_the_quote_holds_no_english_label(papers, locale):
    text = papers[locale].text
    with speaking(language_of(locale)):
        for name, english in vars(label_texts).items():
            if not name.isupper() or not isinstance(english, str) or "{" in english:
                continue
            if len(english) > 9 and " " in english and getattr(labels, name) != english:
                assert english not in text, name


@pytest.mark.parametrize("locale", LOCALES)
def test_the_quote_holds_no_english_name(papers, priced, locale):
    text, said = papers[locale].text, in_language(priced, language_of(locale))
    for one, other in zip(priced.lines, said.lines, strict=True):
        if one.line.row.name != other.line.row.name:  # Batteries are batteries in French
            assert f"{one.line.row.name}," not in text
    for own in said.price.groups:
        assert own.name in text


def test_labels_say_the_sums_in_each_language(papers, priced):
    assert "Reserve für verschlissene Teile" in papers["de_DE"].text
    assert "Provision pour pièces trouvées usées" in papers["fr_FR"].text
    assert "Reserva para piezas halladas gastadas" in papers["es_ES"].text
    assert "Rezerwa na części zużyte" in papers["pl_PL"].text
    for locale, paper in papers.items():
        sums = Words.of(locale, "GBP", Decimal(1)).money(priced.price.net)
        assert " ".join(sums.split()) in paper.text


@pytest.mark.parametrize("locale", LOCALES)
def test_the_file_says_its_language(papers, locale):
    assert papers[locale].reader.trailer["/Root"]["/Lang"] == language_of(locale)


@pytest.mark.parametrize("locale", LOCALES)
def test_unconfirmed_clauses_are_marked_and_said_once(papers, locale):
    first = " ".join(papers[locale].pages[0].split())
    with speaking(language_of(locale)):
        note = labels.UNCONFIRMED.format(mark=labels.UNCONFIRMED_MARK)
        english = labels.IN_ENGLISH
    assert first.count(" ".join(note.split())) == 1
    assert papers[locale].text.count("\N{DAGGER}") > 50
    assert english not in papers[locale].text


def test_an_english_quote_marks_nothing(paper):
    assert "\N{DAGGER}" not in paper.text


def test_american_english_has_its_own_words_and_nothing_to_confirm(priced):
    quote = build_quote(priced, "en_US", with_options=False)
    assert not quote.unconfirmed and not quote.partly_english
    text = printed(quote, "en_US").text
    assert "Tires" in text and "Tyres" not in text
    assert "Labor" in text and "November 20, 2026" in text
    assert "are written as in" not in text


def test_a_language_without_translations_is_english_and_says_so(priced):
    quote = build_quote(priced, "it", with_options=False)
    assert quote.partly_english
    text = printed(quote, "it_IT").text
    assert "written as in Italian (Italy); the text is in English." in text


# -- mechanism -------------------------------------------------------------------------------------


def test_labels_are_english_unless_a_language_is_spoken():
    assert labels.PRICE == "Price"
    with speaking("de"):
        assert labels.PRICE == "Preis"
        assert labels.LEVELS["full"] == "Grundüberholung"
        with speaking("fr"):
            assert labels.PRICE == "Prix"
        assert labels.PRICE == "Preis"
    assert spoken() == "en" and labels.PRICE == "Price"
    with pytest.raises(AttributeError):
        _ = labels.NO_SUCH_LABEL


def test_each_thread_speaks_its_own_language():
    heard, both = {}, threading.Barrier(2)

    def say(language: str) -> None:
        with speaking(language):
            both.wait()
            heard[language] = labels.PRICE

    threads = [threading.Thread(target=say, args=(one,)) for one in ("de", "fr")]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert heard == {"de": "Preis", "fr": "Prix"}


@pytest.mark.parametrize(
    ("language", "count", "expected"),
    [
        ("en", 1, "x and 1 other part"), ("en", 2, "x and 2 other parts"),
        ("fr", 1, "x et 1 autre pièce"),
        ("pl", 1, "x i 1 inna część"), ("pl", 3, "x i 3 inne części"),
        ("pl", 5, "x i 5 innych części"), ("pl", 22, "x i 22 inne części"),
    ],
)  # fmt: skip
def test_a_label_that_counts_takes_the_form_of_its_language(language, count, expected):
    with speaking(language):
        assert labels.AND_OTHERS.format(names="x", count=count) == expected


def test_units_are_counted_in_each_language():
    with speaking("pl"):
        forms_of_a_day = [labels.UNITS_COUNTED["day"].form(number) for number in (1, 2, 5)]
    assert forms_of_a_day == ["dzień", "dni", "dni"]
    assert labels.UNITS_COUNTED["week"].form("1") == "week"
    assert labels.UNITS_COUNTED["week"].form("1.5") == "weeks"


def test_texts_of_the_domain_are_told_in_the_language():
    words = Words.of("pl_PL", "PLN", Decimal(1))
    text = joined([worded("chance of wear"), worded("own: {what}", what="typed")], "; ")
    assert told(text, words) == text
    with speaking("pl"):
        assert told(text, words) == "szansa zużycia; own: typed"
        assert told("typed text", words) == "typed text"
        assert told(worded_count("{n} thing", "{n} things", 2), words) == "2 things"


def test_german_nouns_keep_their_capital_inside_a_sentence():
    assert within("Wheel loader") == "wheel loader"
    with speaking("de"):
        assert within("Radlader") == "Radlader"


@pytest.mark.parametrize(
    ("locale", "language"),
    [("de_DE", "de"), ("de-AT", "de"), ("en_US", "en_US"), ("en-GB", "en"), ("es_MX", "es")],
)
def test_a_locale_names_its_language(locale, language):
    assert language_of(locale) == language
