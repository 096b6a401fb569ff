"""A price list as a table of cells, from a workbook or CSV; what is odd about it is said.

Cells are texts, numbers as the workbook keeps them (31 comes as 31.0), days, or True and False. A
formula counts as its last result; one that never had any is a fault where its cell is read. A
macro is never run, and nothing outside the file is looked at.
"""

from __future__ import annotations

import csv
import re
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO, StringIO
from typing import Any

from estimator.domain.problem import Place, Problem, errors_in
from estimator.domain.wording import joined, worded, worded_count
from estimator.intake.price_list_container import (
    CSV,
    MOST_COLUMNS,
    MOST_ROWS,
    Container,
    look_at_file,
)

Cell = Any  # str, float, int, bool, date, time or timedelta
LONGEST_CELL = 2_000
DELIMITERS = (";", "\t", ",", "|")
ENCODINGS = ("utf-8-sig", "cp1252")
SAMPLE = 50  # lines by which a delimiter is told
_NAMES = {";": worded("semicolon"), "\t": worded("tab"), ",": worded("comma"), "|": worded("bar")}
_EMPTY_FORMULA = re.compile(
    rb'<(?:\w+:)?c [^>]*?r="([A-Z]{1,3})(\d{1,7})"[^>]*>\s*'
    rb"<(?:\w+:)?f\b[^>]*?(?:/>|>[^<]*</(?:\w+:)?f>)"
    rb"\s*(?:<(?:\w+:)?v\s*/>|<(?:\w+:)?v>\s*</(?:\w+:)?v>)?\s*</(?:\w+:)?c>"
)


@dataclass(frozen=True, slots=True)
class PriceTable:
    """One sheet of a list. `rows` from the first row of the sheet on, all equally long; `empty` are
    cells (row, column, both from 0) with a formula that has no result; `merged` the same of cells
    that hide what stands left of or above them. `notices` are warnings."""

    file: str
    form: str
    sheets: tuple[str, ...]
    sheet: str
    rows: Sequence[Sequence[Cell]]
    notices: tuple[Problem, ...] = ()
    empty: frozenset[tuple[int, int]] = frozenset()
    merged: tuple[tuple[tuple[int, int], tuple[int, int]], ...] = ()


def read_price_table(
    file: str, data: bytes, sheet: str = "", liked: str = ""
) -> tuple[PriceTable | None, list[Problem]]:
    """The table in a file: of a workbook the sheet named, else the one that is `liked` if there is
    such, else the first that holds anything; and every fault and warning. None beside a fault."""
    found = look_at_file(file, data)
    if errors_in(found.problems):
        return None, found.problems
    if found.form == CSV:
        return _from_text(file, data, found)
    return _from_workbook(file, data, (sheet, liked), found)


# Workbooks


def _from_workbook(
    file: str, data: bytes, wanted: tuple[str, str], found: Container
) -> tuple[PriceTable | None, list[Problem]]:
    from python_calamine import CalamineError, CalamineWorkbook, WorksheetNotFound

    try:
        book = CalamineWorkbook.from_filelike(BytesIO(data))
        names = [one.name for one in book.sheets_metadata if "WorkSheet" in str(one.typ)]
        name, sheet = _chosen_sheet(book, names, wanted)
    except WorksheetNotFound:
        found.fault("no-sheet", file, worded("has no sheet {name!r}.", name=wanted[0]),
                    worded("It has: {names}.", names=joined(names)))  # fmt: skip
        return None, found.problems
    except (CalamineError, OSError, ValueError) as error:
        found.fault(
            "damaged",
            file,
            worded("cannot be read as a workbook ({reason}).", reason=str(error)[:80]),
            worded("Save it again."),
        )
        return None, found.problems
    if sheet is None or sheet.end is None:
        _no_cells(found, file)
        return None, found.problems
    if _is_too_large(found, file, sheet.end[0] + 1, sheet.end[1] + 1):
        return None, found.problems
    rows = sheet.to_python(skip_empty_area=False)
    _say_sheets(found, file, names, name)
    empty = _formulas(found, file, data, name) if found.formulas else frozenset()
    merged = tuple(sheet.merged_cell_ranges or ())
    table = PriceTable(file, found.form, tuple(names), name, rows, (), empty, merged)
    return _with_notices(table, found.problems), found.problems


def _chosen_sheet(book: Any, names: Sequence[str], wanted: tuple[str, str]) -> tuple[str, Any]:
    must, liked = wanted
    if must or liked in names:
        name = must or liked
        return name, book.get_sheet_by_name(name)
    for name in names:
        sheet = book.get_sheet_by_name(name)
        if sheet.end is not None:
            return name, sheet
    return "", None


def _no_cells(found: Container, file: str) -> None:
    if found.pictures:
        found.fault("picture", file, worded("holds a picture and no cells."),
                    worded("Ask for the list as a table."))  # fmt: skip
    else:
        found.fault("empty-table", file, worded("holds no cells."), worded("Choose another file."))


def _say_sheets(found: Container, file: str, names: Sequence[str], name: str) -> None:
    if len(names) > 1:
        found.fault("several-sheets", file, worded(
            "has {n} sheets; {name} is read.", n=len(names), name=name),
            worded("Choose another where that is the wrong one."), warn=True)  # fmt: skip


