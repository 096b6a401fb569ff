"""The sums that may move: contingency by group, charge rates, exchange units, provisional lines."""

from __future__ import annotations

from typing import Any

from estimator.documents.grammar import labels
from estimator.documents.grammar.charts import SumBar
from estimator.documents.grammar.columns import Columns
from estimator.documents.grammar.look import GAP, WIDTH
from estimator.documents.grammar.told import told
from estimator.documents.quote.sheet import Sheet
from estimator.domain.charge_rate import charge_rate
from estimator.domain.money import money_half_up
from estimator.domain.pricing import PricedLine, exchange_rate
from estimator.domain.scope import PROVISIONAL

_HALF = (WIDTH - GAP) / 2
_BAR = 76.0


def moving_sums(sheet: Sheet) -> list[Any]:
    """Where the contingency may go, beside the rates and the exchange units."""
    left = _contingency_by_group(sheet)
    if not left:
        return [Columns([_rates(sheet), _exchange_units(sheet)], before=12)]
    return [Columns([left, [*_rates(sheet), *_exchange_units(sheet)]], before=12)]


def _contingency_by_group(sheet: Sheet) -> list[Any]:
    price, words = sheet.price, sheet.words
    if not price.contingency or sheet.fixed:
        return []
    held = [group for group in price.groups if group.contingency]
    held.sort(key=lambda one: -one.contingency.minor)
    sums = [group.contingency.minor for group in held]
    rows = [sheet.cells((labels.GROUP, "", words.symbol), "head")]
    for group in held:
        name, amount = sheet.cells((group.name, words.sum(group.contingency)))
        rows.append([name, SumBar(group.contingency.minor, min(sums), max(sums)), amount])
    rows.append(sheet.cells((labels.CONTINGENCY, "", words.sum(price.contingency)), "cell strong"))
    table = sheet.table(rows, [_HALF - 40 - _BAR, _BAR, 40], total=1, pad=1)
    table.setStyle([("VALIGN", (1, 1), (1, -2), "MIDDLE")])
    return [
        sheet.heading(labels.BY_GROUP, "by group"),
        table,
        sheet.text(sheet.clause("contingency: by group"), "note", before=3),
    ]


def _rates(sheet: Sheet) -> list[Any]:
    """Charge rate of every trade in this price, with its hours."""
    words, job, cat = sheet.words, sheet.priced.job, sheet.priced.cat
    used = [(cat.trades[trade], hours) for trade, hours in sheet.price.hours_by_trade.items()]
    hours = words.column([*(one for _, one in used), sheet.price.hours])
    rows = [sheet.cells((labels.TRADE, labels.HOURS, labels.RATE.format(currency=words.symbol)),
                        "head")]  # fmt: skip
    for (trade, _), shown in zip(used, hours, strict=False):
        rate = money_half_up(charge_rate(trade) * exchange_rate(job, trade.currency),
                             job.terms.currency)  # fmt: skip
        rows.append(sheet.cells((trade.name, shown, words.sum(rate, exact=True))))
    rows.append(sheet.cells((labels.ALL_HOURS, hours[-1], ""), "cell strong"))
    return [
        sheet.heading(labels.RATES, "rates"),
        sheet.table(rows, [_HALF - 78, 38, 40], total=1, pad=1),
        sheet.text(" ".join(sheet.formed("rates")), "note", before=3),
    ]


def _exchange_units(sheet: Sheet) -> list[Any]:
    words, units = sheet.words, sheet.quote.exchange_units
    if not units:
        return []
    currency = sheet.priced.job.terms.currency
    rows = [sheet.cells((labels.UNIT, labels.QUANTITY, f"{labels.EACH}, {words.symbol}",
                         f"{labels.EACH_HELD}, {words.symbol}"), "head")]  # fmt: skip
    held = [money_half_up(one.charge_each.amount * one.quantity, currency) for one in units]
    rows += [
        sheet.cells((one.name, words.quantity(one.quantity), words.sum(one.charge_each),
                     words.sum(charge)))
        for one, charge in zip(units, held, strict=True)
    ]  # fmt: skip
    rows.append(sheet.cells((labels.ALL_HELD, "", "", words.sum(sheet.charges_held)),
                            "cell strong"))  # fmt: skip
    return [
        sheet.heading(labels.EXCHANGE_UNITS, "exchange", before=10),
        sheet.table(rows, [_HALF - 134, 38, 60, 36], total=1, pad=1),
        sheet.text(sheet.clause("exchange units"), "note", before=3),
    ]


def provisional_lines(sheet: Sheet) -> list[Any]:
    """Every provisional line with its range and why it may move."""
    words = sheet.words
    lines = [one for one in sheet.priced.lines if one.line.certainty == PROVISIONAL]
    if not lines or sheet.fixed:
        return []
    head = (labels.LINE_WHY, labels.LOW, f"{labels.LIKELY}, {words.symbol}", labels.HIGH)
    rows = [sheet.cells(head, "head"), *(_provisional_row(sheet, one) for one in lines)]
    total = words.sum(sheet.price.provisional_lines)
    rows.append(sheet.cells((labels.PROVISIONAL_SUM, "", total, ""), "cell strong"))
    return [
        *sheet.section(labels.PROVISIONAL_LINES, "provisional", before=12, need=200),
        sheet.table(rows, [WIDTH - 146, 46, 54, 46], total=1, pad=1),
        sheet.text(sheet.clause(f"{sheet.form}: provisional lines"), "note", before=3),
    ]


def _provisional_row(sheet: Sheet, one: PricedLine) -> list[Any]:
    words, line = sheet.words, one.line
    title = sheet.lead(
        labels.LEAD.format(title=f"{line.row.name}, {sheet.quantity(line)}"),
        told(line.why, words),
        "note",
    )
    sums = [words.sum(amount) for amount in (one.low, one.amount, one.high)]
    return [title, *sheet.cells(("", *sums))[1:]]
