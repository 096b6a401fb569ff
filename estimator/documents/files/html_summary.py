"""What is read first on the page, in the order of the print's first page."""

from __future__ import annotations

from decimal import Decimal

from estimator.documents.files import html_labels as own
from estimator.documents.files.html_parts import (
    Row,
    bar,
    pairs,
    paragraph,
    points,
    swatch,
    table,
    tag,
)
from estimator.documents.files.html_sheet import PageSheet
from estimator.documents.files.html_text import apart
from estimator.documents.grammar import labels
from estimator.documents.grammar.certainty_bar import (
    CONTINGENCY_PART,
    FIRM_PART,
    PROVISIONAL_PART,
)
from estimator.documents.grammar.wording import NOTHING
from estimator.documents.quote.contingency_words import plain_words, stands_behind
from estimator.documents.quote.payment import stage_payments
from estimator.documents.quote.summary import included_points, not_included_points, stage_name
from estimator.domain.money import Money, round_half_up


def summary(sheet: PageSheet) -> list[str]:
    """Whose machine, the three figures, how sure they are, what is in and what is not, the
    contingency in plain words, payment."""
    return [
        *_opening(sheet),
        _three_figures(sheet),
        *([] if sheet.fixed else [_how_sure(sheet)]),
        _in_and_out(sheet),
        *(_fixed_words(sheet) if sheet.fixed else _contingency_words(sheet)),
        *_payment(sheet),
    ]


def _opening(sheet: PageSheet) -> list[str]:
    quote, job, words = sheet.quote, sheet.priced.job, sheet.words
    row = sheet.priced.cat.machine_class
    line = labels.MACHINE_LINE.format(
        mass=words.quantity(round_half_up(row.operating_mass_kg / 1000, Decimal(1))),
        serial=job.machine.serial, hours=words.quantity(job.machine.hours),
        day=words.day(job.inspected),
    )  # fmt: skip
    life = labels.LIFE_WANTED.format(hours=words.quantity(job.machine.life_wanted))
    to, sender = (apart((one.name, *one.address, one.contact))
                  for one in (job.customer, job.workshop))  # fmt: skip
    left = pairs([(labels.TO, to), (labels.FROM, sender), (labels.PRICED_FOR, sheet.html(life))])
    right = pairs([
        (labels.LEVEL, sheet.html(labels.LEVELS.get(job.level, job.level))),
        (labels.WRITTEN, apart([job.estimator])),
        (labels.RELEASED, apart([job.releaser])),
        (labels.STANDS, sheet.html(words.day(quote.valid_until))),
    ])  # fmt: skip
    return [
        sheet.head(labels.TITLE.format(machine=row.type), "summary", 1),
        sheet.said(line, "second"),
        tag("div", left + right, class_="sides"),
    ]


def _three_figures(sheet: PageSheet) -> str:
    words, price, quote = sheet.words, sheet.price, sheet.quote
    taxes = [
        labels.TAX_LINE.format(tax=name, base=words.money(base),
                               amount=words.money(tax, exact=True))
        for name, base, tax in sheet.taxes(price.totals)
    ]  # fmt: skip
    gross = labels.GROSS_LINE.format(amount=words.money(price.totals.gross, exact=True))
    ready = (labels.READY_WORDS if price.contingency else labels.READY_PLAIN).format(
        likely=words.day(quote.ready_likely), earliest=words.day(quote.ready_nothing_worn),
        order_by=words.day(quote.order_by),
    )  # fmt: skip
    first = [sheet.said(labels.BEFORE_TAX), *(sheet.said(one) for one in taxes),
             sheet.said(gross, "strong"),
             *(sheet.said(one, "note") for one in sheet.exemptions())]  # fmt: skip
    figures = [
        _figure(sheet, labels.PRICE, words.money(price.net), "".join(first)),
        _second_figure(sheet),
        _figure(sheet, labels.READY, words.day(quote.ready_covered), sheet.said(ready)),
    ]
    return tag("dl", "".join(figures), class_="figures")


def _figure(sheet: PageSheet, title: str, shown: str, below: str) -> str:
    value = paragraph(sheet.html(shown), "large") + below
    return tag("div", tag("dt", sheet.html(title)) + tag("dd", value))


