"""Options side by side on one page: price and dates of each, what is in, warranty, and the ways of
putting main components right."""

from __future__ import annotations

from decimal import Decimal
from functools import partial
from typing import Any

from estimator.documents.grammar.columns import Rule
from estimator.documents.grammar.look import WIDTH
from estimator.documents.grammar.spoken import in_language_of_locale
from estimator.documents.grammar.wording import NOTHING, Words
from estimator.documents.quote import options_page_labels as labels
from estimator.documents.quote.side_paper import SidePaper, side_pdf
from estimator.domain.money import Money
from estimator.domain.options_page import (
    TEARDOWN,
    ComponentWays,
    Cover,
    OptionColumn,
    OptionsPage,
)

_FIRST = 150.0
_PADS = (1.2, 0.7, 0.3, 0.0)  # of table rows, the tighter the less
_NO_WORDS = 2  # how tight it is when ways go without their words
_NO_WAYS = 3  # how tight it is when only the dearest component is shown


@in_language_of_locale
def options_page_pdf(page: OptionsPage, locale: str = "en_GB", paper: str = "") -> bytes:
    """The page as PDF: the same page and locale give the same bytes. Raises ValueError for a
    locale whose formats are not known."""
    job, machine = page.head.job, page.head.machine.type

    def named(words: Words) -> tuple[str, str]:
        reference = labels.REFERENCE.format(title=job.title, day=words.day(job.date))
        return reference, labels.TITLE.format(machine=machine)

    def values(words: Words) -> dict[str, str]:
        return {"title": job.title, "boxed_return": words.money(page.teardown.boxed_return.net),
                "reassembly": words.money(page.teardown.reassembly.net)}  # fmt: skip

    story = partial(_story, page)
    return side_pdf(page.head, locale, named, story, tightest=len(_PADS) - 1, paper=paper,
                    values=values)  # fmt: skip


def _story(page: OptionsPage, paper: SidePaper) -> list[Any]:
    title = labels.TITLE.format(machine=page.head.machine.type)
    return [
        *paper.section(title, "options page", name="title"),
        paper.text(paper.machine_line(), "second", after=2),
        *([paper.facts(paper.parties(), 44)] if paper.tight < len(_PADS) - 1 else []),
        Rule(strong=True),
        _figures(page, paper),
        paper.text(_new_price(page, paper), "note", before=2),
        *_groups(page, paper),
        paper.text(paper.clause("teardown"), "second", before=4),
        *_ways(page, paper),
        paper.text(paper.clause("basis"), "second", before=4),
    ]


def _names(page: OptionsPage) -> list[str]:
    quoted = page.head.job.level
    return [
        labels.THIS_QUOTE.format(name=labels.OPTIONS.get(one.key, one.key))
        if one.key == quoted else labels.OPTIONS.get(one.key, one.key)
        for one in page.columns
    ]  # fmt: skip


def _table(page: OptionsPage, paper: SidePaper, rows: list[list[Any]], total: int = 0) -> Any:
    width = (WIDTH - _FIRST) / len(page.columns)
    widths = [_FIRST] + [width] * len(page.columns)
    return paper.table(rows, widths, pad=_PADS[paper.tight], total=total)


def _figures(page: OptionsPage, paper: SidePaper) -> Any:
    words, columns = paper.words, page.columns

    def row(name: str, cells: list[str], look: str = "cell") -> list[Any]:
        return paper.cells((name, *cells), look)

    def sums(name: str, *, exact: bool = False) -> list[str]:
        amounts: list[Money] = [getattr(one, name) for one in columns]
        return [words.money(one, exact=exact) if one else NOTHING for one in amounts]

    rows = [row("", _names(page), "head"), row(labels.NET, sums("net"), "cell strong")]
    if not page.fixed:
        rows += [row(label, sums(key)) for key, label in labels.OF_IT.items()]
    rows.append(row(labels.GROSS, sums("gross", exact=True)))
    rows.append(row(labels.READY, [_ready(paper, one) for one in columns], "cell strong"))
    rows.append(row(labels.LIKELY, [words.day(one.ready_likely) if one.ready_likely else NOTHING
                                    for one in columns]))  # fmt: skip
    rows.append(row(labels.SHARE, [_share(paper, one) for one in columns]))
    covers = [[_cover(paper, one) for one in column.warranty] for column in columns]
    none = paper.clause("no warranty")
    cells = [[paper.text(one, "note", "right") for one in texts or [none]] for texts in covers]
    rows.append([paper.text(labels.WARRANTY), *cells])
    rows[-1][0] = paper.text(labels.WARRANTY, "cell")
    return _table(page, paper, rows)


