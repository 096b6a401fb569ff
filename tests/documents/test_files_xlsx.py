"""The workbook read back with another library, its sums reckoned again from its own cells."""

from __future__ import annotations

import re
import zipfile
from dataclasses import replace
from datetime import datetime
from decimal import Decimal
from io import BytesIO

import pytest
from openpyxl import load_workbook

from estimator.documents.files.quote_rows import DETAILS, FULL, SHORT, STANDARD
from estimator.documents.files.quote_xlsx import quote_xlsx
from estimator.documents.files.workbook import at, letter, sheet_name, span
from tests.documents.file_sources import (
    HOSTILE,
    euro_quote,
    file_quote,
    golden_quote,
    hostile_quote,
)
from tests.documents.sheet_reckoner import Reckoner

QUOTES = {"pounds": golden_quote, "euros, fixed": euro_quote}
CASES = [(name, detail) for name in QUOTES for detail in DETAILS]


@pytest.fixture(scope="module")
def books() -> dict[tuple[str, str], Reckoner]:
    return {
        (name, detail): Reckoner(quote_xlsx(file_quote(QUOTES[name](), detail)))
        for name, detail in CASES
    }


def rows(book: Reckoner, sheet: str) -> list[list[object]]:
    return [[cell.value for cell in row] for row in book.shown[sheet].iter_rows(min_row=5)]


def sums(book: Reckoner) -> dict[str, Decimal]:
    """Rows of the summary by name, those of the price alone, as shown."""
    found: dict[str, Decimal] = {}
    for name, amount, *_ in rows(book, "Summary"):
        if name is None:
            break
        found[str(name)] = Decimal(repr(amount))
    return found


@pytest.mark.parametrize("case", CASES)
def test_every_formula_comes_to_what_is_shown(books, case):
    book = books[case]
    assert len(book.formulas) >= 8
    for sheet, place in book.formulas:
        worked, shown = book.value(sheet, place), book.shown_value(sheet, place)
        assert abs(worked - shown) < Decimal("1e-9"), (sheet, place, worked, shown)


@pytest.mark.parametrize("case", CASES)
def test_totals_are_those_of_the_quote(books, case):
    found, price = sums(books[case]), QUOTES[case[0]]().priced.price
    assert found["Price before tax"] == price.net.amount
    assert found["Price with tax"] == price.totals.gross.amount
    names = list(found)
    net = names.index("Price before tax")
    held = found[names[net - 1]]
    assert held == price.contingency.amount
    base = names[net - 2]
    assert found[base] + held == found["Price before tax"]
    assert sum(found[name] for name in names[: net - 2]) == found[base]


def test_a_changed_cell_moves_the_price_with_it(books):
    book = Reckoner(quote_xlsx(file_quote(detail=FULL)))
    before = book.value("Summary", gross := place_of(book, "Summary", "Price with tax"))
    book.type_in("Lines", "J5", book.typed["Lines"]["J5"].value + 100)
    assert book.value("Summary", gross) - before == 120


def place_of(book: Reckoner, sheet: str, name: str) -> str:
    for row in book.typed[sheet].iter_rows(min_row=5):
        if row[0].value == name:
            return row[1].coordinate
    raise AssertionError(name)


def test_lines_are_told_in_full_alone(books):
    wanted = {
        SHORT: ["Summary", "Stage payments", "Dates"],
        STANDARD: ["Summary", "Component groups", "Provisional lines", "Stage payments", "Dates"],
        FULL: ["Summary", "Component groups", "Lines", "Provisional lines", "Stage payments",
               "Dates"],
    }  # fmt: skip
    for detail, names in wanted.items():
        assert books["pounds", detail].typed.sheetnames == names
        fixed = [name for name in names if name != "Provisional lines"]
        assert books["euros, fixed", detail].typed.sheetnames == fixed


def test_certainties_stand_apart_and_add_up(books):
    book = books["pounds", FULL]
    price = golden_quote().priced.price
    found = {row[0]: row[1] for row in rows(book, "Summary") if row[0] and row[1] is not None}
    parts = [Decimal(repr(found[name])) for name in ("Firm", "Provisional", "Contingency")]
    assert parts == [price.firm.amount, price.provisional.amount, price.contingency.amount]
    assert sum(parts) == price.net.amount
    by_sure: dict[object, Decimal] = {}
    for row in rows(book, "Lines")[:-1]:
        by_sure[row[5]] = by_sure.get(row[5], Decimal(0)) + Decimal(repr(row[9]))
    assert by_sure == {"Firm": price.firm_lines.amount,
                       "Provisional": price.provisional_lines.amount}  # fmt: skip


def test_one_fixed_price_sets_nothing_apart(books):
    for detail in DETAILS:
        text = " ".join(all_text(books["euros, fixed", detail]))
        assert not re.search(r"\b(Firm|Provisional|Contingency)\b", text), detail


def test_provisional_lines_lie_in_their_range(books):
    found = rows(books["pounds", STANDARD], "Provisional lines")
    *lines, total = found
    assert len(lines) == 15
    assert all(row[5] <= row[6] <= row[7] for row in lines)
    assert all(row[8] for row in lines)
    assert sum(row[6] for row in lines) == total[6]


