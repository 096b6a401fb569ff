"""The price by component group: every printed column adds up to its printed sum."""

from __future__ import annotations

from typing import Any

from estimator.documents.grammar import labels
from estimator.documents.grammar.certainty_bar import (
    CONTINGENCY_PART,
    FIRM_PART,
    PROVISIONAL_PART,
    CertaintyBar,
)
from estimator.documents.grammar.look import INK, WIDTH
from estimator.documents.grammar.text import Line
from estimator.documents.grammar.wording import apart
from estimator.documents.quote.sheet import Sheet
from estimator.domain.catalogue.work_rows import CalledRow, Operation, Outwork, PartsGroup
from estimator.domain.money import Money
from estimator.domain.scope import LABOUR, OUTWORK, PARTS
from estimator.domain.totals import GroupSum

_KINDS = (LABOUR, PARTS, OUTWORK)
_WIDTHS = [0.355, 0.085, 0.11, 0.11, 0.1, 0.115, 0.125]
_BAR = WIDTH * _WIDTHS[-1] - 12


def price_table(sheet: Sheet) -> list[Any]:
    """Groups with hours, labour, parts and outwork, then everything up to the price with tax."""
    words = sheet.words
    groups = sorted((one for one in sheet.price.groups if one.hours or one.lines),
                    key=lambda one: one.group)  # fmt: skip
    largest = max((group.lines.minor for group in groups), default=0)
    hours = words.column([*(group.hours for group in groups), sheet.price.hours])
    head = (labels.GROUP, labels.HOURS, labels.LABOUR, labels.PARTS, labels.OUTWORK,
            labels.AMOUNT.format(currency=words.symbol))  # fmt: skip
    how_sure = "" if sheet.fixed else labels.HOW_SURE
    rows: list[list[Any]] = [[*sheet.cells(head, "head"), sheet.text(how_sure, "head")]]
    cut = cut_short(sheet)
    rows += [_group_row(sheet, group, shown, 0 if sheet.fixed else largest, group.group in cut)
             for group, shown in zip(groups, hours, strict=False)]  # fmt: skip
    above = len(rows)
    by_kind = [words.sum(sheet.price.by_kind[kind]) for kind in _KINDS]
    lines = sheet.price.firm_lines + sheet.price.provisional_lines
    rows.append([*sheet.cells((labels.PRICED_WORK, hours[-1], *by_kind, words.sum(lines)),
                              "cell strong"), ""])  # fmt: skip
    rows += _after_lines(sheet, largest)
    net, rates = -2 - len(sheet.price.totals.taxes), exchange_rates_said(sheet)
    table = sheet.table(rows, [WIDTH * share for share in _WIDTHS], pad=2,
                        total=len(rows) - above)  # fmt: skip
    table.setStyle([("VALIGN", (1, 1), (-1, above - 1), "MIDDLE"),
                    ("LEFTPADDING", (-1, 0), (-1, -1), 12),
                    ("LINEABOVE", (0, -1), (-2, -1), 0.8, INK),
                    *(("SPAN", (-4, row), (-2, row)) for row in (net, -1))])  # fmt: skip
    return [
        *sheet.section(labels.PRICE_TABLE, "price", name="title", need=160),
        table,
        *([] if sheet.fixed else [_bar_key(sheet)]),
        *([sheet.text(rates, "note", before=2)] if rates else []),
    ]


def _bar_key(sheet: Sheet) -> Line:
    held = [labels.BAR_KEY_CONTINGENCY] if sheet.price.contingency else []
    return sheet.text(" ".join([labels.BAR_KEY, *held]), "note", before=4)


def cut_short(sheet: Sheet) -> set[str]:
    """Groups that lost a line by hand: what their catalogue row says of them may no longer hold."""
    cat = sheet.priced.cat
    rows = {**cat.operations, **cat.parts, **cat.outwork}
    gone = [rows[one.row_id] for one in sheet.priced.scope.removed if one.row_id in rows]
    return {cat.components[row.component].group for row in gone}


