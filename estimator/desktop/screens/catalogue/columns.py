"""Columns of the page's lists: tables, rows, what is being changed, editions, differences."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QPainter

from estimator.desktop.drawing.cell_painters import paint_mark_cell
from estimator.desktop.drawing.marks import Mark
from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.catalogue.words import (
    column_title,
    kind_words,
    origin_words,
    state_words,
    table_title,
)
from estimator.desktop.theme import Theme
from estimator.desktop.widgets.columns import CellPainter, Column
from estimator.domain.catalogue.changes import RowChange, cell_text, field_changes
from estimator.domain.catalogue.own_values import STARTING
from estimator.services.catalogue_effect import JobEffect
from estimator.services.show_catalogue import TAKEN_OUT, ShownRow, name_of

ALL_TABLES = ""
_MARKS = {"own": Mark.DONE, "supplier": Mark.IN_HAND, STARTING: Mark.NOT_BEGUN}
_VALUES: dict[str, str] = {  # what a row comes to, in one cell
    "operations": "{hours} h", "parts": "{quantity} {unit} \u00d7 {unit_cost} {currency}",
    "outwork": "{quantity} {unit} \u00d7 {cost_each} {currency}",
    "remedies": "{low} \u2013 {likely} \u2013 {high} {currency}",
    "wear": "{starting_chance} / {at_hours} h", "tests": "{cost} {currency}, {hours} h",
    "found_work": "{count} / {per}", "trades": "{wage_per_hour} {currency}/h",
    "suppliers": "{freight} {currency}", "markups": "{share}", "levies": "{rate} {currency}",
    "classes": "{operating_mass_kg} kg, {net_power_kw} kW", "class_masses": "{mass_kg} kg",
    "crews": "\u00d7 {factor}", "difficulty": "\u00d7 {factor}", "tax": "{rate_percent} %",
    "warranty": "{months} / {hours} h", "loadings": "{life} / {circuit}", "settings": "{value}",
    "measures": "{new} / {rebuild_limit} / {service_limit} {unit}", "scaling": "^ {exponent}",
    "own_cases": "{hours} h, {worn}",
}  # fmt: skip
_FIELD = re.compile(r"\{(\w+)\}")


@dataclass(frozen=True, slots=True)
class TableLine:
    """A table of the list with its counts; ALL_TABLES is all of them."""

    table: str
    rows: int
    starting: int


def table_columns(say: Formats) -> tuple[Column, ...]:
    """Of the list of tables."""
    return (
        Column("table", _("Table"), lambda one: _title(one.table), 120,
               strong=lambda one: one.table == ALL_TABLES),
        Column("rows", _("Rows"), lambda one: say.number(one.rows), 58, right=True,
               sort=lambda one: one.rows),
        Column("starting", _("Starting"), lambda one: say.number(one.starting) if one.starting
               else "\u2013", 72, right=True, sort=lambda one: one.starting,
               tip=lambda _one: _("How many rows are starting values still")),
    )  # fmt: skip


def _title(table: str) -> str:
    return _("All tables") if table == ALL_TABLES else table_title(table)


def row_columns(say: Formats, names: Mapping[tuple[str, str], str]) -> tuple[Column, ...]:
    """Of the rows; `names` says what a code names, by table and code."""

    def value(one: ShownRow) -> str:
        return _value(one, say)

    return (
        Column("code", _("Code"), lambda one: one.code, 82, strong=lambda one: bool(one.state),
               tip=lambda one: one.code),
        Column("name", _("What it is"), lambda one: _what(one, names), 180,
               tip=lambda one: _what(one, names), slanted=lambda one: one.state == TAKEN_OUT),
        Column("value", _("Values"), value, 124, tip=value),
        Column("needs", _("For"), lambda one: ";".join(one.row.needs), 64,
               tip=lambda one: ";".join(one.row.needs)),
        Column("origin", _("Origin"), lambda one: origin_words(one.row.origin), 148,
               paint=lambda one: _marked(one.row.origin)),
        Column("state", _("What changes"), lambda one: state_words(one.state), 80,
               strong=lambda _one: True),
    )  # fmt: skip


def _what(one: ShownRow, names: Mapping[tuple[str, str], str]) -> str:
    """Its own name, else the name of what it speaks of."""
    row = one.row
    own = name_of(row)
    if own and one.table not in ("loadings", "warranty"):
        return f"{own} ({getattr(row, 'way')})" if one.table == "remedies" else own  # noqa: B009
    for table, field in (("parts", "part"), ("groups", "group")):
        code = getattr(row, field, "")
        if isinstance(code, str) and (said := names.get((table, code))):
            way = getattr(row, "way", "")
            return f"{said}: {way}" if way else said
    return own


def _value(one: ShownRow, say: Formats) -> str:
    row, pattern = one.seen, _VALUES.get(one.table, "")
    fields = _FIELD.findall(pattern)
    if not any(getattr(row, name, None) not in (None, "") for name in fields):
        return ""

    def put(found: re.Match[str]) -> str:
        value = getattr(row, found[1], None)
        if value is None:
            return "\u2013"
        return say.number(value) if isinstance(value, Decimal) else cell_text(value)

    said = _FIELD.sub(put, pattern)
    return _("{value}, scaled").format(value=said) if one.scaled else said


def _marked(origin: str) -> CellPainter:
    """A mark and the word: the shape tells it without colour."""

    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        paint_mark_cell(painter, QRectF(rect), _MARKS.get(origin), origin_words(origin), theme)

    return paint


@dataclass(frozen=True, slots=True)
class FieldLine:
    """A column of a changed row before and after; the first of a row names it."""

    id: str
    change: RowChange
    column: str
    before: str
    after: str
    first: bool


def field_lines(changes: tuple[RowChange, ...], most: int) -> tuple[FieldLine, ...]:
    """Differences as lines, a column each; at most so many."""
    lines: list[FieldLine] = []
    for number, change in enumerate(changes):
        for place, one in enumerate(field_changes(change.before, change.after)):
            lines.append(
                FieldLine(f"{number}/{place}", change, one.column, one.before, one.after, not place)
            )
        if len(lines) >= most:
            break
    return tuple(lines[:most])


def difference_columns() -> tuple[Column, ...]:
    """Of differences."""
    return (
        Column("table", _("Table"), lambda one: table_title(one.change.table) if one.first else "",
               128),
        Column("code", _("Code"), lambda one: one.change.key[1] if one.first else "", 110,
               strong=lambda _one: True, tip=lambda one: one.change.key[1]),
        Column("column", _("Column"), lambda one: column_title(one.column), 140),
        Column("before", _("Before"), lambda one: one.before or "\u2013", 150,
               tip=lambda one: one.before),
        Column("after", _("After"), lambda one: one.after or "\u2013", 150,
               tip=lambda one: one.after),
    )  # fmt: skip


def pending_columns() -> tuple[Column, ...]:
    """Of the rows being changed."""

    def done(one: Any) -> str:
        if one.before is None:
            return _("added")
        return _("taken out") if one.after is None else _fields(one)

    return (
        Column("code", _("Row"), lambda one: f"{table_title(one.table)} {one.key[1]}", 150,
               tip=lambda one: one.key[1]),
        Column("what", _("What changes"), done, 140, tip=done),
    )  # fmt: skip


def _fields(change: RowChange) -> str:
    told = [
        f"{column_title(one.column)} {one.before or chr(0x2013)} \u2192 {one.after or chr(0x2013)}"
        for one in field_changes(change.before, change.after)
        if one.column not in ("source", "origin")
    ]
    return "; ".join(told) or ", ".join(
        column_title(one.column) for one in field_changes(change.before, change.after)
    )


def edition_columns(say: Formats) -> tuple[Column, ...]:
    """Of the editions."""

    def when(one: Any) -> str:
        return "" if one.at is None else f"{say.day(one.at.date())} {say.clock(one.at)}"

    return (
        Column("number", _("No"), lambda one: say.number(one.number) if one.number else "\u2013",
               48, right=True, sort=lambda one: one.number),
        Column("kind", _("Kind"), lambda one: kind_words(one.kind), 104),
        Column("at", _("When"), when, 148, sort=lambda one: one.at),
        Column("who", _("Who"), lambda one: one.who, 110),
        Column("rows", _("Rows"), lambda one: say.number(one.rows), 62, right=True,
               sort=lambda one: one.rows),
        Column("why", _("Why"), lambda one: one.why, 160, tip=lambda one: one.why),
    )  # fmt: skip


def effect_columns(say: Formats, state: Callable[[str], str]) -> tuple[Column, ...]:
    """Of open quotes under both editions."""

    def moved(one: JobEffect) -> str:
        if one.before is None or one.after is None:
            return "\u2013"
        return say.sum(one.after - one.before) if one.after != one.before else "\u2013"

    def lines(one: JobEffect) -> str:
        return one.fault or "; ".join(
            f"{line.code} {say.sum(line.before)} \u2192 {say.sum(line.after)}" for line in one.lines
        )

    return (
        Column("job", _("Job"), lambda one: f"{one.number} {one.revision}", 92,
               strong=lambda one: one.moves),
        Column("state", _("State"), lambda one: state(one.state), 84),
        Column("keeps", _("Issued"), lambda one: one.keeps, 124, tip=lambda one: one.keeps),
        Column("before", _("Net before"), lambda one: say.sum(one.before), 96, right=True),
        Column("after", _("Net after"), lambda one: say.sum(one.after), 96, right=True),
        Column("moved", _("Difference"), moved, 92, right=True),
        Column("lines", _("Lines that move"), lines, 160, tip=lines),
    )  # fmt: skip