def test_stages_add_up_to_the_price(books):
    for name, make in QUOTES.items():
        *stages, whole = rows(books[name, SHORT], "Stage payments")
        totals = make().priced.price.totals
        for column, total in ((2, totals.net), (3, totals.tax), (4, totals.gross)):
            added = sum(Decimal(repr(row[column])) for row in stages)
            assert added == Decimal(repr(whole[column])) == total.amount
        assert sum(Decimal(repr(row[1])) for row in stages) == 1


def test_cells_are_typed(books):
    book = books["pounds", FULL]
    for row in book.typed["Lines"].iter_rows(min_row=5):
        assert row[9].data_type in ("n", "f")
        assert row[9].number_format == "#,##0.00;-#,##0.00"
        assert row[3].data_type in ("s", "n")
    days = [row[1] for row in book.typed["Dates"].iter_rows(min_row=5)]
    assert len(days) == 6
    assert all(isinstance(day.value, datetime) and day.is_date for day in days)
    quote = golden_quote()
    assert days[4].value.date() == quote.ready_covered
    assert days[5].value.date() == quote.valid_until


@pytest.mark.parametrize(("paper", "number"), [("A4", 9), ("Letter", 1)])
def test_it_prints_as_it_should(paper, number):
    book = load_workbook(BytesIO(quote_xlsx(file_quote(detail=FULL), paper=paper)))
    for sheet in book:
        assert sheet.freeze_panes == "A5"
        assert sheet.print_title_rows == "$1:$4"
        assert int(sheet.page_setup.paperSize) == number
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert (sheet.page_setup.fitToWidth or 1, sheet.page_setup.fitToHeight) == (1, 0)
        assert sheet.oddFooter.right.text == "Page &P of &N"
        assert "Quote Q-2041 rev A" in sheet.oddHeader.right.text
        assert all(sheet.column_dimensions[name].width >= 8 for name in "AB")
    assert book["Lines"].page_setup.orientation == "landscape"
    assert book["Lines"].auto_filter.ref


def all_text(book: Reckoner) -> list[str]:
    return [
        str(cell.value)
        for sheet in book.shown
        for row in sheet.iter_rows()
        for cell in row
        if isinstance(cell.value, str)
    ]


def test_neither_cost_nor_margin_nor_odds(books):
    """Other costs of the workshop change nothing in the file."""
    quote = golden_quote()
    priced = quote.priced
    lines = tuple(replace(one, cost=one.cost * 3 + 7) for one in priced.lines)
    price = replace(priced.price, cost_by_kind=dict.fromkeys(priced.price.cost_by_kind, Decimal(1)))
    dearer = replace(quote, priced=replace(priced, lines=lines, price=price))
    for detail in DETAILS:
        made = quote_xlsx(file_quote(dearer, detail))
        assert made == quote_xlsx(file_quote(detail=detail)), detail
    text = " ".join(all_text(books["pounds", FULL])).lower()
    for word in ("margin", "markup", "exposed", "p80", "simulat", "times in", "own cost"):
        assert word not in text


@pytest.mark.parametrize("case", CASES)
def test_same_quote_same_bytes(case):
    source = file_quote(QUOTES[case[0]](), case[1])
    data = quote_xlsx(source)
    assert quote_xlsx(source) == data
    with zipfile.ZipFile(BytesIO(data)) as package:
        assert {one.date_time for one in package.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert b"2026-11-25T12:30:00Z" in package.read("docProps/core.xml")
    other = replace(source, quote=replace(source.quote, record="other"))
    assert quote_xlsx(other) != data


def test_hostile_text_stays_text():
    source = file_quote(hostile_quote(), FULL)
    data = quote_xlsx(source)
    book = Reckoner(data)
    for sheet, place in book.formulas:
        worked, shown = book.value(sheet, place), book.shown_value(sheet, place)
        assert abs(worked - shown) < Decimal("1e-9"), (sheet, place)
        assert re.match(r"=(SUM|SUMIFS|ROUND|'|[A-Z]+\d)", book.typed[sheet][place].value)
    texts = all_text(book)
    assert not [one for one in texts if one[:1] in ("=", "+", "-", "@", "\t", "\uff1d")]
    assert '\'=HYPERLINK("http://x.example","y")' in texts
    assert "abc d" in texts
    joined = "".join(texts)
    assert not re.search(r"[\x00-\x1f\u202a-\u202e\u2066-\u2069\u200e\u200f\ud800\ufffe]", joined)
    assert HOSTILE[11] in texts
    assert "_x0041_ &P &[Page]" in texts
    assert max(map(len, texts)) <= 32_767
    with zipfile.ZipFile(BytesIO(data)) as package:
        assert not [name for name in package.namelist() if "rels" in name and "sheet" in name]


def test_a_draft_says_so():
    book = load_workbook(BytesIO(quote_xlsx(file_quote(issued=False, chain_head=""))))
    assert "Draft: not issued, and no offer" in book["Summary"]["A2"].value
    told = [row[0].value for row in book["Summary"].iter_rows()]
    assert "Record" not in told


def test_places_as_formulas_name_them():
    assert [letter(one) for one in (0, 25, 26, 51, 52, 701, 702)] == [
        "A", "Z", "AA", "AZ", "BA", "ZZ", "AAA",
    ]  # fmt: skip
    assert at(1, 4, "It's") == "'It''s'!B5"
    assert span(2, 4, 9) == "$C$5:$C$10"
    assert sheet_name("a/b:[c]" + "x" * 40) == ("a b  c " + "x" * 40)[:31]
    assert sheet_name("''") == "Sheet"