def _formulas(found: Container, file: str, data: bytes, name: str) -> frozenset[tuple[int, int]]:
    """Cells whose formula has no result. Only sheets with formulas are looked through."""
    empty: set[tuple[int, int]] = set()
    with zipfile.ZipFile(BytesIO(data)) as archive:
        part = _part_of(archive, name)
        if part not in found.formulas:
            return frozenset()
        for letters, row in _EMPTY_FORMULA.findall(archive.read(part)):
            empty.add((int(row) - 1, column_number(letters.decode())))
    found.fault(
        "formulas",
        file,
        worded("holds formulas; the results that were saved with them are taken."),
        "",
        warn=True,
    )
    return frozenset(empty)


def _part_of(archive: zipfile.ZipFile, name: str) -> str:
    """The part of the archive a sheet stands in, by the workbook's own relations."""
    from xml.sax.saxutils import unescape

    book = archive.read("xl/workbook.xml").decode("utf-8", "replace")
    kept = archive.read("xl/_rels/workbook.xml.rels").decode("utf-8", "replace")
    wanted = ""
    for tag in re.findall(r"<(?:\w+:)?sheet [^>]*>", book):
        said = dict(re.findall(r'([\w:]+)="([^"]*)"', tag))
        if unescape(said.get("name", ""), {"&quot;": '"', "&apos;": "'"}) == name:
            wanted = next((v for k, v in said.items() if k.endswith(":id")), "")
    for tag in re.findall(r"<(?:\w+:)?Relationship [^>]*>", kept):
        said = dict(re.findall(r'([\w:]+)="([^"]*)"', tag))
        if said.get("Id") == wanted:
            target = said.get("Target", "")
            return target.lstrip("/") if target.startswith("/") else f"xl/{target}"
    return ""


def column_number(letters: str) -> int:
    """Number of a column, from 0: A is 0, AA is 26."""
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - ord("A") + 1
    return number - 1


def column_letters(number: int) -> str:
    """Letters of a column that is counted from 0."""
    letters = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


# Text


def _from_text(file: str, data: bytes, found: Container) -> tuple[PriceTable | None, list[Problem]]:
    text, encoding = _decoded(data)
    delimiter = _delimiter(text)
    csv.field_size_limit(LONGEST_CELL * 50)
    reader = csv.reader(StringIO(text, newline=""), delimiter=delimiter, strict=True)
    rows: list[list[Cell]] = []
    try:
        rows.extend(reader)
    except csv.Error as error:
        place = Place(file, reader.line_num)
        found.problems.append(
            Problem(
                "bad-csv",
                place,
                worded("cannot be read as CSV ({reason}).", reason=str(error)),
                worded("Mend the quotes."),
            )
        )
        return None, found.problems
    width = max(map(len, rows), default=0)
    if _is_too_large(found, file, len(rows), width):
        return None, found.problems
    if not width:
        _no_cells(found, file)
        return None, found.problems
    if min(map(len, rows)) < width:
        rows = [row if len(row) == width else row + [""] * (width - len(row)) for row in rows]
    found.fault("read-as", file, worded(
        "is read as {encoding} with {delimiter} between the cells.",
        encoding="UTF-8" if encoding == "utf-8-sig" else encoding, delimiter=_NAMES[delimiter]),
        "", warn=True)  # fmt: skip
    table = PriceTable(file, CSV, ("",), "", rows)
    return _with_notices(table, found.problems), found.problems


def _decoded(data: bytes) -> tuple[str, str]:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return data.decode("utf-16", "replace"), "UTF-16"
    for encoding in ENCODINGS:
        try:
            return data.decode(encoding), encoding
        except UnicodeDecodeError:
            continue
    return data.decode("latin-1"), "latin-1"


def _delimiter(text: str) -> str:
    """The sign that stands equally often in most lines, outside of quotes."""
    lines = [re.sub(r'"[^"]*"', "", line) for line in text[:200_000].splitlines()[:SAMPLE]]
    lines = [line for line in lines if line.strip()]
    best, most = ",", (0, 0)
    for sign in DELIMITERS:
        counts = [line.count(sign) for line in lines]
        often = max(set(counts), key=lambda n: (counts.count(n) if n else 0, n), default=0)
        if often and (counts.count(often), often) > most:
            best, most = sign, (counts.count(often), often)
    return best


# Both


def _is_too_large(found: Container, file: str, rows: int, columns: int) -> bool:
    if columns <= MOST_COLUMNS and rows <= MOST_ROWS:
        return False
    said = worded(
        "has {columns} columns and {rows} rows; a list has at most {most} and {most_rows}.",
        columns=columns, rows=rows, most=MOST_COLUMNS, most_rows=MOST_ROWS,
    )  # fmt: skip
    code = "too-many-columns" if columns > MOST_COLUMNS else "too-many-rows"
    found.fault(code, file, said, worded("Delete what is no part of the list."))
    return True


def _with_notices(table: PriceTable, problems: list[Problem]) -> PriceTable:
    if table.merged:
        (row, column), _end = table.merged[0]
        problems.append(Problem(
            "merged", Place(table.file, row + 1, column_letters(column)), worded_count(
                "{n} cell is merged with others; its text counts for the first of them alone.",
                "{n} cells are merged with others; their texts count for the first alone.",
                len(table.merged)), "", warning=True))  # fmt: skip
    return PriceTable(table.file, table.form, table.sheets, table.sheet, table.rows,
                      tuple(problems), table.empty, table.merged)  # fmt: skip
