"""Files of price lists as suppliers send them, made where they are tested."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Sequence
from typing import Any

import openpyxl
import xlsxwriter

HEAD = ("Part number", "Description", "Price", "Currency", "Unit")
ROWS = (
    ("00117", "Water pump", 400.0, "GBP", "EA"),
    ("00220", "Seal ring", 12.5, "GBP", "EA"),
    ("00330", "Gasket set", 90.0, "GBP", "SET"),
)


def workbook(rows: Sequence[Sequence[Any]], sheet: str = "List") -> bytes:
    """A workbook of one sheet; texts stay texts."""
    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True, "strings_to_formulas": False})
    page = book.add_worksheet(sheet)
    for number, row in enumerate(rows):
        for place, cell in enumerate(row):
            if isinstance(cell, str):
                page.write_string(number, place, cell)
            else:
                page.write(number, place, cell)
    book.close()
    return out.getvalue()


def edited_workbook(change: Any) -> bytes:
    """A workbook as openpyxl writes it, after `change(book, sheet)`."""
    book = openpyxl.Workbook()
    sheet = book.active
    for row in (HEAD, *ROWS):
        sheet.append(row)
    change(book, sheet)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def with_part(data: bytes, name: str, content: bytes) -> bytes:
    """An archive with one part more, or another content in it."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", 8) as new:
        for one in old.infolist():
            if one.filename != name:
                new.writestr(one.filename, old.read(one.filename))
        new.writestr(name, content)
    return out.getvalue()


def part(data: bytes, name: str) -> bytes:
    """One part of an archive."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return archive.read(name)


def lying_bomb(size: int) -> bytes:
    """A workbook whose sheet says it is small, and is not."""
    data = bytearray(with_part(workbook((HEAD, *ROWS)), "xl/worksheets/sheet9.xml", b" " * size))
    for found in re.finditer(re.escape(size.to_bytes(4, "little")), bytes(data)):
        data[found.start() : found.start() + 4] = (1000).to_bytes(4, "little")
    return bytes(data)


def as_csv(rows: Sequence[Sequence[Any]], delimiter: str = ";", encoding: str = "utf-8") -> bytes:
    """The same as text."""
    return "\n".join(delimiter.join(map(str, row)) for row in rows).encode(encoding)
