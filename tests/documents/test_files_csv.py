"""The plain table read back with the standard reader: shape, types, and every sum added again."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from io import StringIO

import pytest

from estimator.documents.files.file_text import cell_text, number_text, one_line
from estimator.documents.files.quote_csv import COLUMNS, quote_csv
from estimator.documents.files.quote_rows import DETAILS, FULL, SHORT
from estimator.domain.quote import build_quote
from tests.documents.file_sources import (
    HOSTILE,
    euro_quote,
    file_quote,
    golden_quote,
    hostile_quote,
)
from tests.golden.golden_job import golden_priced

QUOTES = {"pounds": golden_quote, "euros, fixed": euro_quote}
CASES = [(name, detail) for name in QUOTES for detail in DETAILS]


def read(data: bytes) -> list[dict[str, str]]:
    text = data.decode("utf-8-sig")
    return list(csv.DictReader(StringIO(text, newline=""), strict=True))


def added(rows: Iterable[dict[str, str]]) -> Decimal:
    return sum((Decimal(row["amount"]) for row in rows if row["amount"]), Decimal(0))


@pytest.mark.parametrize(("name", "detail"), CASES)
def test_amounts_add_up_to_the_price_with_tax(name, detail):
    quote = QUOTES[name]()
    rows = read(quote_csv(file_quote(quote, detail)))
    totals = quote.priced.price.totals
    taxes = [row for row in rows if row["row"] == "tax"]
    assert added(rows) == totals.gross.amount
    net = added(row for row in rows if row["row"] != "tax")
    assert net == totals.net.amount
    rate = Decimal(re.search(r"(\d+) %$", taxes[0]["description"])[1])
    tax = (net * rate / 100).quantize(Decimal("0.01"), rounding=ROUND_HALF_UP)
    assert [Decimal(row["amount"]) for row in taxes] == [tax]


def test_lines_by_certainty_are_those_of_the_price():
    price = golden_quote().priced.price
    for detail in DETAILS:
        rows = read(quote_csv(file_quote(detail=detail)))
        lines = [row for row in rows if row["row"] == "line"]
        for certainty, amount in (("firm", price.firm_lines),
                                  ("provisional", price.provisional_lines)):  # fmt: skip
            own = [row for row in lines if row["certainty"] == certainty]
            assert added(own) == amount.amount, (detail, certainty)
        held = [row for row in rows if row["certainty"] == "contingency"]
        assert added(held) == price.contingency.amount


def test_full_states_quantities_and_ranges():
    rows = [row for row in read(quote_csv(file_quote(detail=FULL))) if row["row"] == "line"]
    assert len(rows) == len(golden_quote().priced.lines)
    for row in rows:
        assert Decimal(row["quantity"]) > 0
        assert row["unit"]
        if row["certainty"] == "provisional":
            low, likely, high = (Decimal(row[name])
                                 for name in ("amount_low", "amount", "amount_high"))  # fmt: skip
            assert low <= likely <= high
        else:
            assert not row["amount_low"]


def test_one_fixed_price_sets_nothing_apart():
    for detail in DETAILS:
        rows = read(quote_csv(file_quote(euro_quote(), detail)))
        assert {row["certainty"] for row in rows} == {""}
        assert not any(row["amount_low"] or row["quantity_high"] for row in rows)
        assert {row["currency"] for row in rows if row["amount"]} == {"EUR"}


def test_rfc_4180_and_the_byte_order_mark():
    source = file_quote(detail=FULL)
    plain, marked = quote_csv(source), quote_csv(source, bom=True)
    assert marked == b"\xef\xbb\xbf" + plain
    assert plain.endswith(b"\r\n")
    assert plain.count(b"\n") == plain.count(b"\r\n") == plain.count(b"\r")
    assert plain == quote_csv(source)
    table = list(csv.reader(StringIO(plain.decode(), newline=""), strict=True))
    assert tuple(table[0]) == COLUMNS
    assert {len(row) for row in table} == {len(COLUMNS)}


def test_days_are_iso():
    rows = [row for row in read(quote_csv(file_quote(detail=SHORT))) if row["row"] == "milestone"]
    days = {row["reference"]: date.fromisoformat(row["day"]) for row in rows}
    quote = golden_quote()
    assert days["valid until"] == quote.valid_until
    assert days["ready planned"] == quote.ready_covered
    assert days["answers by"] == date(2027, 1, 13)  # five working days after 6 January
    assert list(days.values())[:5] == sorted(list(days.values())[:5])


@pytest.mark.parametrize("language", ["de", "fr", "pl", "en_US", "xx"])
def test_another_language_changes_words_alone(language):
    def figures(one: str) -> list[tuple[str, ...]]:
        quote = build_quote(golden_priced(), one, with_options=False)
        rows = read(quote_csv(file_quote(quote, FULL)))
        return [(row["row"], row["reference"], row["amount"], row["day"]) for row in rows]

    assert figures(language) == figures("en")


@pytest.mark.parametrize("detail", DETAILS)
def test_hostile_text_is_data(detail):
    data = quote_csv(file_quote(hostile_quote(), detail))
    rows = read(data)
    table = list(csv.reader(StringIO(data.decode(), newline=""), strict=True))
    assert {len(row) for row in table} == {len(COLUMNS)}
    assert added(rows) == golden_quote().priced.price.totals.gross.amount
    for row in rows:
        for name, value in row.items():
            if name != "amount":
                assert not value.startswith(("=", "+", "-", "@", "\t", "\r", "\uff1d")), value
            assert value.isprintable() or "\u200c" in value, repr(value)


@pytest.mark.parametrize(
    ("text", "cell"),
    [
        ("=1+1", "'=1+1"), ("+44 1234", "'+44 1234"), ("-5 off", "'-5 off"), ("@x", "'@x"),
        ("\t=1", "'=1"), ("\r\n =1", "'=1"), ("\u202e=1", "'=1"), ("\x00=1", "'=1"),
        ("\uff1d1", "'\uff1d1"), ("a=1", "a=1"), ("", ""), ("'=1", "'=1"), ("\u200b=1", "'=1"),
    ],
)  # fmt: skip
def test_what_looks_like_a_formula_is_text(text, cell):
    assert cell_text(text) == cell


def test_texts_and_numbers():
    assert one_line("a\u0301\u00a0 b\r\n\x1fc") == "\u00e1 b c"
    assert one_line("\u0645\u06cc\u200c\u062e\u0648\u0627\u0647\u0645\u200f") == (
        "\u0645\u06cc\u200c\u062e\u0648\u0627\u0647\u0645"
    )
    assert [number_text(Decimal(one)) for one in ("1200", "1.50", "0.00", "1E+3", "-0.25")] == [
        "1200", "1.5", "0", "1000", "-0.25",
    ]  # fmt: skip
    assert len(one_line(HOSTILE[8])) == 32_000
