"""What kind of file a price list is, and whether it is safe to open: looked at before anything in
it is parsed.

A workbook is a zip archive whose sheets may say that they are small and unpack to gigabytes, or
place one cell in the last row of the last column. So its parts are unpacked once, piece by piece
and within stated limits, and nothing of them kept; the same pass tells whether there are formulas.
"""

from __future__ import annotations

import re
import zipfile
import zlib
from dataclasses import dataclass, field
from io import BytesIO
from pathlib import PurePath

from estimator.domain.problem import Place, Problem
from estimator.domain.wording import worded

LARGEST = 40_000_000  # bytes of a file
MOST_UNPACKED = 400_000_000  # bytes of all parts; 50,000 rows of eight columns are 14 million
MOST_RATIO, RATIO_FROM = 200, 1_000_000  # unpacked to packed, of a part that is larger than this
MOST_PARTS = 2_000
MOST_COLUMNS, MOST_ROWS = 200, 250_000
CSV, XLSX = "csv", "xlsx"
PIECE = 1 << 18
OVERLAP = 400  # bytes of a piece looked at again with the next
_SHEET = re.compile(r"xl/worksheets/[^/]+\.xml$", re.IGNORECASE)
_FORMULA = b"f>"  # the end of a formula, whatever prefix its tag has; found without a pattern
_WIDE = re.compile(rb' r="(?:[H-Z][A-Z]|G[S-Z]|[A-Z]{3})')  # GR is column 200
_CAPITALS = bytes.maketrans(bytes(range(ord("A"), ord("Z") + 1)), b"A" * 26)
_PAST_Z = b' r="AA'  # beyond column Z, once all capitals are A: found in half the time
_ROW = re.compile(rb'<(?:\w+:)?row [^>]{0,200}?r="(\d{1,9})"')
_PICTURES = {
    b"%PDF": "a PDF", b"\x89PNG": "a picture", b"\xff\xd8\xff": "a picture", b"GIF8": "a picture",
    b"II*\0": "a picture", b"MM\0*": "a picture", b"BM": "a picture", b"RIFF": "a picture",
}  # fmt: skip
_OLE, _ENCRYPTED = b"\xd0\xcf\x11\xe0", "EncryptedPackage".encode("utf-16-le")


@dataclass(slots=True)
class Container:
    """What was found: the form of a file that may be opened ("" where it may not), and every fault
    and warning."""

    form: str = ""
    formulas: set[str] = field(default_factory=set)  # parts of a workbook that hold formulas
    pictures: int = 0
    problems: list[Problem] = field(default_factory=list)

    def fault(self, code: str, file: str, message: str, remedy: str, *, warn: bool = False) -> None:
        """Note a fault of the file as a whole."""
        self.problems.append(Problem(code, Place(file), message, remedy, warn))


