"""Reading a file as text, or saying plainly why it is none."""

from __future__ import annotations

from pathlib import Path

from estimator.domain.problem import Place, Problem

LARGEST_FILE = 20_000_000  # bytes; a catalogue table of 50,000 rows is a tenth of it


def read_text(path: Path, name: str = "") -> tuple[str, list[Problem]]:
    """The text of a UTF-8 file (a byte-order mark is dropped), or "" and the fault."""
    place = Place(name or path.name)
    try:
        if path.stat().st_size > LARGEST_FILE:
            return "", [_fault("file-too-large", place, "is larger than 20 MB.", "Split it.")]
        raw = path.read_bytes()
    except FileNotFoundError:
        return "", [_fault("file-missing", place, "is not there.", f"Looked for it at {path}.")]
    except OSError as error:
        reason = error.strerror or "unknown reason"
        return "", [_fault("file-unreadable", place, f"cannot be read ({reason}).", "")]
    if b"\x00" in raw:
        return "", [
            _fault("not-text", place, "is not a text file.", "Save it as CSV (UTF-8) or TOML.")
        ]
    try:
        return raw.decode("utf-8-sig"), []
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        where = Place(name or path.name, line)
        return "", [_fault("not-utf8", where, "is not UTF-8 text.", "Save it again as UTF-8.")]


def _fault(code: str, place: Place, message: str, remedy: str) -> Problem:
    return Problem(code, place, message, remedy)
