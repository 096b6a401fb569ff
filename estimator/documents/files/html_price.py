"""How the price works, the sums that may move, the levels side by side, the price by group."""

from __future__ import annotations

from estimator.documents.files.html_parts import SMALL_BAR, Row, bar, pairs, table, tag
from estimator.documents.files.html_sheet import PageSheet
from estimator.documents.files.html_summary import in_words
from estimator.documents.grammar import labels
from estimator.documents.grammar.certainty_bar import (
    CONTINGENCY_PART,
    FIRM_PART,
    PROVISIONAL_PART,
)
from estimator.documents.grammar.told import told
from estimator.documents.grammar.wording import apart
from estimator.documents.quote.options import leaves_out, option_cells, option_name
from estimator.documents.quote.price_table import cut_short, exchange_rates_said, extras
from estimator.domain.charge_rate import charge_rate
from estimator.domain.money import Money, money_half_up
from estimator.domain.pricing import exchange_rate
from estimator.domain.scope import LABOUR, OUTWORK, PARTS, PROVISIONAL
from estimator.domain.totals import GroupSum

_KINDS = (LABOUR, PARTS, OUTWORK)
_BEFORE_AMOUNT = 5  # columns of the price table before its amounts


def how_it_works(sheet: PageSheet) -> list[str]:
    """What may move, and the dates."""
    form = sheet.form
    rows = [
        (labels.PRICE if sheet.fixed else labels.FIRM, f"{form}: firm"),
        (labels.PROVISIONAL, f"{form}: provisional"),
        (labels.CONTINGENCY, f"{form}: contingency"),
        (labels.REQUESTS, "moves: requests"),
        (labels.EXCHANGE_UNITS, "moves: exchange units"),
        (labels.TAX, "moves: tax"),
    ]
    shown = [(sheet.html(title), sheet.html(sheet.clause(section))) for title, section in rows]
    name = f"{labels.LEAD.format(title=labels.FORM)} {sheet.clause(f'{form}: name')}"
    moves = sheet.head(labels.HOW_PRICE_WORKS, "moves") + sheet.said(name) + pairs(shown)
    return [tag("div", tag("section", moves) + tag("section", _dates(sheet)), class_="sides")]


def _dates(sheet: PageSheet) -> str:
    quote, job, words = sheet.quote, sheet.priced.job, sheet.words
    rows = [
        (labels.MACHINE_IN, words.day(job.start)),
        (labels.OPENED, labels.LIKELY_BY.format(day=words.day(quote.teardown.report_day))),
        (labels.ANSWERED, labels.ANSWER_DAYS.format(days=job.terms.answer_days)),
        (labels.READY_BY, words.day(quote.ready_covered)),
        (labels.READY_LIKELY, words.day(quote.ready_likely)),
        (labels.READY_EARLIEST,
         labels.IF_NOTHING_MORE.format(day=words.day(quote.ready_nothing_worn))),
    ]  # fmt: skip
    found = [
        sheet.head(labels.DATES, "dates"),
        pairs([(sheet.html(title), sheet.html(value)) for title, value in rows]),
        sheet.said(sheet.clause("dates: order"), "strong"),
    ]
    if quote.long_leads:
        leads = apart(
            labels.WEEKS.format(name=one.name, weeks=words.quantity(one.weeks))
            for one in quote.long_leads
        )
        title, said = labels.LEAD.format(title=labels.LONG_LEADS), leads.rstrip(".")
        found.append(sheet.said(f"{title} {said}. {sheet.clause('long leads')}", "second"))
    notes = " ".join((sheet.clause("dates: answer"), sheet.clause("dates: ready")))
    return "".join([*found, sheet.said(notes, "second")])


def moving_sums(sheet: PageSheet) -> list[str]:
    """Contingency by group, charge rates, exchange units."""
    return [*_contingency_by_group(sheet), *_rates(sheet), *_exchange_units(sheet)]


def _contingency_by_group(sheet: PageSheet) -> list[str]:
    price, words = sheet.price, sheet.words
    if not price.contingency or sheet.fixed:
        return []
    held = [group for group in price.groups if group.contingency]
    held.sort(key=lambda one: -one.contingency.minor)
    rows = [Row(sheet.html(one.name), [words.sum(one.contingency)]) for one in held]
    total = Row(sheet.html(labels.CONTINGENCY), [words.sum(price.contingency)], look="total")
    head = sheet.all((labels.GROUP, words.symbol))
    return [
        table("by-group", sheet.head(labels.BY_GROUP, "by-group"), head, rows, [total]),
        sheet.said(sheet.clause("contingency: by group"), "note"),
    ]


