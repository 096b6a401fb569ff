"""Units of measure as UN/ECE Recommendation 20 codes them (with Rec 21 left aside)."""

from __future__ import annotations

ONE = "C62"
_CODES = {
    "h": "HUR", "min": "MIN", "s": "SEC", "day": "DAY", "week": "WEE",
    "each": "EA", "count": "EA", "set": "SET", "lot": "LO", "job": "E51", "sample": ONE,
    "mm": "MMT", "um": "4H", "m": "MTR", "in": "INH", "m2": "MTK",
    "L": "LTR", "US gal": "GLL", "kg": "KGM", "g": "GRM", "lb": "LBR",
}  # fmt: skip


def unit_code(unit: str) -> str:
    """The code of a unit of quantity; "one" for a unit that the list does not have."""
    return _CODES.get(unit, ONE)


def known_units() -> tuple[str, ...]:
    """Units that have a code of their own here."""
    return tuple(_CODES)
