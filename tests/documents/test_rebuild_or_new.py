"""The page of rebuild or new, read back: one page, both ways, whose every figure is, no odds."""

from __future__ import annotations

import re
from dataclasses import replace

import pypdfium2
import pytest

from estimator.documents.quote.rebuild_or_new import rebuild_or_new_pdf
from estimator.domain.job import Party
from estimator.domain.new_machine import INPUTS, WORKS_ON, NewMachine, input_of
from estimator.domain.rebuild_or_new.compared import NEW
from estimator.domain.rebuild_or_new.comparison import compare
from tests.documents.read_back import boxes, fonts, inside_and_apart, read_back
from tests.new_machines import FULL, one

PARTIAL = NewMachine("GBP", hire_week=one("2000"))
SMALL = NewMachine("GBP", new_price=one("320000"), lead_weeks=one("4"))
EARLY = replace(FULL, meanwhile=WORKS_ON)
LONG = "Schwermaschineninstandsetzungsgesellschaft Nord-Ost mit langem Namen & Söhne <b>GmbH</b>"


def page(priced, given=None, locale="en_GB"):
    return read_back(rebuild_or_new_pdf(compare(priced, given), locale))


@pytest.fixture(scope="module")
def priced(quote):
    return quote.priced


@pytest.fixture(scope="module")
def plain(priced):
    return page(priced)


@pytest.fixture(scope="module")
def full(priced):
    return page(priced, FULL)


def changed(priced, **changes):
    return replace(priced, job=replace(priced.job, **changes))


@pytest.mark.parametrize(
    "words",
    [
        "Rebuild or buy new: your wheel loader", "28 t class, serial WL28-00417, 14,860 hours",
        "For: Ostrey Aggregates", "Quote: Q-2041 rev A", "Dated: 20 November 2026",
        "an hour’s work costs £29.13 from the rebuilt machine and £33.83 from a new one",
        "The rebuild costs less per hour as long as it stays under £304,9",
        "Our whole price, £275,946 with the contingency spent, is under that.",
        "59.3 % of £465,000: firm £213,304, provisional £31,325, contingency £31,317.",
        "usual 50 % to 70 %",
        "May come to: low, likely, high £244,629 – £267,364 – £275,946",
        "£420,000 – £465,000 – £520,000",
        "Ready after the order 15.6 weeks (14 – 16) 20 weeks",
        "Work gained 8,000 h, 5.2 years 12,000 h, 7.8 years",
        "Your machine is taken to stand from the order on.",
        "The rebuild is ready 4.4 weeks before a new machine is likely to come.",
        "What moves it most Working life, new *", "* turns the answer at one end.",
        "(starting value, catalogue, wheel loader, 1 November 2026)",
        "Not given, so left out on both sides: fuel, upkeep, time without a machine, what your "
        "machine fetches as it stands.",
        "This page compares; it does not advise.", "are estimates and no promise",
        "All sums before tax.", "Page 1 of 1",
    ],
)  # fmt: skip
def test_the_page_on_starting_values_says(plain, words):
    assert words in plain.text


@pytest.mark.parametrize(
    "words",
    [
        "costs less from a new machine", "Ours is above that even with no contingency drawn",
        "Paid for your machine as it stands – −£38,000",
        "Cost of that time", "Its time without a machine costs", "Fuel per hour £21.06 £18.58",
        "Upkeep per hour £9.40 £6.80", "Monthly payment – £",
        "would only be paid after", "beyond its 14,000 h",
        "Parts used again: 19,400 kg × 1.58 kg CO2/kg = 30,652 kg CO2 of making them anew",
        "no warming potentials needed; IPCC guidelines, volume 3, chapter 4, edition 2019",
        "Fuel: 18,400 L more than new over 8,000 h × 2.66155 kg CO2e/L = 48,973 kg CO2e more",
        "warming potentials IPCC AR5, 100 years; UK Government conversion factors",
        "This is no account of a whole machine.",
        "(supplier’s figure, quotation of Marlow Plant, 12 November 2026)",
        "Lead time of a new machine: 18 – 22 – 30 weeks (supplier’s figure, Marlow Plant)",
        "Paid for the machine as it stands: £38,000 (your figure)", "Price of fuel: £1.08/L",
        "Interest a year: 6.5 % a year (our figure)",
    ],
)  # fmt: skip
def test_the_page_with_everything_given_says(full, words):
    assert words in full.text


def test_every_input_stands_with_whose_it_is(priced, full):
    found = compare(priced, FULL)
    given = [name for name in INPUTS if input_of(found.inputs, name) is not None]
    owners = re.findall(r"\((?:starting value|our figure|your figure|supplier’s figure|this quote)",
                        full.text)  # fmt: skip
    assert len(owners) == len(given) == len(INPUTS)


def test_sums_of_the_bar_are_the_price(plain):
    firm, provisional, held = (
        int(one.replace(",", ""))
        for one in re.search(
            r"firm £([\d,]+), provisional £([\d,]+), contingency £([\d,]+)", plain.text
        ).groups()
    )
    assert f"Price before tax £{firm + provisional + held:,}" in plain.text


