"""Price lists that are no lists, or no good ones: each says what is wrong and where."""

from __future__ import annotations

import datetime
from decimal import Decimal

import pytest

from estimator.domain.price_list.mapping import ColumnUse, Mapping
from estimator.domain.problem import errors_in
from estimator.intake import price_list_container as container
from estimator.intake.price_list_heads import field_of, fitted, proposed_mapping, with_heads
from estimator.intake.price_list_rows import read_list
from estimator.intake.price_list_table import column_letters, column_number, read_price_table
from tests.intake.price_list_files import (
    HEAD,
    ROWS,
    as_csv,
    edited_workbook,
    lying_bomb,
    part,
    with_part,
    workbook,
)

GOOD = (HEAD, *ROWS)


def codes(problems, warning=False):
    return [one.code for one in problems if one.warning == warning]


def refused(data, name="list.xlsx"):
    table, problems = read_price_table(name, data)
    assert table is None
    (fault,) = errors_in(problems)
    assert fault.place.file == name and fault.message
    return fault.code


def read(data, name="list.xlsx", **changes):
    from dataclasses import replace

    table, problems = read_price_table(name, data)
    assert table is not None, problems
    return read_list(table, replace(proposed_mapping(table), **changes))


def with_cell(column, cell, row=1):
    """A good list with one other cell."""
    rows = [list(one) for one in GOOD]
    rows[row][column] = cell
    return rows


def faults(data, **changes):
    found = read(data, **changes)
    return [(one.code, one.place.row, one.place.column) for one in errors_in(found.problems)]


def test_a_good_workbook_and_the_same_as_text_are_the_same_items():
    book, text = read(workbook(GOOD)), read(as_csv(GOOD), "list.csv")
    assert book.items == text.items and len(book.items) == 3
    assert book.problems == []
    first = book.items[0]
    assert (first.key, first.minor, first.cells.number) == ("00117", 40000, "00117")
    assert codes(text.problems, warning=True) == ["read-as"]


# Not a list


def test_files_that_are_no_list():
    assert refused(b"") == "empty-file"
    assert refused(b"%PDF-1.7 ...") == "picture"
    assert refused(b"\x89PNG\r\n\x1a\n....") == "picture"
    assert refused(b"\xff\xd8\xff\xe0..JFIF") == "picture"
    assert refused(b"\xd0\xcf\x11\xe0" + b"\0" * 600) == "old-workbook"
    locked = b"\xd0\xcf\x11\xe0" + b"\0" * 600 + "EncryptedPackage".encode("utf-16-le")
    assert refused(locked) == "encrypted"
    assert refused(b"<html><table><tr><td>1</td></tr></table></html>") == "web-page"
    assert refused(b"MZ\0\0\x01\0\0") == "not-a-table"
    assert refused(workbook([])) == "empty-table"
    assert refused(b"PK\x03\x04 cut off") == "damaged"
    assert refused(workbook(GOOD)[:-200]) == "damaged"


def test_an_archive_that_is_no_workbook(tmp_path):
    import io
    import zipfile

    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("list.csv", "a;b")
    assert refused(out.getvalue()) == "no-workbook"


def test_a_workbook_that_holds_a_picture_and_no_cells():
    assert refused(with_part(workbook([]), "xl/media/image1.png", b"\x89PNG")) == "picture"


def test_a_zip_bomb_by_what_it_declares(monkeypatch):
    swollen = with_part(workbook(GOOD), "xl/worksheets/sheet9.xml", b" " * 3_000_000)
    assert refused(swollen) == "zip-bomb"
    monkeypatch.setattr(container, "MOST_PARTS", 5)
    assert refused(workbook(GOOD)) == "zip-bomb"


def test_a_zip_bomb_that_lies_about_its_size():
    table, problems = read_price_table("list.xlsx", lying_bomb(5_000_000))
    assert table is None
    assert codes(problems) in (["damaged"], ["zip-bomb"])


def test_what_unpacks_beyond_the_limit_is_not_opened(monkeypatch):
    monkeypatch.setattr(container, "MOST_UNPACKED", 5_000)
    assert refused(workbook(GOOD)) == "zip-bomb"


def test_a_thousand_columns():
    wide = [[f"c{n}" for n in range(1000)], ["x"] * 1000]
    assert refused(workbook(wide)) == "too-many-columns"
    assert refused(as_csv(wide), "list.csv") == "too-many-columns"
    assert refused(workbook([[f"c{n}" for n in range(300)]])) == "too-many-columns"