def _second_figure(sheet: PageSheet) -> str:
    """The contingency; in a fixed price, that there is nothing of the kind."""
    held = sheet.price.contingency
    if sheet.fixed:
        risk = sheet.said(sheet.clause(f"{sheet.form}: at our risk"))
        return _figure(sheet, labels.INSIDE_SCOPE, labels.AT_RISK, risk)
    unspent = sheet.clause(f"{sheet.form}: unspent")
    said = f"{labels.INSIDE_PRICE}. {unspent}" if held else labels.NONE_HELD
    shown = sheet.words.money(held) if held else NOTHING
    return _figure(sheet, labels.CONTINGENCY_HELD, shown, sheet.said(said))


def certainties(sheet: PageSheet) -> list[tuple[str, str, Money]]:
    """Firm, provisional and contingency: pattern, name, sum."""
    price = sheet.price
    return [
        (FIRM_PART, labels.FIRM, price.firm),
        (PROVISIONAL_PART, labels.PROVISIONAL, price.provisional_lines),
        (CONTINGENCY_PART, labels.CONTINGENCY, price.contingency),
    ]


def in_words(sheet: PageSheet, parts: list[tuple[str, str, Money]]) -> str:
    """Names with their sums in one line."""
    return ", ".join(
        f"{name} {sheet.words.money(amount) if amount else NOTHING}" for _, name, amount in parts
    )


def _how_sure(sheet: PageSheet) -> str:
    """The bar, which says its three sums, and the key to it."""
    parts = certainties(sheet)
    said = own.HOW_SURE.format(sums=in_words(sheet, parts))
    sections = ("sure: firm", f"{sheet.form}: sure provisional", f"{sheet.form}: sure contingency")
    rows = []
    for (kind, name, amount), section in zip(parts, sections, strict=True):
        shown = sheet.html(sheet.words.money(amount)) if amount else NOTHING
        title = f'{swatch(kind)}<span class="{kind}-name">{sheet.html(name)}</span> {shown}'
        rows.append(tag("div", tag("dt", title)
                        + tag("dd", sheet.html(sheet.clause(section)))))  # fmt: skip
    key = tag("dl", "".join(rows), class_="key sides")
    return tag("figure", bar([(kind, amount.minor) for kind, _, amount in parts], said) + key)


def _in_and_out(sheet: PageSheet) -> str:
    """Both lists side by side where there is room."""
    included = sheet.head(labels.INCLUDED, "included") + points(sheet.all(included_points(sheet)))
    left_out = (
        sheet.head(labels.NOT_INCLUDED, "not-included")
        + points(sheet.all(not_included_points(sheet)), "out")
        + sheet.said(sheet.clause("included: annex"))
    )
    return tag("div", tag("section", included) + tag("section", left_out), class_="sides")


def _contingency_words(sheet: PageSheet) -> list[str]:
    first = plain_words(sheet)
    if not first:
        return []
    return [sheet.head(labels.CONTINGENCY_WORDS, "contingency"), sheet.said(" ".join(first)),
            sheet.said(" ".join(stands_behind(sheet)))]  # fmt: skip


def _fixed_words(sheet: PageSheet) -> list[str]:
    covers = sheet.said(sheet.clause(f"{sheet.form}: covers"))
    return [sheet.head(labels.FIXED_WORDS, "contingency"), covers]


def _payment(sheet: PageSheet) -> list[str]:
    """Stages with sums that add up to the price; the last is the balance."""
    words, totals = sheet.words, sheet.price.totals
    head = (labels.STAGE, labels.SHARE, f"{labels.NET}, {words.symbol}",
            f"{labels.TAX}, {words.symbol}", f"{labels.TO_PAY}, {words.symbol}")  # fmt: skip

    def row(name: str, share: Decimal, sums: tuple[Money, ...], look: str = "") -> Row:
        shown = (words.share(share, 1), *(words.sum(one, exact=True) for one in sums))
        return Row(sheet.html(name), sheet.all(shown), look=look)

    rows = [row(stage_name(sheet, one.when), one.share, (one.net, one.tax, one.gross))
            for one in stage_payments(sheet.priced.job, totals)]  # fmt: skip
    whole = row(labels.STAGE_SUM, Decimal(1), (totals.net, totals.tax, totals.gross), "total")
    notes = ("payment: stages", f"{sheet.form}: balance", "payment: exchange units")
    caption = sheet.head(labels.PAYMENT, "payment")
    return [
        table("payment", caption, sheet.all(head), rows, [whole]),
        sheet.said(" ".join(filter(None, map(sheet.clause, notes))), "second"),
    ]
