"""The internal cost sheet as PDF: every page says whom it is not for."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from reportlab.platypus import CondPageBreak

from estimator.documents.grammar import labels as grammar_labels
from estimator.documents.grammar.columns import Columns, Rule
from estimator.documents.grammar.look import GAP, INK, WIDTH
from estimator.documents.grammar.spoken import in_language_of_locale
from estimator.documents.grammar.told import told
from estimator.documents.grammar.wording import NOTHING, Words, apart, listed, within
from estimator.documents.workshop import workshop_labels as labels
from estimator.documents.workshop.workshop_paper import WorkshopPaper, workshop_pdf
from estimator.domain.money import Money
from estimator.domain.workshop_papers.cost_sheet import CostAndSell, CostSheet, GroupCost

_SUM, _SHARE = 78.0, 62.0
_HALF = (WIDTH - GAP) / 2
_NAMED = 12  # rows on starting values that are named; the rest are counted


@in_language_of_locale
def cost_sheet_pdf(sheet: CostSheet, locale: str = "en_GB") -> bytes:
    """The sheet as PDF: the same sheet and locale give the same bytes. Raises ValueError for a
    locale whose formats are not known."""
    head = sheet.head
    words = Words.of(locale, head.currency, head.quoting_unit)
    reference = labels.COST_REFERENCE.format(job=head.title, day=words.day(head.day))

    def story(paper: WorkshopPaper) -> list[Any]:
        return [
            *paper.opening(labels.COST_SHEET, "cost", head.title),
            _facts(paper, sheet),
            Rule(strong=True, before=3, after=3),
            _three(paper, sheet),
            paper.text(labels.CURRENCY_KEY.format(currency=words.symbol), "note", before=4),
            *_kinds(paper, sheet),
            *_groups(paper, sheet.groups, sheet.lines),
            *_to_price(paper, sheet),
            *_rates(paper, sheet),
            *_markups(paper, sheet),
            *_contingency(paper, sheet),
        ]

    return workshop_pdf(
        head, locale, labels.COST_SHEET, reference, story, band=labels.NOT_FOR_CUSTOMER
    )


def _facts(paper: WorkshopPaper, sheet: CostSheet) -> Any:
    customer = sheet.head.customer
    left = [(labels.CUSTOMER, customer.name if customer else NOTHING),
            (labels.ESTIMATOR, sheet.estimator)]  # fmt: skip
    right = [(labels.JOB, sheet.head.title), (labels.DATED, paper.words.day(sheet.head.day))]
    return paper.facts(left, right)


def _three(paper: WorkshopPaper, sheet: CostSheet) -> Columns:
    """What lines sell for, what they cost, and what is left."""
    money = paper.words.money
    discount = ""
    margin = [labels.MARGIN_SHARE.format(share=_share(paper, sheet.lines.share))]
    if sheet.discount:
        discount = labels.BEFORE_DISCOUNT.format(discount=money(sheet.discount))
        margin.append(labels.AFTER_DISCOUNT.format(
            margin=money(sheet.discounted.margin, exact=True),
            share=_share(paper, sheet.discounted.share),
        ))  # fmt: skip
    return paper.counts([
        (labels.SELL_LINES, money(sheet.lines.sell), discount),
        (labels.COST_LINES, money(sheet.lines.cost, exact=True), ""),
        (labels.MARGIN_LINES, money(sheet.lines.margin, exact=True), apart(margin)),
    ])  # fmt: skip


def _share(paper: WorkshopPaper, share: Decimal | None) -> str:
    return NOTHING if share is None else paper.words.share(share, 1)


def _head(paper: WorkshopPaper, first: str) -> list[Any]:
    titles = (first, labels.COST_HEAD, labels.SELL_HEAD, labels.MARGIN_HEAD, labels.SHARE_HEAD)
    return paper.cells(titles, "head")


def _sums(paper: WorkshopPaper, name: str, one: CostAndSell, look: str = "cell") -> list[Any]:
    shown = (paper.exact(one.cost), paper.exact(one.sell), paper.exact(one.margin),
             _share(paper, one.share))  # fmt: skip
    return [paper.text(name, look), *(paper.figure(text, look, "right") for text in shown)]


_WIDTHS = [WIDTH - 3 * _SUM - _SHARE, _SUM, _SUM, _SUM, _SHARE]


def _kinds(paper: WorkshopPaper, sheet: CostSheet) -> list[Any]:
    rows = [_head(paper, labels.KIND)]
    rows += [_sums(paper, labels.KINDS.get(kind, kind), one) for kind, one in sheet.kinds]
    rows.append(_sums(paper, labels.ALL_LINES, sheet.lines, "cell strong"))
    return [*paper.section(labels.BY_KIND, "kinds", before=10),
            paper.table(rows, _WIDTHS, pad=1.4, total=1)]  # fmt: skip


def _groups(paper: WorkshopPaper, groups: Iterable[GroupCost], lines: CostAndSell) -> list[Any]:
    """Each group's kinds, then all of it in semibold."""
    rows = [_head(paper, labels.GROUP)]
    look: list[tuple[Any, ...]] = []
    for group in groups:
        start = len(rows)
        rows.append(_sums(paper, group.name, group.total, "cell strong"))
        rows += [_sums(paper, labels.KINDS.get(kind, kind), one) for kind, one in group.kinds]
        look.append(("LEFTPADDING", (0, start + 1), (0, len(rows) - 1), 10))
        look.append(("NOSPLIT", (0, start), (-1, len(rows) - 1)))
    rows.append(_sums(paper, labels.ALL_LINES, lines, "cell total"))
    table = paper.table(rows, _WIDTHS, pad=0.9, total=1)
    table.setStyle(look)
    return [*paper.section(labels.BY_GROUP, "groups", before=12, need=110), table]