def test_one_cell_in_the_last_row_and_column_is_not_laid_out():
    good = workbook(GOOD)
    sheet = part(good, "xl/worksheets/sheet1.xml")
    end = b"</sheetData>"
    far = b'<row r="1048576"><c r="A1048576"><v>1</v></c></row>' + end
    assert refused(with_part(good, "xl/worksheets/sheet1.xml", sheet.replace(end, far))) == (
        "too-many-rows"
    )
    right = b'<row r="9"><c r="XFD9"><v>1</v></c></row>' + end
    assert refused(with_part(good, "xl/worksheets/sheet1.xml", sheet.replace(end, right))) == (
        "too-many-columns"
    )


# Odd, but readable


def test_macros_are_not_run_and_said():
    data = with_part(workbook(GOOD), "xl/vbaProject.bin", b"\xd0\xcf\x11\xe0")
    found = read(data, "list.xlsm")
    assert codes(found.problems, warning=True) == ["macros"]
    assert len(found.items) == 3


def test_formulas_count_by_their_results_and_one_without_is_a_fault():
    def change(_book, sheet):
        sheet["C2"] = "=1+1"  # this writer saves no result

    found = read(edited_workbook(change))
    assert codes(found.problems, warning=True) == ["formulas"]
    assert [(f.code, f.place.row, f.place.column) for f in errors_in(found.problems)] == [
        ("no-result", 2, "Price")
    ]
    assert len(found.items) == 2
    kept = part(edited_workbook(change), "xl/worksheets/sheet1.xml")
    saved = kept.replace(b"<f>1+1</f><v></v>", b"<f>1+1</f><v>2</v>")
    assert saved != kept
    found = read(with_part(edited_workbook(change), "xl/worksheets/sheet1.xml", saved))
    assert errors_in(found.problems) == [] and found.items[0].minor == 200


def test_merged_heads_several_sheets_and_a_head_further_down():
    def change(book, sheet):
        sheet.insert_rows(1, 3)
        sheet["A1"] = "Price list, spring"
        sheet.merge_cells("A1:E1")
        book.create_sheet("Notes", 0)["A1"] = "Terms"

    table, problems = read_price_table("list.xlsx", edited_workbook(change))
    assert table is not None
    assert (table.sheet, table.sheets) == ("Notes", ("Notes", "Sheet"))
    assert "several-sheets" in codes(problems, warning=True)
    table, problems = read_price_table("list.xlsx", edited_workbook(change), table.sheets[1])
    assert "merged" in codes(problems, warning=True)
    mapping = proposed_mapping(table)
    assert mapping.head_row == 4
    assert len(read_list(table, mapping).items) == 3
    table, problems = read_price_table("list.xlsx", edited_workbook(change), "Prices")
    assert table is None and codes(problems) == ["no-sheet"]
    table, _ = read_price_table("list.xlsx", edited_workbook(change), liked="Sheet")
    assert table is not None and table.sheet == "Sheet"
    table, _ = read_price_table("list.xlsx", edited_workbook(change), liked="2025")
    assert table is not None and table.sheet == "Notes"


def test_text_named_as_a_workbook_is_read_as_text():
    table, problems = read_price_table("list.xlsx", as_csv(GOOD))
    assert table is not None
    assert codes(problems, warning=True) == ["named-otherwise", "read-as"]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
@pytest.mark.parametrize("delimiter", [";", ",", "\t", "|"])
def test_text_in_any_writing(encoding, delimiter):
    rows = [HEAD, *((n, f"{d} f\u00fcr T\u00fcr", p, c, u) for n, d, p, c, u in ROWS)]
    found = read(as_csv(rows, delimiter, encoding), "list.csv")
    assert [item.cells.description for item in found.items][0] == "Water pump f\u00fcr T\u00fcr"
    assert [item.key for item in found.items] == ["00117", "00220", "00330"]


# Faults of rows, by row and column


@pytest.mark.parametrize(
    ("column", "cell", "code", "name"),
    [
        (0, "", "blank-cell", "Part number"),
        (0, "1.23E+11", "bad-cell", "Part number"),
        (0, "A\x07B", "bad-cell", "Part number"),
        (0, "A\u202eB", "bad-cell", "Part number"),
        (0, "---", "bad-cell", "Part number"),
        (2, "", "blank-cell", "Price"),
        (2, "on request", "no-price", "Price"),
        (2, 0.0, "not-above-nought", "Price"),
        (2, -5.0, "not-above-nought", "Price"),
        (2, True, "no-price", "Price"),
        (2, "1.234", "unclear-mark", "Price"),
        (2, "12 USD", "two-currencies", "Price"),
        (3, "quid", "currency", "Currency"),
    ],
)
def test_a_faulty_cell_is_named_and_its_row_left_out(column, cell, code, name):
    if isinstance(cell, str) and any(ord(sign) < 32 for sign in cell):
        data, file = as_csv(with_cell(column, cell)), "list.csv"
    else:
        data, file = workbook(with_cell(column, cell)), "list.xlsx"
    found = read(data, file)
    assert (code, 2, name) in [
        (one.code, one.place.row, one.place.column) for one in errors_in(found.problems)
    ]
    assert len(found.items) == 2 and found.left_out == 1