def _ready(paper: SidePaper, one: OptionColumn) -> str:
    day = paper.words.day(one.ready_planned)
    return str(labels.REPORT.format(day=day)) if one.key == TEARDOWN else day


def _share(paper: SidePaper, one: OptionColumn) -> str:
    return paper.words.share(one.level.share_of_new, 1) if one.level is not None else NOTHING


def _cover(paper: SidePaper, one: Cover) -> str:
    label = labels.COVER_MONTHS if one.hours is None else labels.COVER
    hours = "" if one.hours is None else paper.words.quantity(Decimal(one.hours))
    return str(label.format(months=one.months, hours=hours, count=one.groups))


def _new_price(page: OptionsPage, paper: SidePaper) -> str:
    words = Words.of(str(paper.words.locale), page.new_price.currency,
                     page.head.job.terms.quoting_unit)  # fmt: skip
    whose = labels.WHOSE.get(page.new_origin, page.new_origin)
    return str(labels.NEW_PRICE.format(price=words.money(page.new_price),
                                       day=words.day(page.new_day), whose=whose))  # fmt: skip


def _groups(page: OptionsPage, paper: SidePaper) -> list[Any]:
    """Every column from its groups to its price; what an option leaves out says so."""
    words, columns = paper.words, page.columns
    head = labels.GROUP.format(currency=words.symbol)
    rows = [paper.cells((head, *_names(page)), "head")]
    for code, name in page.group_names.items():
        sums = [words.sum(one.groups[code]) if code in one.groups else labels.NOT_IN
                for one in columns]  # fmt: skip
        rows.append(paper.cells((name, *sums), "note"))
    rows.append(paper.cells((labels.CHARGES, *(words.sum(one.charges) for one in columns)), "note"))
    held = labels.AT_OUR_RISK if page.fixed else labels.CONTINGENCY
    if any(one.contingency for one in columns):
        rows.append(paper.cells((held, *(words.sum(one.contingency) for one in columns)), "note"))
    rows.append(paper.cells((labels.NET, *(words.sum(one.net) for one in columns)), "cell strong"))
    return [paper.part(labels.WHAT_IS_IN, "what is in", 5), _table(page, paper, rows, 1)]


def _ways(page: OptionsPage, paper: SidePaper) -> list[Any]:
    """What each way of a main component costs, and the whole price with it."""
    shown = page.components[:1] if paper.tight >= _NO_WAYS else page.components
    if not shown:
        return []
    symbol = paper.words.symbol
    head = (labels.PART, labels.WAY, labels.COST.format(currency=symbol), labels.ADDED_DAYS,
            labels.PRICE_WITH.format(currency=symbol))  # fmt: skip
    rows = [paper.mixed(head, {1}, "head")]
    for component in shown:
        rows += _component(component, paper)
    widths = [WIDTH - 345, 85.0, 130.0, 50.0, 80.0]
    return [
        paper.part(labels.WAYS, "ways", 5),
        *([paper.text(paper.clause("ways"), "note", after=1)] if paper.tight < _NO_WORDS else []),
        paper.table(rows, widths, pad=_PADS[paper.tight]),
    ]


def _component(component: ComponentWays, paper: SidePaper) -> list[list[Any]]:
    words, rows = paper.words, []
    name = component.name
    if component.open:
        name = labels.IF_WORN.format(name=name)
    for at, way in enumerate(component.ways):
        said = labels.WAY_NAMES.get(way.way, way.way)
        said = labels.CHOSEN.format(way=said) if way.chosen else said
        cost = labels.ABOUT.format(likely=words.sum(way.likely), low=words.sum(way.low),
                                   high=words.sum(way.high))  # fmt: skip
        cells = ("" if at else name, said, cost, words.quantity(way.added_days), words.sum(way.net))
        rows.append(paper.mixed(cells, {1}, "note"))
    return rows