def _rates(sheet: PageSheet) -> list[str]:
    words, job, cat = sheet.words, sheet.priced.job, sheet.priced.cat
    used = [(cat.trades[trade], hours) for trade, hours in sheet.price.hours_by_trade.items()]
    hours = words.column([*(one for _, one in used), sheet.price.hours])
    rows = []
    for (trade, _), shown in zip(used, hours, strict=False):
        rate = money_half_up(charge_rate(trade) * exchange_rate(job, trade.currency),
                             job.terms.currency)  # fmt: skip
        rows.append(Row(sheet.html(trade.name), [shown, words.sum(rate, exact=True)]))
    total = Row(sheet.html(labels.ALL_HOURS), [hours[-1], ""], look="total")
    head = (labels.TRADE, labels.HOURS, labels.RATE.format(currency=words.symbol))
    return [
        table("rates", sheet.head(labels.RATES, "rates"), sheet.all(head), rows, [total]),
        sheet.said(" ".join(sheet.formed("rates")), "note"),
    ]


def _exchange_units(sheet: PageSheet) -> list[str]:
    words, units = sheet.words, sheet.quote.exchange_units
    if not units:
        return []
    currency = sheet.priced.job.terms.currency
    rows = []
    for one in units:
        held = money_half_up(one.charge_each.amount * one.quantity, currency)
        cells = (words.quantity(one.quantity), words.sum(one.charge_each), words.sum(held))
        rows.append(Row(sheet.html(one.name), cells))
    total = Row(sheet.html(labels.ALL_HELD), [words.sum(sheet.charges_held)], wide=3, look="total")
    head = (labels.UNIT, labels.QUANTITY, f"{labels.EACH}, {words.symbol}",
            f"{labels.EACH_HELD}, {words.symbol}")  # fmt: skip
    caption = sheet.head(labels.EXCHANGE_UNITS, "exchange")
    return [
        table("exchange", caption, sheet.all(head), rows, [total]),
        sheet.said(sheet.clause("exchange units"), "note"),
    ]


def provisional_lines(sheet: PageSheet) -> list[str]:
    """Every provisional line with its range and why it may move."""
    words = sheet.words
    lines = [one for one in sheet.priced.lines if one.line.certainty == PROVISIONAL]
    if not lines or sheet.fixed:
        return []
    rows = []
    for one in lines:
        name = f"{one.line.row.name}, {sheet.quantity(one.line)}"
        title = tag("span", sheet.html(labels.LEAD.format(title=name)), class_="name")
        why = sheet.html(told(one.line.why, words))
        sums = [words.sum(amount) for amount in (one.low, one.amount, one.high)]
        rows.append(Row(f"{title} {why}", sums, short=one.line.row.name))
    total = Row(sheet.html(labels.PROVISIONAL_SUM),
                ["", words.sum(sheet.price.provisional_lines), ""], look="total")  # fmt: skip
    head = (labels.LINE_WHY, labels.LOW, f"{labels.LIKELY}, {words.symbol}", labels.HIGH)
    caption = sheet.head(labels.PROVISIONAL_LINES, "provisional")
    return [
        table("provisional", caption, sheet.all(head), rows, [total]),
        sheet.said(sheet.clause(f"{sheet.form}: provisional lines"), "note"),
    ]


def options(sheet: PageSheet) -> list[str]:
    """The rebuild levels side by side."""
    levels = sheet.quote.options
    if len(levels) < 2:  # noqa: PLR2004 - nothing to lay beside it
        return []
    rows = [
        Row(sheet.html(labels.OPTION_ROWS[key]), sheet.all(shown),
            look="total" if key in ("net", "covered") else "")
        for key, shown in option_cells(sheet)
    ]  # fmt: skip
    head = ["", *(sheet.html(option_name(sheet, one)) for one in levels)]
    return [
        table("options", sheet.head(labels.OPTIONS, "options"), head, rows),
        *(sheet.said(line, "second") for line in map(leaves_out, levels)),
        sheet.said(" ".join(sheet.formed("options")), "note"),
    ]