def look_at_file(file: str, data: bytes) -> Container:
    """What a file is, by what is in it and not by its name."""
    found = Container()
    save_as = worded("Ask for the list as a workbook (.xlsx) or as CSV.")
    if not data.strip():
        found.fault("empty-file", file, worded("is empty."), save_as)
    elif len(data) > LARGEST:
        found.fault(
            "file-too-large",
            file,
            worded("is larger than {most} MB.", most=LARGEST // 1_000_000),
            worded("Split it."),
        )
    elif kind := _kind_of_picture(data):
        found.fault("picture", file, worded(
            "is {kind}, not a table: its figures cannot be read.", kind=kind), save_as)  # fmt: skip
    elif data.startswith(_OLE):
        _old_workbook(found, file, data)
    elif data.startswith(b"PK"):
        _look_at_archive(found, file, data)
    elif data.lstrip()[:200].lower().startswith((b"<!doctype html", b"<html", b"<table", b"<?xml")):
        found.fault("web-page", file, worded("is a web page or XML, not a table."), save_as)
    elif b"\0" in data[:4000] and not data.startswith((b"\xff\xfe", b"\xfe\xff")):
        found.fault("not-a-table", file, worded("is neither a workbook nor text."), save_as)
    else:
        found.form = CSV
        if PurePath(file).suffix.casefold() in (".xlsx", ".xlsm", ".xls"):
            found.fault(
                "named-otherwise",
                file,
                worded("is text, though it is named as a workbook; it is read as CSV."),
                "",
                warn=True,
            )
    return found


def _kind_of_picture(data: bytes) -> str:
    for start, kind in _PICTURES.items():
        if data.startswith(start) and (start != b"BM" or b"\0" in data[:20]):
            return worded("a PDF") if "PDF" in kind else worded("a picture")
    return ""


def _old_workbook(found: Container, file: str, data: bytes) -> None:
    if _ENCRYPTED in data:
        found.fault("encrypted", file, worded("is locked with a password."),
                    worded("Ask for it without one, or save it so."))  # fmt: skip
    else:
        found.fault("old-workbook", file, worded("is a workbook of the old kind (.xls)."),
                    worded("Save it as .xlsx or CSV."))  # fmt: skip


def _look_at_archive(found: Container, file: str, data: bytes) -> None:
    try:
        with zipfile.ZipFile(BytesIO(data)) as archive:
            parts = archive.infolist()
            if _declares_too_much(found, file, parts):
                return
            names = {part.filename for part in parts}
            if "[Content_Types].xml" not in names or "xl/workbook.xml" not in names:
                found.fault("no-workbook", file, worded("is an archive, but no workbook (.xlsx)."),
                            worded("Unpack it, or save the list as .xlsx or CSV."))  # fmt: skip
                return
            if any(name.endswith("vbaProject.bin") for name in names):
                found.fault(
                    "macros", file, worded("holds macros; they are not run."), "", warn=True
                )
            found.pictures = sum(name.startswith("xl/media/") for name in names)
            if _unpacks(found, file, archive, parts):
                found.form = XLSX
    except (zipfile.BadZipFile, OSError, EOFError, ValueError, NotImplementedError, RuntimeError,
            zlib.error):  # fmt: skip
        found.fault("damaged", file, worded("is damaged: it cannot be unpacked."),
                    worded("Ask for it again."))  # fmt: skip


def _declares_too_much(found: Container, file: str, parts: list[zipfile.ZipInfo]) -> bool:
    total = sum(part.file_size for part in parts)
    swollen = any(
        part.file_size > RATIO_FROM and part.file_size > MOST_RATIO * max(part.compress_size, 1)
        for part in parts
    )
    if len(parts) > MOST_PARTS or total > MOST_UNPACKED or swollen:
        found.fault("zip-bomb", file, worded(
            "unpacks to {size} MB in {parts} parts; a list has at most {most} MB in {most_parts} "
            "parts, none more than {ratio} times its packed size.",
            size=total // 1_000_000, parts=len(parts), most=MOST_UNPACKED // 1_000_000,
            most_parts=MOST_PARTS, ratio=MOST_RATIO), worded("It was not opened."))  # fmt: skip
        return True
    if any(part.flag_bits & 1 for part in parts):
        found.fault("encrypted", file, worded("is locked with a password."),
                    worded("Ask for it without one, or save it so."))  # fmt: skip
        return True
    return False


def _unpacks(
    found: Container, file: str, archive: zipfile.ZipFile, parts: list[zipfile.ZipInfo]
) -> bool:
    """Unpack every part that will be read; False where it is not as it says, or too large."""
    left = MOST_UNPACKED
    for part in parts:
        if not part.filename.casefold().startswith("xl/") or "/media/" in part.filename:
            continue
        is_sheet = bool(_SHEET.match(part.filename))
        last = b""
        with archive.open(part) as stream:
            while piece := stream.read(PIECE):
                left -= len(piece)
                if left < 0:
                    found.fault("zip-bomb", file, worded(
                        "unpacks to more than {most} MB.", most=MOST_UNPACKED // 1_000_000),
                        worded("It was not opened."))  # fmt: skip
                    return False
                if is_sheet:
                    seen = last[-OVERLAP:] + piece  # what lies across two pieces is seen whole
                    if _FORMULA in seen:
                        found.formulas.add(part.filename)
                    if _PAST_Z in seen.translate(_CAPITALS) and _WIDE.search(seen):
                        _too_wide(found, file)
                        return False
                    last = seen
        if is_sheet and _too_long(found, file, last):
            return False
    return True


def _too_wide(found: Container, file: str) -> None:
    found.fault("too-many-columns", file, worded(
        "has cells far to the right, beyond column {most}.", most=MOST_COLUMNS),
        worded("Delete the columns that are no part of the list."))  # fmt: skip


def _too_long(found: Container, file: str, end: bytes) -> bool:
    rows = [int(one) for one in _ROW.findall(end)]
    if not rows or max(rows) <= MOST_ROWS:
        return False
    found.fault("too-many-rows", file, worded(
        "has cells in row {row}; a list has at most {most} rows.", row=max(rows), most=MOST_ROWS),
        worded("Delete what stands far below the list, or split it."))  # fmt: skip
    return True