def exchange_rates_said(sheet: Sheet) -> str:
    """Rates of foreign money that a line of this price was reckoned with; "" for none."""
    job, words = sheet.priced.job, sheet.words
    used = {_currency(one.line.row, sheet) for one in sheet.priced.lines}
    shown = [
        labels.EXCHANGE_RATE.format(currency=one.currency, own=job.terms.currency,
                                    rate=words.rate(one.rate), day=words.day(one.date))
        for code, one in sorted(job.exchange_rates.items()) if code in used
    ]  # fmt: skip
    return labels.EXCHANGE_RATES.format(rates=apart(shown)) if shown else ""


def _currency(row: CalledRow, sheet: Sheet) -> str:
    if isinstance(row, Operation):
        return sheet.priced.cat.trades[row.trade].currency
    assert isinstance(row, PartsGroup | Outwork)
    return row.currency


def _group_row(sheet: Sheet, group: GroupSum, hours: str, largest: int, cut: bool) -> list[Any]:
    """One group; without its summary where lines of it were taken out by hand."""
    words = sheet.words
    row = sheet.priced.cat.groups[group.group]
    title = [sheet.text(group.name, "cell strong")]
    if row.summary and not cut and sheet.priced.job.level == "full":
        title.append(sheet.text(row.summary, "note"))
    parts = [(FIRM_PART, group.firm.minor), (PROVISIONAL_PART, group.provisional.minor)]
    bar = CertaintyBar(parts, whole=largest, width=_BAR, height=8) if largest else ""
    sums = (hours, *(words.sum(group.by_kind[kind]) for kind in _KINDS))
    cells = sheet.cells(("", *sums))[1:]
    return [title, *cells, sheet.figure(words.sum(group.lines), "cell strong", "right"), bar]


def _after_lines(sheet: Sheet, largest: int) -> list[list[Any]]:
    """Discount, carriage, levies, base, contingency, tax: one amount each."""
    price, words = sheet.price, sheet.words
    rows = [_one(sheet, name, words.sum(amount)) for name, amount in extras(sheet)]
    rows.append(
        _one(
            sheet,
            labels.BASE_FIXED if sheet.fixed else labels.BASE,
            words.sum(price.base),
            "cell strong",
        )
    )
    if price.contingency and sheet.fixed:
        rows.append(_one(sheet, labels.AT_OUR_RISK, words.sum(price.contingency)))
    elif price.contingency:
        held = price.contingency.minor
        bar = CertaintyBar([(CONTINGENCY_PART, held)], whole=max(largest, held), width=_BAR,
                           height=8)  # fmt: skip
        rows.append(_one(sheet, labels.CONTINGENCY_HELD, words.sum(price.contingency), bar=bar))
    rows.append(_headline(sheet, labels.NET_PRICE, words.money(price.net)))
    rows += [_one(sheet, name, words.sum(tax, exact=True))
             for name, _, tax in sheet.taxes(price.totals)]  # fmt: skip
    gross = words.money(price.totals.gross, exact=True)
    rows.append(_headline(sheet, labels.GROSS_PRICE, gross))
    return rows


def extras(sheet: Sheet) -> list[tuple[str, Money]]:
    """Discount, carriage and levies, those there are."""
    price = sheet.price
    label = labels.DISCOUNT_FIXED if sheet.fixed else labels.DISCOUNT
    discount = label.format(share=sheet.words.share(sheet.priced.job.terms.discount_share, 1))
    found: list[tuple[str, Money]] = [
        (discount, -price.discount),
        (labels.CARRIAGE, price.freight),
        *((levy.name, levy.amount) for levy in price.levies),
    ]
    return [(name, amount) for name, amount in found if amount]


def _one(sheet: Sheet, name: str, amount: str, look: str = "cell", bar: Any = "") -> list[Any]:
    return [sheet.text(name, look), "", "", "", "", sheet.figure(amount, look, "right"), bar]


def _headline(sheet: Sheet, name: str, amount: str) -> list[Any]:
    """A total with its currency, which may need more room than its column has."""
    shown = sheet.figure(amount, "cell total", "right", spans=True)
    return [sheet.text(name, "cell total"), "", "", shown, "", "", ""]