def _to_price(paper: WorkshopPaper, sheet: CostSheet) -> list[Any]:
    """From the lines down to the price with tax."""
    rows: list[tuple[str, Money, bool]] = [(labels.ALL_LINES, sheet.lines.sell, False)]
    if sheet.discount:
        rows.append((labels.LESS_DISCOUNT, -sheet.discount, False))
    rows.append((labels.FREIGHT, sheet.freight, False))
    rows += [(one.name, one.amount, False) for one in sheet.levies]
    rows += [(labels.BASE, sheet.base, True), (labels.CONTINGENCY, sheet.contingency, False),
             (labels.NET, sheet.net, True), (labels.TAX, sheet.tax, False),
             (labels.GROSS, sheet.gross, True)]  # fmt: skip
    cells, look = [], []
    for at, (name, amount, strong) in enumerate(rows):
        face = "cell strong" if strong else "cell"
        cells.append([paper.text(name, face), paper.figure(paper.exact(amount), face, "right")])
        if strong:
            look.append(("LINEABOVE", (0, at), (-1, at), 0.8, INK))
    table = paper.table(cells, [_HALF + 60, 110], head=0, pad=1.2)
    table.setStyle(look)
    return [*paper.section(labels.FROM_LINES, "to price", before=12, need=190), table]


def _rates(paper: WorkshopPaper, sheet: CostSheet) -> list[Any]:
    words = paper.words
    titles = (labels.TRADE, labels.RATE_HOURS, labels.RATE_COST, labels.RATE_CHARGE,
              labels.RATE_WANTED, labels.COST_HEAD, labels.SELL_HEAD,
              labels.MARGIN_HEAD)  # fmt: skip
    rows = [paper.cells(titles, "head")]
    for one in sheet.trades:
        shown = (words.quantity(one.hours), words.number(one.cost_rate, 2),
                 words.number(one.charge_rate, 2), words.share(one.wanted, 1),
                 paper.exact(one.total.cost), paper.exact(one.total.sell),
                 paper.exact(one.total.margin))  # fmt: skip
        rows.append([paper.text(one.name, "cell"),
                     *(paper.figure(text, "cell", "right") for text in shown)])  # fmt: skip
    widths = [WIDTH - 378, 38, 52, 56, 56, 58, 59, 59]
    found = [*paper.section(labels.RATES, "rates", before=12, need=200),
             paper.table(rows, widths, pad=1.2)]  # fmt: skip
    if sheet.rates:
        shown_rates = apart(
            labels.EXCHANGE_RATE.format(currency=one.currency, rate=words.rate(one.rate),
                                        own=sheet.head.currency, day=words.day(one.date),
                                        source=one.source)
            for one in sheet.rates
        )  # fmt: skip
        lead = grammar_labels.LEAD.format(title=labels.EXCHANGE_RATES)
        found.append(paper.lead(lead, shown_rates, "note", before=4))
    return found


