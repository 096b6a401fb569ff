"""Columns of the findings grid, in four views that each fit the page."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from typing import Any

from estimator.desktop.drawing.gauge import Reading
from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _
from estimator.desktop.screens.inspection import painters
from estimator.desktop.screens.inspection.field_columns import FieldColumns
from estimator.desktop.screens.inspection.rows import SIGN, TO_MEND, FindingRow, NewRow
from estimator.desktop.screens.inspection.typed import Typed, words_for
from estimator.desktop.telling import told, told_fault
from estimator.desktop.widgets.columns import CellPainter, Column
from estimator.domain.disposition import UNSEEN
from estimator.domain.findings import DISPOSITIONS
from estimator.domain.scope import EXPOSED, FIRM, PROVISIONAL

READINGS, WORDS, AMOUNTS, LIMITS = range(4)
Row = FindingRow | NewRow
SAVED = 6  # px a column gives up where there is little room
_LIMIT_OF = {"new": "new", "rebuild_limit": "rebuild", "service_limit": "service"}


def views() -> tuple[str, ...]:
    """Names of the views, in their order."""
    return (_("Readings"), _("In words"), _("Amounts, oil"), _("Limits, parts"))


def columns(view: int, typed: Typed, *, narrow: bool) -> list[Column]:
    """The columns of a view; in the narrow one three limits share a column."""
    make, fields = _Columns(typed), FieldColumns(typed)
    first = [make.number(), make.where()]
    if view == WORDS:
        return [*first, *fields.words()]
    if view == AMOUNTS:
        return [*first, *fields.amounts()]
    if view == LIMITS:
        return [*first, *fields.limits()]
    stated = [make.both_limits()] if narrow else make.stated_limits()
    made = [*first, *stated, make.measured(), make.wear(), make.do(), make.how_sure()]
    return [replace(one, width=one.width - SAVED) for one in made] if narrow else made


def certainty_words(row: FindingRow) -> str:
    """How sure the answer of a finding is, in one word."""
    return {
        FIRM: _("firm"), PROVISIONAL: _("provisional"), EXPOSED: _("exposed"),
        SIGN: _("a sign"), TO_MEND: _("to mend"),
    }[row.certainty]  # fmt: skip


def _short(row: FindingRow) -> str:
    """As `certainty_words`, for a narrow column; the pattern says the rest."""
    short = {PROVISIONAL: _("prov."), EXPOSED: _("exp.")}
    return short.get(row.certainty, certainty_words(row))


class _Columns:
    def __init__(self, typed: Typed) -> None:
        self._typed = typed
        self._formats: Formats = typed.formats

    # What all views begin with

    def number(self) -> Column:
        return Column(
            "id",
            _("No."),
            lambda row: row.id,
            46,
            paint=lambda row: painters.number_with_squares(
                row.id, len(row.finding.photo) if isinstance(row, FindingRow) else 0
            ),
        )

    def where(self) -> Column:
        return Column(
            "reading",
            _("Where, what was found"),
            _where_text,
            160,
            read=self._read("reading"),
            edit_text=lambda row: row.saved.reading if isinstance(row, FindingRow) else "",
            editable=_is_finding,
            sort=lambda row: (
                row.title if isinstance(row, FindingRow) else "\U0010ffff"
            ).casefold(),
            tip=_where_tip,
            paint=_paint_where,
        )

    # Readings

    def stated_limits(self) -> list[Column]:
        return [
            self._stated("new", _("New"), 56),
            self._stated("rebuild_limit", _("Rebuild"), 62),
            self._stated("service_limit", _("Service"), 60),
        ]

    def _stated(self, key: str, title: str, width: int) -> Column:
        def text(row: Row) -> str:
            if not isinstance(row, FindingRow):
                return ""
            return DASH if row.limits is None else self._number(_limit(row, key))

        return Column(
            key, title, text, width, right=True,
            sort=lambda row: _limit(row, key) if isinstance(row, FindingRow) else None,
            paint=lambda row: painters.quiet_figure(text(row)),
        )  # fmt: skip

    def both_limits(self) -> Column:
        def lines(row: Row) -> tuple[str, str]:
            if not isinstance(row, FindingRow):
                return "", ""
            if row.limits is None:
                return DASH, ""
            rebuild, service = self._number(row.limits.rebuild), self._number(row.limits.service)
            return self._number(row.limits.new), f"{rebuild} {DASH} {service}"

        return Column(
            "limits", _("New, limits"), lambda row: " ".join(lines(row)).strip(), 96, right=True,
            sort=lambda row: _limit(row, "new") if isinstance(row, FindingRow) else None,
            paint=lambda row: (
                painters.two_lines(*lines(row), "ink3", right=True)
                if isinstance(row, FindingRow) and row.limits
                else painters.quiet_figure(lines(row)[0])
            ),
        )  # fmt: skip

    def measured(self) -> Column:
        def text(row: Row) -> str:
            if not isinstance(row, FindingRow):
                return ""
            if row.unseen:
                return words_for(row.kind)
            if row.measured is None:
                return _without_number(row)
            return f"{self._number(row.measured)} {row.unit}".rstrip()

        def paint(row: Row) -> CellPainter | None:
            if isinstance(row, FindingRow) and row.unseen:
                return painters.slanted(words_for(row.kind), "exp_text", right=True)
            return None

        return Column(
            "measured",
            _("Measured"),
            text,
            92,
            right=True,
            sort=lambda row: row.measured if isinstance(row, FindingRow) else None,
            read=self._read("measured"),
            edit_text=lambda row: (
                self._number(row.saved_measured) if isinstance(row, FindingRow) else ""
            ),
            editable=_is_finding,
            strong=lambda row: isinstance(row, FindingRow) and row.measured is not None,
            paint=paint,
            tip=lambda row: row.sure if isinstance(row, FindingRow) else "",
        )

    def wear(self) -> Column:
        def paint(row: Row) -> CellPainter | None:
            if not isinstance(row, FindingRow):
                return None
            if row.limits is None:
                return None if row.unseen else painters.slanted(words_for(row.kind))
            limits = row.limits
            measured = None if row.unseen else row.measured
            return painters.gauge(Reading(limits.new, limits.service, limits.rebuild, measured))

        return Column("wear", _("Wear"), self._worn, 78, sort=_worn_percent, paint=paint)

    def _worn(self, row: Row) -> str:
        percent = _worn_percent(row)
        if percent is None:
            return ""
        return _("{percent} worn").format(percent=self._formats.percent(percent / 100))

    def do(self) -> Column:
        def text(row: Row) -> str:
            return words_for(row.disposition) if isinstance(row, FindingRow) else ""

        def paint(row: Row) -> CellPainter | None:
            if not isinstance(row, FindingRow) or not row.finding.override:
                return None
            return painters.two_lines(text(row), words_for(row.rule), "ink3", struck=True)

        return Column(
            "override", _("What to do"), text, 94,
            read=self._read("override"),
            editable=lambda row: isinstance(row, FindingRow) and bool(row.rule),
            choices=lambda _row: [words_for(one) for one in DISPOSITIONS],
            paint=paint, tip=_do_tip,
        )  # fmt: skip

    def how_sure(self) -> Column:
        def paint(row: Row) -> CellPainter | None:
            if not isinstance(row, FindingRow):
                return None
            if row.certainty == TO_MEND:
                return painters.slanted(certainty_words(row), "attn_text")
            return painters.pattern_with_word(row.certainty, _short(row))

        return Column(
            "sure", _("How sure"),
            lambda row: certainty_words(row) if isinstance(row, FindingRow) else "", 74,
            tip=lambda row: row.sure if isinstance(row, FindingRow) else "", paint=paint,
        )  # fmt: skip

    def _read(self, key: str) -> Callable[[FindingRow, str], Any]:
        return lambda row, text: self._typed.read(row, key, text)

    def _number(self, value: Decimal | None) -> str:
        """With the places it was written with: 0.30 is not 0.3 to whoever reads a gauge."""
        return self._typed.reading_text(value)


def _is_finding(row: Row) -> bool:
    return isinstance(row, FindingRow)


def _limit(row: FindingRow, key: str) -> Decimal | None:
    if row.limits is None:
        return None
    value: Decimal = getattr(row.limits, _LIMIT_OF[key])
    return value


def _worn_percent(row: Row) -> Decimal | None:
    if not isinstance(row, FindingRow) or row.judged is None:
        return None
    return row.judged.worn_percent


def _without_number(row: FindingRow) -> str:
    """What stands in the place of a reading: result, oil, or nothing."""
    finding = row.finding
    oil = finding.cleanliness or "; ".join(finding.metals)
    return words_for(finding.result) or oil or DASH


def _second_line(row: FindingRow) -> str:
    if row.errors:
        return row.sure
    if row.kind in UNSEEN and not row.finding.reading:
        return ", ".join((words_for(row.kind), *row.parts))
    return row.finding.reading or row.component_name


def _where_text(row: Row) -> str:
    if isinstance(row, NewRow):
        return _("type a component")
    return f"{row.title}: {_second_line(row)}"


def _where_tip(row: Row) -> str:
    if isinstance(row, NewRow):
        return _("Ins, or begin to type: what is measured, or a component")
    lines = [row.title, row.finding.reading, row.component_name, *row.parts, row.finding.note]
    lines += [told_fault(one) for one in (*row.errors, *row.warnings)]
    return "\n".join(line for line in lines if line)


def _paint_where(row: Row) -> CellPainter:
    if isinstance(row, NewRow):
        return painters.slanted(_("type a component"))
    tone = "attn_text" if row.errors else "exp_text" if row.kind in UNSEEN else "ink3"
    return painters.two_lines(row.title, _second_line(row), tone)


def _do_tip(row: Row) -> str:
    if not isinstance(row, FindingRow):
        return ""
    if not row.finding.override:
        return told(row.rule_reason)
    return _("Overruled by {who}: {reason}. The rule: {rule}, {why}.").format(
        who=row.finding.overridden_by or row.finding.inspector,
        reason=row.finding.override_reason,
        rule=words_for(row.rule),
        why=told(row.rule_reason),
    )
