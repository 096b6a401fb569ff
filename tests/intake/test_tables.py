"""A CSV table into rows: every fault by row and column, and the good rows none the worse."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from estimator.domain.findings import Finding
from estimator.domain.problem import Place
from estimator.intake.tables import read_records, read_table

HEADER = "id,measure,what,unit,measured,part,result,date"
GOOD = "I01,M0101,,L/min,104,,,2026-11-16"
SEEN = 'I02,,"hoses, all",,,P-A;P-B,sound,2026-11-16'


@pytest.fixture
def table(tmp_path: Path):
    """Write lines (or raw text) as a findings file and read them."""

    def read(*lines: str, raw: bytes | None = None, end: str = "\n"):
        path = tmp_path / "findings.csv"
        path.write_bytes(raw if raw is not None else (end.join(lines) + end).encode())
        return read_table(path, Finding)

    return read


def placed(problems) -> list[tuple[str, int | None, str]]:
    return [(one.code, one.place.row, one.place.column) for one in problems]


def test_rows_are_read_with_their_place(table):
    rows, problems = table(HEADER, GOOD, SEEN)
    assert problems == []
    assert [row.id for row in rows] == ["I01", "I02"]
    assert rows[0].place == Place("findings.csv", 2)
    assert rows[1].what == "hoses, all"
    assert rows[1].part == ("P-A", "P-B")
    assert rows[1].measured is None


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_line_ends_and_a_byte_order_mark_change_nothing(table, end, mark):
    raw = mark + (end.join((HEADER, GOOD, SEEN)) + end).encode()
    assert table(raw=raw) == table(HEADER, GOOD, SEEN)


def test_a_last_line_without_an_end_is_read(table):
    assert table(raw=f"{HEADER}\n{GOOD}".encode())[0] == table(HEADER, GOOD)[0]


def test_columns_in_any_order_with_spaces_round_them(table):
    rows, problems = table(" date , id ,measure", "2026-11-16, I01 ,M0101 ")
    assert problems == []
    assert (rows[0].id, rows[0].measure) == ("I01", "M0101")


@pytest.mark.parametrize("blank", ["", "   ", ",,,,,,,", " , ,,,,,, "])
def test_blank_rows_are_skipped_and_counted(table, blank):
    rows, problems = table(HEADER, blank, GOOD, blank)
    assert problems == []
    assert rows[0].place.row == 3


def test_a_cell_of_several_lines_keeps_the_count_of_rows(table):
    rows, problems = table(
        HEADER, 'I01,,"two\nlines",,,P-A,sound,2026-11-16', "I02,M0101,,L/min,x,,,2026-11-16"
    )
    assert rows[0].what == "two\nlines"
    assert placed(problems) == [("bad-cell", 4, "measured")]


@pytest.mark.parametrize(
    ("row", "cells"),
    [("I01,M0101", 2), (GOOD + ",", 9), (GOOD.replace("104", "1,04"), 9), ("I01", 1)],
)
def test_a_ragged_row_is_named_with_its_count(table, row, cells):
    rows, problems = table(HEADER, row, SEEN)
    assert [one.id for one in rows] == ["I02"]
    assert placed(problems) == [("cell-count", 2, "")]
    assert f"{cells} cells where the header has 8" in problems[0].message


@pytest.mark.parametrize("column", ["id", "date"])
def test_a_blank_cell_that_must_be_filled_says_what_it_holds(table, column):
    cells = dict(zip(HEADER.split(","), GOOD.split(","), strict=True)) | {column: "  "}
    rows, problems = table(HEADER, ",".join(cells.values()))
    assert rows == []
    assert placed(problems) == [("blank-cell", 2, column)]
    assert len(problems[0].message) > len("is blank; it holds .")


def test_every_fault_of_every_row_is_found_at_once(table):
    rows, problems = table(
        HEADER,
        "I01,M0101,,L/min,abc,,bad,yesterday",
        GOOD,
        ",M0101,,furlong,1,,,2026-11-16",
    )
    assert [row.id for row in rows] == ["I01"]
    assert placed(problems) == [
        ("bad-cell", 2, "measured"),
        ("bad-cell", 2, "result"),
        ("bad-cell", 2, "date"),
        ("blank-cell", 4, "id"),
        ("bad-cell", 4, "unit"),
    ]


# -- header -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("header", "code", "column"),
    [
        ("id,date,colour", "unknown-column", "colour"),
        ("ID,date", "unknown-column", "ID"),
        ("id,date,place", "unknown-column", "place"),
        ("id,date,what,what", "column-twice", "what"),
        ("id,what", "column-missing", "date"),
        ("date", "column-missing", "id"),
        ("id;date;what", "semicolons", ""),
    ],
)
def test_a_header_that_will_not_do(table, header, code, column):
    rows, problems = table(header, "I01,2026-11-16,x")
    assert rows == []
    assert (code, 1, column) in placed(problems)
    assert all(problem.place.row == 1 for problem in problems)


def test_an_unknown_column_is_answered_with_those_there_are(table):
    _, problems = table("id,date,colour", "I01,2026-11-16,red")
    assert "measured" in problems[0].remedy


def test_a_column_without_a_name_is_said_to_have_none(table):
    """A comma too many at the end of the header: the message must say what is not a column."""
    _, problems = table(HEADER + ",", GOOD + ",")
    assert problems
    assert "blank" in str(problems[0]) or "no name" in str(problems[0])


def test_a_very_long_heading_is_cut_in_the_message(table):
    _, problems = table("id,date," + "x" * 50_000, "I01,2026-11-16,")
    assert problems
    assert all(len(str(problem)) < 2000 for problem in problems)


@pytest.mark.parametrize("raw", [b"", b"\xef\xbb\xbf"])
def test_an_empty_file_is_said_to_be_empty(table, raw):
    rows, problems = table(raw=raw)
    assert rows == []
    assert [one.code for one in problems] == ["empty-table"]


def test_a_header_alone_is_a_table_of_no_rows(table):
    assert table(HEADER) == ([], [])


# -- broken CSV ---------------------------------------------------------------------------------


def test_an_unterminated_quote_is_placed_at_its_own_row(table):
    rows, problems = table(HEADER, GOOD, 'I02,,"never closed,,,,,2026-11-16', GOOD)
    assert placed(problems) == [("bad-csv", 3, "")]
    assert "quote" in str(problems[0]).lower()
    assert [row.id for row in rows] == ["I01"]


@pytest.mark.parametrize("cell", ['"a"b', '"a" '])
def test_text_after_a_closing_quote_is_refused(table, cell):
    _, problems = table(HEADER, f"I01,,{cell},,,P-A,sound,2026-11-16")
    assert placed(problems) == [("bad-csv", 2, "")]


def test_a_broken_quote_in_the_header_is_not_called_an_empty_file(table):
    _, problems = table('"id,date', GOOD)
    assert [one.code for one in problems] == ["bad-csv"]
    assert problems[0].place.row == 1


def test_a_cell_of_ten_megabytes_is_refused_in_a_few_words(table):
    _, problems = table(HEADER, GOOD, f"I02,,{'x' * 10_000_000},,,P-A,sound,2026-11-16")
    assert placed(problems) == [("bad-csv", 3, "")]
    assert "100,000 characters" in problems[0].message
    assert len(str(problems[0])) < 200


def test_a_cell_of_some_thousand_characters_is_placed_at_its_column(table):
    _, problems = table(HEADER, f"I02,,{'x' * 5000},,,P-A,sound,2026-11-16")
    assert placed(problems) == [("bad-cell", 2, "what")]
    assert "5,000" in problems[0].message


def test_a_table_of_many_rows_is_read(table):
    rows, problems = table(HEADER, *(GOOD.replace("I01", f"I{number}") for number in range(5000)))
    assert problems == []
    assert rows[-1].place.row == 5001


# -- records from JSON --------------------------------------------------------------------------


def test_records_are_read_like_the_cells_of_a_table(table):
    rows, _ = table(HEADER, GOOD, SEEN)
    records = [
        {"id": "I01", "measure": "M0101", "unit": "L/min", "measured": 104,
         "date": "2026-11-16"},
        {"id": "I02", "what": "hoses, all", "part": ["P-A", "P-B"], "result": "sound",
         "date": "2026-11-16", "note": None, "unit": ""},
    ]  # fmt: skip
    got, problems = read_records(records, Finding, "findings.json")
    assert problems == []
    assert [replace(one, place=Place()) for one in got] == [
        replace(one, place=Place()) for one in rows
    ]
    assert [one.place for one in got] == [Place("findings.json", 1), Place("findings.json", 2)]


@pytest.mark.parametrize("records", [{}, "x", 5, None, [1], [[]], [{"id": "I01"}, "x"]])
def test_what_is_no_list_of_objects_is_refused(records):
    rows, problems = read_records(records, Finding, "f.json")
    assert rows == []
    assert [one.code for one in problems] == ["bad-file"]


@pytest.mark.parametrize(
    ("cells", "code", "column"),
    [
        ({"colour": "red"}, "unknown-column", "colour"),
        ({"place": "here"}, "unknown-column", "place"),
        ({"measured": True}, "bad-cell", "measured"),
        ({"measured": [1, 2]}, "bad-cell", "measured"),
        ({"measured": {"value": 1}}, "bad-cell", "measured"),
        ({"date": None}, "blank-cell", "date"),
        ({"date": 16.11}, "bad-cell", "date"),
        ({"result": ["sound"], "date": ""}, "blank-cell", "date"),
    ],
)
def test_a_fault_of_a_record_is_placed(cells, code, column):
    record = {"id": "I01", "date": "2026-11-16"} | cells
    rows, problems = read_records([record], Finding, "f.json")
    assert rows == []
    assert placed(problems) == [(code, 1, column)]


@pytest.mark.parametrize("value", [{"a": 1}, {}, ["a", "b"], True, [["a"]]])
def test_a_text_is_a_text(value):
    """An object, a list or a truth value where a sentence belongs is a slip, not a sentence."""
    record = {"id": "I01", "date": "2026-11-16", "what": value}
    _, problems = read_records([record], Finding, "f.json")
    assert placed(problems) == [("bad-cell", 1, "what")]


@pytest.mark.parametrize("depth", [2, 50, 450, 900])
def test_lists_within_lists_are_refused(depth):
    value: object = "P-A"
    for _ in range(depth):
        value = [value]
    record = {"id": "I01", "date": "2026-11-16", "part": value}
    _, problems = read_records([record], Finding, "f.json")
    assert placed(problems) == [("bad-cell", 1, "part")]


def test_a_part_of_a_list_may_not_hold_the_mark_that_parts_it():
    record = {"id": "I01", "date": "2026-11-16", "photo": ["a;b.jpg"]}
    rows, problems = read_records([record], Finding, "f.json")
    assert problems or rows[0].photo == ("a;b.jpg",)
