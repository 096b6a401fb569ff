"""A quote as rows of a file: its lines at the detail chosen, and the sums beside them.

Nothing is added up here: every sum is one of the domain. Cost and margin are in no row.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal

from estimator.documents.files import file_labels as labels
from estimator.documents.files.file_text import number_text
from estimator.domain.job import Job
from estimator.domain.money import Money
from estimator.domain.pricing import PricedLine
from estimator.domain.quote import Quote
from estimator.domain.scope import FIRM, LABOUR, OUTWORK, PARTS, PROVISIONAL
from estimator.domain.tax import TaxLine
from estimator.domain.totals import GroupSum, Price

SHORT, STANDARD, FULL = "short", "standard", "full"
DETAILS = (SHORT, STANDARD, FULL)
KINDS = (LABOUR, PARTS, OUTWORK)
HELD, NOTHING_APART = "contingency", ""
_FIXED = "fixed price"
HOUR = "h"


@dataclass(frozen=True, slots=True)
class FileQuote:
    """A quote on its way into a file: how much of it is told, and where it comes from.

    `at` is when it was issued, or came into the state it is in, with its zone.
    """

    quote: Quote
    at: datetime
    detail: str = STANDARD  # one of DETAILS
    issued: bool = True
    chain_head: str = ""

    @property
    def job(self) -> Job:
        """The job behind it."""
        return self.quote.priced.job

    @property
    def price(self) -> Price:
        """Its price."""
        return self.quote.priced.price

    @property
    def currency(self) -> str:
        """Its currency, as ISO 4217 codes it."""
        return self.job.terms.currency

    @property
    def fixed(self) -> bool:
        """Whether it is one fixed price: no part of it is told apart as firm or provisional."""
        return self.job.terms.commercial_form == _FIXED


@dataclass(frozen=True, slots=True)
class FileLine:
    """One line of a file. Quantities are 1 and have no range where a line stands for several."""

    reference: str
    name: str
    amount: Money
    certainty: str = NOTHING_APART
    kind: str = ""
    group: str = ""
    group_name: str = ""
    quantity: Decimal = Decimal(1)
    low: Decimal = Decimal(1)
    high: Decimal = Decimal(1)
    unit: str = ""
    amount_low: Money | None = None
    amount_high: Money | None = None
    why: str = ""

    @property
    def moves(self) -> bool:
        """Whether it states a range."""
        return self.amount_low is not None


@dataclass(frozen=True, slots=True)
class Beside:
    """A sum beside the lines: `amount` is what it adds to the price, below zero for a discount."""

    name: str
    amount: Money


def file_lines(source: FileQuote) -> list[FileLine]:
    """The lines at the quote's detail: firm and provisional (short), one or two for each component
    group (standard), or each line of work and parts (full). They add up to the priced work."""
    if source.detail == FULL:
        return [_full_line(source, one) for one in ordered_lines(source)]
    return list(_group_lines(source) if source.detail == STANDARD else _short_lines(source))


def ordered_lines(source: FileQuote) -> list[PricedLine]:
    """Lines in the order of the print: by group, in each first the work, then what is bought."""
    return sorted(
        source.quote.priced.lines,
        key=lambda one: (one.line.group, KINDS.index(one.line.kind), one.line.component, one.id),
    )


def provisional_lines(source: FileQuote) -> list[FileLine]:
    """The provisional lines with their ranges; none in one fixed price, or told in short."""
    if source.fixed or source.detail == SHORT:
        return []
    return [
        _full_line(source, one)
        for one in ordered_lines(source)
        if one.line.certainty == PROVISIONAL
    ]


def groups(source: FileQuote) -> list[GroupSum]:
    """Component groups that hold hours, lines or a share of the contingency."""
    shown = (one for one in source.price.groups if one.hours or one.lines or one.contingency)
    return sorted(shown, key=lambda one: one.group)


def kind_name(kind: str) -> str:
    """Labour, parts or outwork as the reader reads it."""
    names = {LABOUR: labels.LABOUR, PARTS: labels.PARTS, OUTWORK: labels.OUTWORK}
    return str(names.get(kind, kind))


def certainty_name(certainty: str) -> str:
    """Firm, provisional or contingency as the reader reads it; "" where nothing is set apart."""
    names = {FIRM: labels.FIRM, PROVISIONAL: labels.PROVISIONAL, HELD: labels.CONTINGENCY}
    return str(names.get(certainty, certainty))


def _short_lines(source: FileQuote) -> Iterator[FileLine]:
    price = source.price
    if source.fixed:
        for kind, amount in price.by_kind.items():
            if amount:
                yield FileLine(kind, kind_name(kind), amount, kind=kind)
        return
    sums = ((FIRM, labels.FIRM_LINES, price.firm_lines),
            (PROVISIONAL, labels.PROVISIONAL_LINES, price.provisional_lines))  # fmt: skip
    for certainty, name, amount in sums:
        if amount:
            yield FileLine(certainty, name, amount, certainty)


def _group_lines(source: FileQuote) -> Iterator[FileLine]:
    for group in groups(source):
        told = FileLine(group.group, group.name, group.lines, group=group.group,
                        group_name=group.name)  # fmt: skip
        if source.fixed:
            if group.lines:
                yield told
            continue
        for certainty, amount in ((FIRM, group.firm), (PROVISIONAL, group.provisional)):
            if amount:
                name = labels.GROUP_LINE.format(
                    group=group.name, certainty=certainty_name(certainty).lower()
                )
                reference = f"{group.group}-{certainty}"
                yield replace(
                    told, reference=reference, name=name, amount=amount, certainty=certainty
                )


def _full_line(source: FileQuote, one: PricedLine) -> FileLine:
    line, apart = one.line, not source.fixed
    moves = apart and line.certainty == PROVISIONAL
    return FileLine(
        reference=one.id,
        name=line.row.name or one.id,
        amount=one.amount,
        certainty=line.certainty if apart else NOTHING_APART,
        kind=line.kind,
        group=line.group,
        group_name=source.quote.priced.cat.groups[line.group].name,
        quantity=line.quantity,
        low=line.low,
        high=line.high,
        unit=HOUR if line.kind == LABOUR else line.unit,
        amount_low=one.low if moves else None,
        amount_high=one.high if moves else None,
        why=line.why if moves else "",
    )


def beside(source: FileQuote) -> list[Beside]:
    """Discount, carriage and levies, those there are, in the order of the print."""
    price = source.price
    label = labels.DISCOUNT_FIXED if source.fixed else labels.DISCOUNT
    discount = label.format(share=number_text(source.job.terms.discount_share * 100))
    found = [
        Beside(discount, -price.discount),
        Beside(labels.CARRIAGE, price.freight),
        *(Beside(levy.name, levy.amount) for levy in price.levies),
    ]
    return [one for one in found if one.amount]


def contingency_name(source: FileQuote) -> str:
    """What the contingency is called: in one fixed price it is the workshop's own risk."""
    return str(labels.AT_OUR_RISK if source.fixed else labels.CONTINGENCY_HELD)


def tax_name(source: FileQuote, tax: TaxLine) -> str:
    """A tax with its rate."""
    rows = source.quote.priced.cat.tax.values()
    names = [one.name for one in rows if (one.code, one.rate_percent) == (tax.category, tax.rate)]
    name = names[0] if names else labels.TAX
    return str(labels.TAX_RATE.format(name=name, rate=number_text(tax.rate)))


def exemption(source: FileQuote, tax: TaxLine) -> str:
    """Why a category bears no tax; "" where none is stated."""
    rows = source.quote.priced.cat.tax.values()
    told = [one.exemption for one in rows
            if (one.code, one.rate_percent) == (tax.category, tax.rate)]  # fmt: skip
    return told[0] if told else ""