def test_dates_where_prices_and_numbers_should_be():
    def change(_book, sheet):
        sheet["C2"] = datetime.date(2026, 12, 5)
        sheet["A3"] = datetime.date(2026, 1, 2)

    found = read(edited_workbook(lambda b, s: (change(b, s), s.append(("1", "x", 2, "GBP", "EA")))))
    assert [(f.code, f.place.row) for f in errors_in(found.problems)] == [
        ("date", 2), ("bad-cell", 3)
    ]  # fmt: skip


def test_numbers_that_a_workbook_keeps_as_numbers_are_said():
    found = read(workbook([HEAD, (31.0, "Plate", 5.0, "GBP", "EA"), *ROWS]))
    assert found.items[0].cells.number == "31"
    assert codes(found.problems, warning=True) == ["bare-numbers"]


def test_a_number_that_stands_twice_is_left_out_both_times():
    rows = [*GOOD, ("00 117", "Water pump", 410.0, "GBP", "EA"), ("9", "x", 1.0, "GBP", "EA")]
    assert faults(workbook(rows)) == [("twice", 2, "Part number"), ("twice", 5, "Part number")]


def test_two_currencies_are_said():
    found = read(workbook([*GOOD, ("9", "x", 1.0, "EUR", "EA")]))
    (note,) = found.problems
    assert note.code == "currencies" and note.place.row == 5
    assert found.currencies == ("GBP", "EUR")


def test_signs_of_currency_in_cells_and_none_at_all():
    rows = [
        ("Part number", "Price"),
        ("A1", "\u20ac 12,50"),
        ("A2", "1.012,00 EUR"),
        ("A3", "7,00"),
    ]
    found = read(as_csv(rows), "list.csv")
    assert [(f.code, f.place.row) for f in errors_in(found.problems)] == [("no-currency", 4)]
    assert [item.minor for item in found.items] == [1250, 101200]
    assert [item.minor for item in read(as_csv(rows), "l.csv", currency="EUR").items] == [
        1250, 101200, 700
    ]  # fmt: skip


def test_a_mark_is_told_by_the_column_or_by_somebody():
    rows = [("Part number", "Price"), ("A1", "1.234"), ("A2", "12,50"), ("A3", "3.000,00")]
    found = read(as_csv(rows), "list.csv", currency="EUR")
    assert [item.minor for item in found.items] == [123400, 1250, 300000]
    alone = [("Part number", "Price"), ("A1", "1.234"), ("A2", "12"), ("A3", "7")]
    assert [one.code for one in errors_in(
        read(as_csv(alone), "l.csv", currency="EUR").problems)] == ["unclear-mark"]  # fmt: skip
    said = read(as_csv(alone), "l.csv", currency="EUR", decimal=",")
    assert [item.minor for item in said.items] == [123400, 1200, 700]
    said = read(as_csv(alone), "l.csv", currency="EUR", decimal=".")
    assert (said.items[0].minor, said.items[0].cells.per) == (1234, "10")
    assert said.items[0].net_each == Decimal("1.234")


def test_prices_for_a_hundred_and_finer_than_a_penny():
    rows = [
        ("Part number", "Price per 100", "Currency"),
        ("A1", 3.45, "GBP"),
        ("A2", 0.0345, "GBP"),
    ]
    found = read(workbook(rows))
    assert [item.net_each for item in found.items] == [Decimal("0.0345"), Decimal("0.000345")]
    rows = [("Part number", "Price", "PU", "Currency"), ("A1", 5.0, "per 10", "GBP"),
            ("A2", 7.0, "C", "GBP"), ("A3", 7.0, "2 dozen 3", "GBP")]  # fmt: skip
    found = read(workbook(rows))
    assert [item.cells.per for item in found.items] == ["10", "100"]
    assert [(f.code, f.place.row, f.place.column) for f in errors_in(found.problems)] == [
        ("per", 4, "PU")
    ]


def test_prices_with_tax_are_refused_until_somebody_says_they_are_not():
    rows = [("Part number", "Price incl. VAT", "Currency"), ("A1", 3.45, "GBP")]
    found = read(workbook(rows))
    assert found.items == [] and codes(found.problems) == ["with-tax"]
    assert len(read(workbook(rows), before_tax=True).items) == 1


