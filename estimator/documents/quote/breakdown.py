"""The full breakdown: every line with its hours and its sum, added up by component group.

It takes the place of the annex. Tables are short (at most fifty lines each), since one long table
takes the engine much longer than many short ones; the group's name heads each and comes again at
the top of a page.
"""

from __future__ import annotations

from decimal import Decimal
from functools import partial
from itertools import groupby
from typing import Any

from reportlab.platypus import CondPageBreak

from estimator.documents.grammar.look import INK, WIDTH
from estimator.documents.grammar.page import Later
from estimator.documents.grammar.text import Grid
from estimator.documents.grammar.wording import NOTHING
from estimator.documents.quote import breakdown_labels as labels
from estimator.documents.quote.annex import not_held_in_annex
from estimator.documents.quote.sheet import Sheet
from estimator.domain.money import Money
from estimator.domain.pricing import PricedLine
from estimator.domain.scope import LABOUR, OUTWORK, PARTS, PROVISIONAL
from estimator.domain.scope_line import place_in_print
from estimator.domain.totals import GroupSum

MOST_ROWS = 50
_KINDS = (LABOUR, PARTS, OUTWORK)
_WIDTHS = [0.365, 0.09, 0.07, 0.105, 0.105, 0.135, 0.13]
_NEED = 52.0  # a head with two lines below it


def breakdown(sheet: Sheet) -> list[Any]:
    """Every line by component group, and all of them together."""
    note = " ".join(sheet.formed("annex"))
    groups = {one.group: one for one in sheet.price.groups}
    lines = sorted(sheet.priced.lines, key=lambda one: place_in_print(one.line))
    digits = hour_digits(lines)
    found: list[Any] = [
        *sheet.section(labels.BREAKDOWN, "annex", before=14, need=220),
        sheet.text(note, "second", after=2),
    ]
    parts = [
        (groups[code], list(members))
        for code, members in groupby(lines, key=lambda one: one.line.group)
    ]
    for at, (group, members) in enumerate(parts):
        closing = [_all(sheet, digits)] if at == len(parts) - 1 else []
        found.append(Later(partial(_group, sheet, group, members, digits, closing)))
    return [*found, *not_held_in_annex(sheet)]


def hour_digits(lines: list[PricedLine]) -> int:
    """Decimals that hours need, the same in every group."""
    hours = [one.line.quantity.normalize() for one in lines if one.line.kind == LABOUR]
    return max((min(3, max(-int(one.as_tuple().exponent), 0)) for one in hours), default=0)


def _group(
    sheet: Sheet, group: GroupSum, lines: list[PricedLine], digits: int, closing: list[list[Any]]
) -> list[Any]:
    """The tables of a group; `closing` are rows that stand below its sum, never alone on a page."""
    found: list[Any] = []
    for start in range(0, len(lines), MOST_ROWS):
        chunk = lines[start : start + MOST_ROWS]
        rows = [_head(sheet, group.name), *(_line(sheet, one, digits) for one in chunk)]
        sums = []
        if start + MOST_ROWS >= len(lines):
            sums = [_sum(sheet, group, digits), *closing]
        found += [CondPageBreak(_NEED), _table(sheet, [*rows, *sums], total=len(sums))]
        found[-1].spaceBefore = 0 if start else 9
        if len(sums) > 1:
            found[-1].setStyle([("LINEABOVE", (0, -1), (-1, -1), 0.8, INK)])
    return found


def _table(sheet: Sheet, rows: list[list[Any]], total: int) -> Grid:
    widths = [WIDTH * share for share in _WIDTHS]
    return sheet.table(rows, widths, total=total, pad=1)


def _head(sheet: Sheet, group: str) -> list[Any]:
    symbol = sheet.words.symbol
    heads = (labels.QUANTITY, labels.HOURS, f"{labels.LABOUR}, {symbol}",
             f"{labels.PARTS}, {symbol}", f"{labels.OUTWORK}, {symbol}",
             "" if sheet.fixed else labels.HOW_SURE)  # fmt: skip
    return [sheet.text(group, "cell strong"), *sheet.cells(("", *heads), "fine head")[1:]]


def _line(sheet: Sheet, one: PricedLine, digits: int) -> list[Any]:
    line = one.line
    labour = line.kind == LABOUR
    quantity = "" if labour else sheet.quantity(line)
    hours = sheet.words.number(line.quantity, digits) if labour else ""
    sums = [sheet.words.sum(one.amount) if line.kind == kind else "" for kind in _KINDS]
    sure = labels.PROVISIONAL if line.certainty == PROVISIONAL else labels.FIRM
    cells = (line.row.name, quantity, hours, *sums, "" if sheet.fixed else sure)
    row = sheet.cells(cells, "note")
    if line.certainty == PROVISIONAL and not sheet.fixed:
        row[-1] = sheet.text(sure, "fine strong", "right")
    return row


def _sum(sheet: Sheet, group: GroupSum, digits: int) -> list[Any]:
    amount = labels.GROUP_AMOUNT.format(amount=sheet.words.sum(group.lines))
    name = labels.GROUP_SUM.format(group=group.name)
    return _sums(sheet, name, group.hours, group.by_kind, amount, digits)


def _sums(
    sheet: Sheet, name: str, hours: Decimal, by_kind: dict[str, Money], amount: str, digits: int
) -> list[Any]:
    """A row of sums; the last cell holds all of it, and needs no room of its own."""
    shown = sheet.words.number(hours, digits) if hours else NOTHING
    sums = (sheet.words.sum(by_kind[kind]) for kind in _KINDS)
    row = sheet.cells((name, "", shown, *sums), "fine strong")
    return [*row, sheet.figure(amount, "fine strong", "right", spans=True)]


def _all(sheet: Sheet, digits: int) -> list[Any]:
    """The row of all lines together, as the price by component group has it."""
    price = sheet.price
    lines = sheet.words.sum(price.firm_lines + price.provisional_lines)
    amount = labels.GROUP_AMOUNT.format(amount=lines)
    return _sums(sheet, labels.ALL_LINES, price.hours, price.by_kind, amount, digits)
