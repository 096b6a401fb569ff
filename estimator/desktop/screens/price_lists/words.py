"""Words of the page, and the columns of its tables. No Qt."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _
from estimator.desktop.telling import told
from estimator.desktop.widgets.columns import Column
from estimator.domain.price_list import compare as c
from estimator.domain.price_list import mapping as m
from estimator.domain.price_list.compare import Change
from estimator.domain.price_list.linked import LinkedCost
from estimator.domain.price_list.taken import FoundItem, TakenList
from estimator.domain.problem import Problem

FAULTS = "faults"  # in the place of a kind of change
LETTERS = 26


@dataclass(frozen=True, slots=True)
class Row:
    """A change, and whether it is to be taken."""

    change: Change
    take: bool


def kind_words() -> dict[str, str]:
    """Kinds of change, as one reads them."""
    return {
        c.OUTLIER: _("Out of line"),
        c.UNIT_TRAP: _("Unit?"),
        c.CURRENCY_TRAP: _("Currency?"),
        c.RING: _("Ring"),
        c.SUPERSEDED: _("Superseded"),
        c.CHANGED: _("Price changed"),
        c.NEW: _("New item"),
        c.GONE: _("Gone"),
        c.DETAILS: _("Other cells"),
        FAULTS: _("Faults and notes"),
    }


def field_words() -> dict[str, str]:
    """Fields that a column may hold."""
    return {
        m.NUMBER: _("Part number"),
        m.DESCRIPTION: _("Description"),
        m.PRICE: _("Price"),
        m.CURRENCY: _("Currency"),
        m.PER: _("Price is for"),
        m.UNIT: _("Unit"),
        m.DISCOUNT: _("Discount, %"),
        m.GROUP: _("Discount group"),
        m.LEAD: _("Lead time"),
        m.CHARGE: _("Exchange charge"),
        m.SUPERSEDED: _("Superseded by"),
        m.VALID: _("Valid from"),
    }


def letters(number: int) -> str:
    """Letters of a column that is counted from 0, as a spreadsheet has them."""
    text = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, LETTERS)
        text = chr(ord("A") + rest) + text
    return text


def percent(ratio: float | None, say: Formats) -> str:
    """By how much a price moved."""
    if ratio is None:
        return DASH
    sign = "+" if ratio > 1 else ""
    return sign + say.percent(ratio - 1, 1)


def _price(item: Any, say: Formats) -> str:
    """A price with its currency, and for how many it is where that is not one."""
    if item is None:
        return DASH
    cells = item.cells
    text = f"{say.sum(item.price, whole=False)} {cells.currency}"
    return text if cells.per == "1" else _("{price} for {n}").format(price=text, n=cells.per)


def change_columns(say: Formats) -> tuple[Column, ...]:
    """Columns of the changes a list makes."""
    words = kind_words()
    return (
        Column("take", _("Take"), lambda row: _("yes") if row.take else _("no"), 64,
               strong=lambda row: row.take),
        Column("kind", _("What changes"), lambda row: words[row.change.kind], 124),
        Column("number", _("Part number"), lambda row: row.change.item.cells.number, 150,
               sort=lambda row: row.change.key),
        Column("description", _("Description"), lambda row: row.change.item.cells.description, 200,
               tip=lambda row: row.change.item.cells.description),
        Column("old", _("Was"), lambda row: _price(row.change.old, say), 130, True,
               sort=lambda row: row.change.old.minor if row.change.old else None),
        Column("new", _("Is"), lambda row: _price(row.change.new, say), 130, True,
               sort=lambda row: row.change.new.minor if row.change.new else None),
        Column("by", _("By"), lambda row: percent(row.change.ratio, say), 84, True,
               sort=lambda row: row.change.ratio),
        Column("why", _("Why it needs a look"), lambda row: told(row.change.why), 220,
               tip=lambda row: told(row.change.why)),
    )  # fmt: skip


def fault_columns() -> tuple[Column, ...]:
    """Columns of faults and notes."""
    return (
        Column("kind", _("Kind"), lambda p: _("note") if p.warning else _("left out"), 84),
        Column("row", _("Row"), lambda p: str(p.place.row or ""), 72, True,
               sort=lambda p: p.place.row),
        Column("column", _("Column"), lambda p: p.place.column, 150),
        Column("what", _("What it says"), _said, 460, tip=_said),
    )  # fmt: skip


def _said(problem: Problem) -> str:
    return " ".join(filter(None, (told(problem.message), told(problem.remedy))))


def cost_columns(say: Formats) -> tuple[Column, ...]:
    """Columns of parts whose cost follows."""

    def after(cost: LinkedCost) -> str:
        return told(cost.why) if cost.new is None else say.money(cost.new, whole=False)

    return (
        Column("part", _("Part"), lambda cost: cost.before.id, 90),
        Column("name", _("Name"), lambda cost: cost.before.name, 200, tip=lambda k: k.before.name),
        Column("old", _("Cost now"), lambda cost: say.money(cost.old, whole=False), 120, True),
        Column("new", _("Cost then"), after, 140, True, tip=after),
        Column("by", _("By"), lambda k: percent(None if k.ratio is None else float(k.ratio), say),
               84, True),
    )  # fmt: skip


def list_columns(say: Formats) -> tuple[Column, ...]:
    """Columns of lists taken in."""

    def count(*kinds: str) -> Callable[[TakenList], str]:
        return lambda one: say.number(sum(one.counts.get(kind, 0) for kind in kinds))

    changed = (c.CHANGED, c.DETAILS, c.SUPERSEDED, c.OUTLIER, c.UNIT_TRAP, c.CURRENCY_TRAP)
    return (
        Column("number", _("List"), lambda one: str(one.number), 56, True,
               sort=lambda one: one.number),
        Column("supplier", _("Supplier"), lambda one: one.supplier, 84),
        Column("file", _("File"), lambda one: one.file, 220, tip=lambda one: one.sha256),
        Column("date", _("Prices of"), lambda one: say.day(one.price_date), 104,
               sort=lambda one: one.price_date),
        Column("by", _("Taken by"), lambda one: one.taken_by, 120),
        Column("at", _("Taken"), lambda one: say.day(one.taken_at.date()), 104,
               sort=lambda one: one.taken_at),
        Column("new", _("New items"), count(c.NEW), 72, True),
        Column("changed", _("Changed"), count(*changed), 84, True),
        Column("gone", _("Gone"), count(c.GONE), 72, True),
        Column("same", _("As they were"), count("same"), 104, True),
        Column("left", _("Left out"), count("left", "faulty"), 72, True),
        Column("undone", _("Undone by"), lambda one: one.undone_by or DASH, 120),
    )  # fmt: skip


def item_columns(say: Formats) -> tuple[Column, ...]:
    """Columns of items that were searched for."""

    def cells(name: str) -> Callable[[FoundItem], str]:
        return lambda one: str(getattr(one.item.cells, name))

    return (
        Column("supplier", _("Supplier"), lambda one: one.supplier, 84),
        Column("number", _("Part number"), cells("number"), 150, sort=lambda one: one.item.key),
        Column("description", _("Description"), cells("description"), 220,
               tip=cells("description")),
        Column("price", _("Price"), lambda one: _price(one.item, say), 130, True,
               sort=lambda one: one.item.minor),
        Column("unit", _("Unit"), cells("unit"), 64),
        Column("lead", _("Weeks"), cells("lead"), 64, True),
        Column("date", _("Prices of"), lambda one: say.day(one.price_date), 104,
               sort=lambda one: one.price_date),
        Column("list", _("List"), lambda one: one.list_name, 150, tip=lambda one: one.list_name),
        Column("parts", _("Parts"), lambda one: " ".join(one.parts), 110),
    )  # fmt: skip


def sheet_columns(uses: Sequence[str]) -> tuple[Column, ...]:
    """Columns of the first rows of a file; `uses` is the field of each column, "" for none."""
    words = field_words()

    def cell(place: int) -> Callable[[tuple[int, list[Any]]], str]:
        return lambda row: _cell(row[1][place])

    def column(place: int, use: str) -> Column:
        title = f"{letters(place)}: {words[use]}" if use else letters(place)
        return Column(f"column {place}", title, cell(place), 120, strong=lambda _row: bool(use))

    return (
        Column("row", _("Row"), lambda row: str(row[0]), 48, True),
        *(column(place, use) for place, use in enumerate(uses)),
    )


def _cell(value: Any) -> str:
    if isinstance(value, float) and value == int(value):
        return str(int(value))
    return "" if value is None else str(value)
