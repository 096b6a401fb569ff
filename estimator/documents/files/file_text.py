"""Texts as files of other programs take them: one line, no hidden signs, no formula."""

from __future__ import annotations

import unicodedata
from decimal import Decimal

_DIRECTION = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
_JOINERS = frozenset("\u200c\u200d")  # part of how some scripts are spelt
_HIDDEN = ("Cc", "Cf", "Cs", "Cn", "Co", "Zl", "Zp")
_FORMULA = "=+-@\uff1d\uff0b\uff0d\uff20"
_LONGEST = 32_000  # a cell of a workbook takes 32,767


def one_line(text: str) -> str:
    """`text` on one line, composed, without control, direction and unassigned signs.

    What is left is valid in XML 1.0. Signs that join letters stay.
    """
    kept = []
    for sign in unicodedata.normalize("NFC", str(text)):
        if sign.isspace():
            kept.append(" ")
        elif sign in _JOINERS or not _hidden(sign):
            kept.append(sign)
    return " ".join("".join(kept).split())[:_LONGEST]


def _hidden(sign: str) -> bool:
    return sign in _DIRECTION or unicodedata.category(sign) in _HIDDEN


def cell_text(text: str) -> str:
    """`text` for a cell of a table: what a spreadsheet would take for a formula begins with an
    apostrophe."""
    plain = one_line(text)
    return f"'{plain}" if plain[:1] and plain[0] in _FORMULA else plain


def number_text(value: Decimal) -> str:
    """A number with a decimal point and the digits it holds."""
    plain = f"{value:f}"
    return plain.rstrip("0").rstrip(".") if "." in plain else plain
