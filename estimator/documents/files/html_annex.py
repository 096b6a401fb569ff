"""The annex: every line by component group; with hours and sums where the quote is told in full."""

from __future__ import annotations

from itertools import groupby

from estimator.documents.files.html_parts import Row, points, table, tag
from estimator.documents.files.html_sheet import PageSheet
from estimator.documents.grammar import labels as shared
from estimator.documents.grammar.wording import NOTHING, apart
from estimator.documents.quote import breakdown_labels as labels
from estimator.documents.quote.annex import in_order
from estimator.documents.quote.breakdown import hour_digits
from estimator.domain.pricing import PricedLine
from estimator.domain.quote_length import FULL
from estimator.domain.scope import LABOUR, OUTWORK, PARTS, PROVISIONAL
from estimator.domain.scope_line import place_in_print
from estimator.domain.totals import GroupSum, Price

_KINDS = (LABOUR, PARTS, OUTWORK)

Parts = list[tuple[str, list[PricedLine]]]


def annex(sheet: PageSheet) -> list[str]:
    """Lines in the order of the print."""
    full = sheet.quote.length == FULL
    if full:
        lines = sorted(sheet.priced.lines, key=lambda one: place_in_print(one.line))
    else:
        lines = sorted(sheet.priced.lines, key=in_order)
    parts = [(code, list(found)) for code, found in groupby(lines, lambda one: one.line.group)]
    found = [
        sheet.head(labels.BREAKDOWN if full else shared.ANNEX, "annex"),
        sheet.said(" ".join(sheet.formed("annex")), "second"),
        *(_broken_down(sheet, parts) if full else [_listed(sheet, parts)]),
    ]
    if sheet.not_held_in_annex:
        names = apart(sheet.quote.not_held)
        found.append(sheet.said(shared.NOT_HELD.format(names=names), "note"))
    return found


def _listed(sheet: PageSheet, parts: Parts) -> str:
    found = []
    for code, members in parts:
        name = sheet.head(sheet.priced.cat.groups[code].name, "", 3)
        shown = points((_listed_line(sheet, one) for one in members), "plain")
        found.append(tag("section", name + shown))
    return tag("div", "".join(found), class_="lines")


def _listed_line(sheet: PageSheet, one: PricedLine) -> str:
    """Name and quantity; a provisional line says so, the rest are firm."""
    shown = sheet.html(f"{one.line.row.name}, {sheet.quantity(one.line)}")
    if one.line.certainty != PROVISIONAL or sheet.fixed:
        return shown
    return f"{shown}, <strong>{sheet.html(shared.PROVISIONAL.lower())}</strong>"


def _broken_down(sheet: PageSheet, parts: Parts) -> list[str]:
    groups = {one.group: one for one in sheet.price.groups}
    digits = hour_digits(list(sheet.priced.lines))
    found = []
    for number, (code, members) in enumerate(parts):
        group = groups[code]
        rows = [_full_line(sheet, one, digits) for one in members]
        caption = sheet.head(group.name, "", 3)
        name = labels.GROUP_SUM.format(group=group.name)
        sums = _sums(sheet, name, group, sheet.words.sum(group.lines), digits)
        found.append(table(f"lines-{number}", caption, _head(sheet), rows, sums))
    price = sheet.price
    lines = sheet.words.sum(price.firm_lines + price.provisional_lines)
    rows = _sums(sheet, labels.ALL_LINES, price, lines, digits)
    caption = sheet.head(shared.PRICE_TABLE, "", 3)
    return [*found, table("lines-all", caption, _head(sheet), rows)]


def _head(sheet: PageSheet) -> list[str]:
    symbol = sheet.words.symbol
    heads = ["", labels.QUANTITY, labels.HOURS, f"{labels.LABOUR}, {symbol}",
             f"{labels.PARTS}, {symbol}", f"{labels.OUTWORK}, {symbol}"]  # fmt: skip
    return sheet.all(heads if sheet.fixed else [*heads, labels.HOW_SURE])


def _full_line(sheet: PageSheet, one: PricedLine, digits: int) -> Row:
    line = one.line
    labour = line.kind == LABOUR
    quantity = "" if labour else sheet.quantity(line)
    hours = sheet.words.number(line.quantity, digits) if labour else ""
    sums = [sheet.words.sum(one.amount) if line.kind == kind else "" for kind in _KINDS]
    sure = labels.PROVISIONAL if line.certainty == PROVISIONAL else labels.FIRM
    cells = [quantity, hours, *sums, *(() if sheet.fixed else (sure,))]
    return Row(sheet.html(line.row.name), sheet.all(cells))


def _sums(sheet: PageSheet, name: str, of: GroupSum | Price, amount: str, digits: int) -> list[Row]:
    """Hours and the sums by kind, then all of it in a row of its own."""
    words = sheet.words
    shown = words.number(of.hours, digits) if of.hours else NOTHING
    cells = ["", shown, *(words.sum(of.by_kind[kind]) for kind in _KINDS)]
    told = labels.GROUP_AMOUNT.format(amount=amount)
    if not sheet.fixed:
        return [Row(sheet.html(name), [*cells, told], look="total")]
    return [
        Row(sheet.html(name), cells, look="total"),
        Row(sheet.html(told), [""] * len(cells), look="total"),
    ]