def test_discounts_lead_times_and_charges():
    rows = [("Part no", "Price", "Currency", "Discount %", "Discount group", "Lead days", "Core"),
            ("A1", 100.0, "GBP", 30.0, "", 10.0, 95.0), ("A2", 100.0, "GBP", "", "B", "", ""),
            ("A3", 100.0, "GBP", "", "Z", "", "")]  # fmt: skip
    found = read(workbook(rows), discounts=(("B", Decimal("12.5")),))
    assert [item.net_each for item in found.items] == [Decimal(70), Decimal("87.5"), Decimal(100)]
    assert (found.items[0].cells.lead, found.items[0].cells.charge) == ("1.5", "9500")
    assert codes(found.problems, warning=True) == ["group"]


def test_text_that_looks_like_a_formula_stays_text():
    found = read(workbook(with_cell(1, "=HYPERLINK(1)")))
    assert found.items[0].cells.description == "=HYPERLINK(1)"
    assert codes(found.problems, warning=True) == ["formula-text"]


def test_rows_beyond_the_list_and_between_it_are_passed_over():
    rows = [HEAD, ROWS[0], ("", "Engine", "", "", ""), *ROWS[1:], ("", "", "", "", ""),
            ("", "Prices subject to change", "", "", "")]  # fmt: skip
    found = read(workbook(rows))
    assert len(found.items) == 3 and errors_in(found.problems) == []
    assert sorted(codes(found.problems, warning=True)) == ["beyond", "passed-over"]


def test_a_list_that_is_mostly_faulty_is_not_taken_for_one():
    rows = [HEAD, *((n, d, "POA", c, u) for n, d, _p, c, u in ROWS)]
    found = read(workbook(rows))
    assert found.items == []
    assert found.problems[0].code == "mostly-faulty"


# Heads


@pytest.mark.parametrize(
    ("head", "field"),
    [
        ("Part No.", "number"), ("Artikel-Nr.", "number"), ("R\u00e9f\u00e9rence", "number"),
        ("N\u00famero de pieza", "number"), ("Numer cz\u0119\u015bci", "number"),
        ("Unit price", "price"), ("Listenpreis", "price"), ("Prix unitaire", "price"),
        ("Precio", "price"), ("Cena netto", "price"), ("Price per 100", "price"),
        ("Unit", "unit"), ("ME", "unit"), ("Unit\u00e9", "unit"), ("Price unit", "per"),
        ("VPE", "per"), ("Rabattgruppe", "discount_group"), ("Remise", "discount"),
        ("Lieferzeit", "lead"), ("D\u00e9lai", "lead"), ("Core charge", "charge"),
        ("Consigne", "charge"), ("Superseded by", "superseded_by"),
        ("Ersetzt durch", "superseded_by"),
        ("Valid from", "valid_from"), ("W\u00e4hrung", "currency"), ("Waluta", "currency"),
        ("Bezeichnung", "description"), ("Part description", "description"), ("Colour", ""),
        (12.0, ""),
    ],
)  # fmt: skip
def test_heads_in_five_languages(head, field):
    assert field_of(head) == field


def test_a_kept_mapping_finds_its_columns_again_and_says_which_are_gone_or_new():
    table, _ = read_price_table("a.xlsx", workbook(GOOD))
    kept = with_heads(proposed_mapping(table), table)
    moved = [
        ("Colour", *row[::-1]) if n == 0 else ("red", *row[::-1]) for n, row in enumerate(GOOD)
    ]
    table, _ = read_price_table("b.xlsx", workbook(moved))
    mapping, notes = fitted(kept, table)
    assert mapping.column("number") == 5 and mapping.column("price") == 3
    assert [(one.code, one.warning) for one in notes] == [("new-head", True)]
    assert [item.minor for item in read_list(table, mapping).items] == [40000, 1250, 9000]
    table, _ = read_price_table("c.xlsx", workbook([("No.", "Cost"), *ROWS]))
    _, notes = fitted(kept, table)
    assert codes(notes) == ["heads-changed"] and "Part number" in notes[0].message
    table, _ = read_price_table("t.csv", as_csv(GOOD))  # a list without sheets, for once
    assert fitted(kept, table)[1] == [] and fitted(kept, table)[0].sheet == ""
    newer = [(*row, "Superseded by" if n == 0 else "") for n, row in enumerate(GOOD)]
    table, _ = read_price_table("d.xlsx", workbook(newer))
    assert fitted(kept, table)[0].column("superseded_by") == 5


def test_a_mapping_that_does_not_fit_reads_nothing():
    table, _ = read_price_table("a.xlsx", workbook(GOOD))
    bad = Mapping((ColumnUse("number", 0, "x"), ColumnUse("price", 40, "y")))
    assert codes(read_list(table, bad).problems) == ["heads-changed"]
    assert codes(read_list(table, Mapping()).problems) == ["no-columns"]


def test_letters_of_columns():
    assert [column_letters(n) for n in (0, 25, 26, 701, 702)] == ["A", "Z", "AA", "ZZ", "AAA"]
    assert all(column_number(column_letters(n)) == n for n in range(800))