def price_table(sheet: PageSheet) -> list[str]:
    """Groups with hours, labour, parts and outwork, then everything up to the price with tax."""
    price, words = sheet.price, sheet.words
    groups = sorted((one for one in price.groups if one.hours or one.lines),
                    key=lambda one: one.group)  # fmt: skip
    largest = max((group.lines.minor for group in groups), default=0)
    hours = words.column([*(group.hours for group in groups), price.hours])
    head = [labels.GROUP, labels.HOURS, labels.LABOUR, labels.PARTS, labels.OUTWORK,
            labels.AMOUNT.format(currency=words.symbol)]  # fmt: skip
    if not sheet.fixed:
        head.append(labels.HOW_SURE)
    cut = cut_short(sheet)
    rows = [_group_row(sheet, group, shown, largest, group.group in cut)
            for group, shown in zip(groups, hours, strict=False)]  # fmt: skip
    sums = (words.sum(price.by_kind[kind]) for kind in _KINDS)
    lines = words.sum(price.firm_lines + price.provisional_lines)
    work = _totals(sheet, Row(sheet.html(labels.PRICED_WORK), [hours[-1], *sums, lines],
                              look="total"))  # fmt: skip
    held = [labels.BAR_KEY_CONTINGENCY] if price.contingency else []
    caption = sheet.head(labels.PRICE_TABLE, "price")
    return [
        table("price", caption, sheet.all(head), rows, [work, *_after_lines(sheet, largest)]),
        "" if sheet.fixed else sheet.said(" ".join([labels.BAR_KEY, *held]), "note"),
        sheet.said(exchange_rates_said(sheet), "note"),
    ]


def _group_row(sheet: PageSheet, group: GroupSum, hours: str, largest: int, cut: bool) -> Row:
    words, row = sheet.words, sheet.priced.cat.groups[group.group]
    title = tag("span", sheet.html(group.name), class_="name")
    if row.summary and not cut and sheet.priced.job.level == "full":
        title += f'<br><span class="note">{sheet.html(row.summary)}</span>'
    cells = [hours, *(words.sum(group.by_kind[kind]) for kind in _KINDS), words.sum(group.lines)]
    if not sheet.fixed:
        parts = [(FIRM_PART, labels.FIRM, group.firm),
                 (PROVISIONAL_PART, labels.PROVISIONAL, group.provisional)]  # fmt: skip
        cells.append(_small_bar(sheet, [one for one in parts if one[2]], largest))
    return Row(title, cells, short=group.name)


def _small_bar(sheet: PageSheet, parts: list[tuple[str, str, Money]], whole: int) -> str:
    drawn = [(kind, amount.minor) for kind, _, amount in parts]
    return bar(drawn, in_words(sheet, parts), SMALL_BAR, whole) if whole and parts else ""


def _after_lines(sheet: PageSheet, largest: int) -> list[Row]:
    """Discount, carriage, levies, base, contingency, tax: one amount each."""
    price, words, wide = sheet.price, sheet.words, _BEFORE_AMOUNT

    def row(name: str, amount: str, look: str = "", drawn: str = "") -> Row:
        cells = [amount] if sheet.fixed else [amount, drawn]
        return Row(sheet.html(name), cells, wide, look)

    rows = [row(name, words.sum(amount)) for name, amount in extras(sheet)]
    base = labels.BASE_FIXED if sheet.fixed else labels.BASE
    rows.append(row(base, words.sum(price.base), "total"))
    if price.contingency and sheet.fixed:
        rows.append(row(labels.AT_OUR_RISK, words.sum(price.contingency)))
    elif price.contingency:
        held = (CONTINGENCY_PART, labels.CONTINGENCY, price.contingency)
        drawn = _small_bar(sheet, [held], max(largest, price.contingency.minor))
        rows.append(row(labels.CONTINGENCY_HELD, words.sum(price.contingency), drawn=drawn))
    rows.append(row(labels.NET_PRICE, sheet.html(words.money(price.net)), "total"))
    rows += [row(name, words.sum(tax, exact=True)) for name, _, tax in sheet.taxes(price.totals)]
    gross = sheet.html(words.money(price.totals.gross, exact=True))
    return [*rows, row(labels.GROSS_PRICE, gross, "total")]


def _totals(sheet: PageSheet, row: Row) -> Row:
    """A row of sums, with the last column empty where that is for bars."""
    cells = [*row.cells] if sheet.fixed else [*row.cells, ""]
    return Row(row.head, cells, row.wide, row.look)