def _markups(paper: WorkshopPaper, sheet: CostSheet) -> list[Any]:
    if not sheet.markups:
        return []
    titles = (labels.MARKUP, labels.MARKUP_SHARE, labels.COST_HEAD, labels.SELL_HEAD,
              labels.MARGIN_HEAD)  # fmt: skip
    rows = [paper.cells(titles, "head")]
    for one in sheet.markups:
        shown = (paper.words.share(one.share, 1), paper.exact(one.total.cost),
                 paper.exact(one.total.sell), paper.exact(one.total.margin))  # fmt: skip
        rows.append([paper.text(one.name, "cell"),
                     *(paper.figure(text, "cell", "right") for text in shown)])  # fmt: skip
    return [*paper.section(labels.MARKUPS, "markups", before=12, need=90),
            paper.table(rows, [WIDTH - 298, 64, _SUM, _SUM, _SUM], pad=1.2)]  # fmt: skip


def _contingency(paper: WorkshopPaper, sheet: CostSheet) -> list[Any]:
    left = [paper.heading(labels.HELD, "held"), _held(paper, sheet)]
    right = [paper.heading(labels.CLASS, "class"), *_class(paper, sheet)]
    return [
        CondPageBreak(150),
        Columns([left, right], before=12),
        *paper.section(labels.STARTING, "starting", before=12, need=70),
        *_starting(paper, sheet),
    ]


def _held(paper: WorkshopPaper, sheet: CostSheet) -> Any:
    """Mean, P50, P80 and the job's own confidence: held above base, and the cost it reaches."""
    titles = (labels.HELD_AT, labels.HELD_SUM, labels.HELD_REACHED)
    rows = [paper.cells(titles, "head")]
    mean = (labels.HELD_MEAN, paper.exact(sheet.mean), paper.exact(sheet.mean_total))
    rows.append(paper.cells(mean))
    own = sheet.confidence
    shown = [(sheet.median, "cell"), (sheet.eight_in_ten, "cell")]
    if own not in (sheet.median.confidence, sheet.eight_in_ten.confidence):
        shown.append((sheet.own, "cell"))
    for one, _ in shown:
        is_own = one.confidence == own
        text = labels.HELD_OWN if is_own else labels.HELD_P
        name = text.format(share=paper.words.quantity(one.confidence * 100))
        cells = (name, paper.exact(one.amount), paper.exact(one.reached))
        rows.append(paper.cells(cells, "cell strong" if is_own else "cell"))
    return paper.table(rows, [_HALF - 150, 70, 80], pad=1.4)


def _class(paper: WorkshopPaper, sheet: CostSheet) -> list[Any]:
    words, band, found = paper.words, sheet.band, sheet.range
    stage = told(band.stage, words)
    texts = (
        labels.CLASS_WORDS.format(number=found.estimate_class, stage=stage),
        labels.BAND_WORDS.format(
            low_least=words.share(band.low_least), low_most=words.share(band.low_most),
            high_least=words.share(band.high_least), high_most=words.share(band.high_most),
        ),
        labels.RANGE_WORDS.format(low=words.money(found.low), high=words.money(found.high),
                                  likely=words.money(found.likely)),
    )  # fmt: skip
    return [paper.text(text, "second", after=2) for text in texts]


def _starting(paper: WorkshopPaper, sheet: CostSheet) -> list[Any]:
    money = paper.words.money
    lines = labels.STARTING_LINES.format(
        count=sheet.starting_lines, all=sheet.all_lines, sum=money(sheet.starting_sell)
    )
    said = [paper.text(lines, "second", after=2)]
    if not sheet.starting:
        return [*said, paper.text(labels.NO_CHANCES, "second")]
    names = [within(name) for name, _ in sheet.starting]
    shown = listed(names[:_NAMED])
    if len(names) > _NAMED:
        shown = grammar_labels.AND_OTHERS.format(names=shown, count=len(names) - _NAMED)
    text = labels.STARTING_CHANCES.format(
        count=len(names), sum=money(sheet.starting_sum), names=shown
    )
    return [*said, paper.text(text, "second")]