def test_cost_per_hour_ties_out_from_what_is_printed(plain):
    """An outsider's sum from the printed figures alone: (price - worth x 1.06^-n) / hours."""
    for column, price in ((0, 267_364), (1, 465_000)):
        hours, years = (8_000, 8_000 / 1_540) if column == 0 else (12_000, 12_000 / 1_540)
        worth = re.search(r"Worth at the end, likely £([\d,]+) £([\d,]+)", plain.text)
        left = int(worth.group(column + 1).replace(",", "")) * 1.06**-years
        printed = re.search(r"Cost per hour, likely £([\d.]+) £([\d.]+)", plain.text)
        assert float(printed.group(column + 1)) == pytest.approx((price - left) / hours, abs=0.006)


@pytest.mark.parametrize("given", [None, FULL, SMALL, EARLY], ids=["plain", "full", "small", "on"])
def test_it_states_no_odds_and_nothing_internal(priced, given):
    text = page(priced, given).text.lower()
    for word in ("p50", "p80", "percentile", "simulation", "exposed", "probab", "margin on",
                 "chance", "in 10", "guarantee"):  # fmt: skip
        assert word not in text, word


def test_carbon_is_only_where_its_inputs_are(plain, full, priced):
    assert "CO2" not in plain.text
    assert full.text.count("Carbon, for two figures alone") == 1
    without = page(priced, replace(FULL, material_factor=None)).text
    assert "Parts used again:" not in without
    assert "Fuel: 18,400 L" in without


def test_a_small_machine_is_told_plainly(priced):
    found = compare(priced, SMALL)
    text = page(priced, SMALL).text
    assert found.by_hour == NEW
    assert "The rebuild takes 86.2 % of the price of a new machine. Usual is 50 % to 70 %" in text
    assert "look hard at buying new" in text
    assert "A new machine is likely to come" in text


def test_a_price_within_the_contingency_says_how_much_may_be_drawn(priced):
    given = NewMachine("GBP", life_new=one("14000"))
    found = compare(priced, given)
    low, _, high = found.prices
    assert low < found.turns_at < high
    room = f"£{found.room.amount:,.0f} of the contingency of £31,317 is drawn"
    assert room in page(priced, given).text


def test_a_fixed_price_is_one_price(priced):
    terms = replace(priced.job.terms, commercial_form="fixed price")
    text = page(changed(priced, terms=terms)).text
    assert "Our price, £275,946, is under that." in text
    for word in ("contingency", "firm £", "£244,629"):
        assert word not in text


def test_it_follows_locale_and_currency(priced):
    text = page(priced, FULL, "de_DE").text
    assert "275.946" in text
    assert "20. November 2026" in text


@pytest.mark.parametrize("locale", ["en_GB", "en_US", "fr_FR"])
@pytest.mark.parametrize("given", [None, FULL, EARLY, PARTIAL], ids=["plain", "full", "on", "part"])
def test_it_is_one_page_with_nothing_clipped_or_over_another(priced, given, locale):
    paper = page(priced, given, locale)
    assert len(paper.pages) == 1
    if locale != "en_US":  # Letter is another size
        inside_and_apart(boxes(paper.data))
    for name, descriptor in fonts(paper.reader).items():
        assert descriptor is not None, name


def test_long_names_and_sources_stay_on_one_page(priced):
    sources = {
        name: replace(value, source="where it was taken from, told at some length " * 8)
        for name in INPUTS
        if (value := input_of(FULL, name)) is not None
    }
    odd = changed(
        priced,
        customer=Party(LONG), workshop=Party(LONG, (LONG,)),
        machine=replace(priced.job.machine, serial="X" * 80),
    )  # fmt: skip
    paper = page(odd, replace(FULL, **sources), "en_US")
    assert len(paper.pages) == 1
    assert "<b>GmbH</b>" in paper.text
    assert "told at some length" not in paper.text  # the record holds them
    assert "(our figure)" in paper.text


def test_markup_in_a_source_is_text(priced):
    given = replace(FULL, hire_week=one("2150", source="<b>list</b> & {braces} </para>"))
    assert "<b>list</b> & {braces} </para>" in page(priced, given).text


def test_charts_are_vectors_and_bytes_are_the_same_again(priced, full):
    document = pypdfium2.PdfDocument(full.data)
    kinds = [one.type for one in document[0].get_objects(max_depth=4)]
    assert kinds.count(pypdfium2.raw.FPDF_PAGEOBJ_IMAGE) == 0
    assert kinds.count(pypdfium2.raw.FPDF_PAGEOBJ_PATH) > 20
    document.close()
    assert rebuild_or_new_pdf(compare(priced, FULL)) == full.data


def test_it_has_bookmarks_title_and_language(full):
    titles = [one.title for one in full.reader.outline]
    assert titles[0].startswith("Rebuild or buy new")
    assert "What it rests on, and whose figure it is" in titles
    assert "Q-2041 rev A" in full.reader.metadata.title
    assert full.reader.trailer["/Root"]["/Lang"] == "en"


def test_a_price_above_a_new_one_still_draws(priced):
    given = NewMachine("GBP", new_price=one("150000"))
    text = page(priced, given).text
    assert "184 % of £150,000" in text
    nothing = NewMachine("GBP", new_price=one("20000"), residual_rebuilt=one("0"),
                         life_new=one("60000"), hire_week=one("5000"))  # fmt: skip
    assert (
        "No price of the rebuild would change that."
        in page(priced, replace(nothing, lead_weeks=one("0"))).text
    )
