"""From what is typed into a cell of a finding to its value, or the reason why it is none. No Qt."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from typing import Any

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.inspection.rows import FindingRow, slips
from estimator.desktop.telling import told_fault
from estimator.desktop.widgets.columns import NotValid
from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import FINDING_KINDS
from estimator.domain.disposition import UNSEEN
from estimator.domain.finding_edits import (
    LIMITS,
    Reading,
    known_unit,
    split_reading,
    with_cell,
)
from estimator.domain.findings import DISPOSITIONS, RESULTS
from estimator.domain.units import UNITS, UnitError, converted

MOST_DIGITS = 15
LONGEST_TEXT = 2000
FIRST_YEAR, LAST_YEAR = 1950, 2100
_TEXTS = ("cleanliness", "reading", "note", "what", "inspector", "measure")
_HIDDEN = re.compile("[\0-\x08\x0b-\x1f\x7f\u200b-\u200f\u202a-\u202e\u2066-\u2069\ud800-\udfff]")


def words_for(kind: str) -> str:
    """A word of the finding's fixed lists in the language in use."""
    return {
        "measure": _("measured"), "pressure": _("pressure"), "flow": _("flow"),
        "drift": _("drift"), "leak-down": _("leak-down"), "oil": _("oil sample"),
        "crack": _("crack"), "hose": _("hoses counted"), "count": _("counted"),
        "visual": _("by eye"), "safety": _("safety item"), "test": _("test"),
        "not seen": _("not seen"), "not tested": _("not tested"),
        "sound": _("sound"), "worn": _("worn"), "alarm": _("alarm"), "clear": _("clear"),
        "reuse": _("Reuse"), "recondition": _("Recondition"), "exchange": _("Exchange"),
        "replace": _("Replace"), "open": _("Open"),
    }.get(kind, kind)  # fmt: skip


class Typed:
    """Reads the cells of a job's findings in the user's formats, against the class's catalogue."""

    def __init__(self, formats: Formats, cat: ClassCatalogue) -> None:
        self.formats, self.cat = formats, cat
        self._parts = _by_name({code: row.name for code, row in cat.parts.items()})
        self._components = _by_name({code: row.name for code, row in cat.components.items()})
        self._tests = _by_name({code: row.name for code, row in cat.tests.items()})

    def read(self, row: FindingRow, key: str, text: str) -> Any:
        """The value of a typed cell; raises NotValid where it cannot stand."""
        text = text.strip()
        value = self._value(row, key, text)
        if key == "override":
            return value
        try:
            after = with_cell(row.saved, key, value, row.measure)
        except UnitError as error:
            raise NotValid(self._wrong_unit(row, error)) from None
        for slip in slips(row.saved, after, self.cat):
            raise NotValid(told_fault(slip))
        return value

    def _value(self, row: FindingRow, key: str, text: str) -> Any:
        readers: dict[str, Callable[[], Any]] = {
            "measured": lambda: self.reading(row, text),
            "date": lambda: self._day(text),
            "kind": lambda: _chosen(text, FINDING_KINDS),
            "result": lambda: _chosen(text, RESULTS),
            "override": lambda: _chosen(text, DISPOSITIONS),
            "part": lambda: self._codes(text, self._parts, _("part")),
            "sign_of": lambda: self._codes(text, self._parts, _("part")),
            "component": lambda: self._code(text, self._components, _("component")),
            "test": lambda: self._code(text, self._tests, _("test")),
            "metals": lambda: tuple(
                " ".join(one.split()) for one in re.split("[;,]", text) if one.strip()
            ),
            "unit": lambda: self._unit(text),
            **dict.fromkeys(_TEXTS, lambda: _plain(text)),
        }
        read = readers.get(key)
        return read() if read else self._number(text, low=key not in LIMITS)

    def reading(self, row: FindingRow, text: str) -> Reading:
        """A measured value: a number, with its unit where that is another one, or a word."""
        if not text:
            return Reading()
        for kind in UNSEEN:
            if text.casefold() in (kind, words_for(kind).casefold()):
                return Reading(unseen=kind)
        number, unit = split_reading(text)
        value = self._number(number, low=False)
        if not unit:
            return Reading(value)
        try:
            known = known_unit(unit)
            if row.unit:
                converted(Decimal(1), known, row.unit)
        except UnitError as error:
            raise NotValid(self._wrong_unit(row, error)) from None
        return Reading(value, known)

    def _wrong_unit(self, row: FindingRow, error: UnitError) -> str:
        if not row.unit:
            return _unit_words(error)
        return _("{error}. Write the reading in {unit}.").format(error=error, unit=row.unit)

    def _number(self, text: str, *, low: bool) -> Decimal | None:
        if not text:
            return None
        value = self.formats.read_number(text)
        if value and not -MOST_DIGITS <= value.adjusted() < MOST_DIGITS:
            raise NotValid(_("Too long for a reading. Check the digits."))
        if low and value < 0:
            raise NotValid(_("Below nothing. Check the sign."))
        return value

    def _day(self, text: str) -> datetime.date:
        if not text:
            raise NotValid(_("A finding has its day. Write it like 2027-03-05."))
        day = self.formats.read_day(text)
        if not FIRST_YEAR <= day.year <= LAST_YEAR:
            raise NotValid(_("That year is a slip. Check the date."))
        return day

    def _unit(self, text: str) -> str:
        if not text:
            return ""
        try:
            return known_unit(text)
        except UnitError as error:
            raise NotValid(_unit_words(error)) from None

    def _codes(self, text: str, table: Mapping[str, str], what: str) -> tuple[str, ...]:
        return tuple(self._code(one.strip(), table, what) for one in text.split(";") if one.strip())

    @staticmethod
    def _code(text: str, table: Mapping[str, str], what: str) -> str:
        if not text:
            return ""
        code = table.get(text.casefold())
        if code is None:
            raise NotValid(
                _("{text} is no {what} of this machine. Type its code or its name.").format(
                    text=text[:40], what=what
                )
            )
        return code

    def reading_text(self, value: Decimal | None) -> str:
        """A reading or a limit with the places it was written with, "" for none."""
        if value is None:
            return ""
        exponent = value.as_tuple().exponent
        return self.formats.number(value, max(0, -exponent) if isinstance(exponent, int) else None)

    def number(self, value: Decimal | None) -> str:
        """A number as a cell shows it, "" for none."""
        return "" if value is None else self.formats.number(value)


def _unit_words(error: UnitError) -> str:
    """Which units there are, the usual ones first; all would fill the page."""
    return _("{error}. Write it as {units} or another unit of the catalogue.").format(
        error=error, units=", ".join(list(UNITS)[:9])
    )


def _by_name(names: Mapping[str, str]) -> dict[str, str]:
    """Code by code and by name, in small letters."""
    found = {name.casefold(): code for code, name in names.items()}
    return found | {code.casefold(): code for code in names}


def _chosen(text: str, known: Iterable[str]) -> str:
    if not text:
        return ""
    for one in known:
        if text.casefold() in (one.casefold(), words_for(one).casefold()):
            return one
    words = ", ".join(words_for(one) for one in known)
    raise NotValid(_("Write one of: {words}.").format(words=words))


def _plain(text: str) -> str:
    if len(text) > LONGEST_TEXT:
        raise NotValid(_("Longer than {most} signs. Shorten it.").format(most=LONGEST_TEXT))
    if _HIDDEN.search(text):
        raise NotValid(_("Holds a sign that cannot be seen. Type the text again."))
    return text
