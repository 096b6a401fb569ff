"""From priced lines to a price: subtotals that keep certainties apart, discount, freight, levies,
contingency, tax. Every sum notes how it was reached."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import Operation
from estimator.domain.charges import LevySum, discount_on, freight_for, levies_on
from estimator.domain.fixed_words import fixed
from estimator.domain.job import Job
from estimator.domain.money import Money, money_sum
from estimator.domain.pricing import PricedLine
from estimator.domain.reasons import Figure, Reasons, source_of
from estimator.domain.scope import FIRM, LABOUR, OUTWORK, PARTS, PROVISIONAL
from estimator.domain.tax import Taxed, Totals, document_totals
from estimator.domain.wording import worded

KINDS = (LABOUR, PARTS, OUTWORK)


@dataclass(frozen=True, slots=True)
class GroupSum:
    """Sums of one component group, firm and provisional kept apart."""

    group: str
    name: str
    hours: Decimal
    by_kind: dict[str, Money]
    firm: Money
    provisional: Money
    contingency: Money

    @property
    def lines(self) -> Money:
        """Firm and provisional lines together."""
        return self.firm + self.provisional


@dataclass(frozen=True, slots=True)
class Price:
    """The price of a job."""

    groups: tuple[GroupSum, ...]
    by_kind: dict[str, Money]
    firm_lines: Money
    provisional_lines: Money
    discount: Money  # a positive sum, taken off
    freight: Money
    levies: tuple[LevySum, ...]
    base: Money
    contingency: Money
    totals: Totals
    hours: Decimal
    hours_by_trade: dict[str, Decimal]
    cost_by_kind: dict[str, Decimal]  # the workshop's own; never printed for the customer

    @property
    def net(self) -> Money:
        """Price before tax."""
        return self.totals.net

    @property
    def firm(self) -> Money:
        """Everything that does not move: firm lines, discount, freight and levies."""
        return self.base - self.provisional_lines

    @property
    def provisional(self) -> Money:
        """Provisional lines at their likely values."""
        return self.provisional_lines

    @property
    def levy_sum(self) -> Money:
        """All levies together."""
        return money_sum((levy.amount for levy in self.levies), self.base.currency)


@dataclass(frozen=True, slots=True)
class WorkSums:
    """What the lines come to with all that goes beside them, before contingency and tax."""

    groups: tuple[GroupSum, ...]  # their contingency is zero
    by_kind: dict[str, Money]
    firm_lines: Money
    provisional_lines: Money
    discount: Money  # a positive sum, taken off
    freight: Money
    levies: tuple[LevySum, ...]
    base: Money

    @property
    def firm(self) -> Money:
        """Everything that does not move: firm lines, discount, freight and levies."""
        return self.base - self.provisional_lines


def sum_work(
    job: Job, cat: ClassCatalogue, lines: tuple[PricedLine, ...], reasons: Reasons
) -> WorkSums:
    """Subtotals of a set of lines up to the base of the price."""
    currency, unit = job.terms.currency, job.terms.quoting_unit
    in_group: dict[str, list[PricedLine]] = {group: [] for group in cat.groups}
    for one in lines:
        in_group[one.line.group].append(one)
    groups = tuple(
        _group_sum(group, cat, own, currency, reasons) for group, own in in_group.items()
    )
    by_kind = {
        kind: money_sum((one.amount for one in lines if one.line.kind == kind), currency)
        for kind in KINDS
    }
    for kind, amount in by_kind.items():
        members = tuple(f"line/{one.id}" for one in lines if one.line.kind == kind)
        _note_sum(reasons, kind, worded("All {kind}", kind=fixed(kind)), amount, members)
    firm = _sum(lines, currency, lambda one: one.line.certainty == FIRM)
    provisional = _sum(lines, currency, lambda one: one.line.certainty == PROVISIONAL)
    for certainty, amount in ((FIRM, firm), (PROVISIONAL, provisional)):
        members = tuple(f"line/{one.id}" for one in lines if one.line.certainty == certainty)
        _note_sum(
            reasons,
            f"{certainty}_lines",
            worded("All {certainty} lines", certainty=fixed(certainty)),
            amount,
            members,
        )
    discount = discount_on(job, lines, currency, unit, reasons)
    freight = freight_for(job, cat, lines, reasons)
    levies = tuple(levies_on(job, cat, lines, by_kind[LABOUR], reasons))
    levy_sum = money_sum((levy.amount for levy in levies), currency)
    _note_sum(
        reasons, "levies", worded("Levies"), levy_sum, tuple(f"levy/{one.id}" for one in levies)
    )
    base = firm + provisional - discount + freight + levy_sum
    reasons.note(
        Figure(
            name="base",
            title=worded("Base: firm and provisional work"),
            value=base,
            formula=worded("firm lines + provisional lines - discount + freight + levies"),
            inputs=("firm_lines", "provisional_lines", "discount", "freight", "levies"),
        )
    )
    return WorkSums(groups, by_kind, firm, provisional, discount, freight, levies, base)


def total_up(
    job: Job,
    cat: ClassCatalogue,
    lines: tuple[PricedLine, ...],
    contingency: Money,
    contingency_by_group: dict[str, Money],
    reasons: Reasons,
    work: WorkSums | None = None,
) -> Price:
    """The price of a set of lines with its contingency; `work` are their sums where they are
    known already."""
    work = work or sum_work(job, cat, lines, reasons)
    groups = tuple(
        replace(one, contingency=contingency_by_group.get(one.group, one.contingency))
        for one in work.groups
    )
    for group in groups:
        _note_group(group, lines, reasons)
    levy_sum = money_sum((levy.amount for levy in work.levies), job.terms.currency)
    totals = _taxed_totals(job, cat, lines, work.discount, work.freight, levy_sum, contingency)
    _note_totals(job, cat, totals, reasons)
    hours, by_trade = _hours(lines)
    return Price(
        groups,
        work.by_kind,
        work.firm_lines,
        work.provisional_lines,
        work.discount,
        work.freight,
        work.levies,
        work.base,
        contingency,
        totals,
        hours,
        by_trade,
        {
            kind: sum((one.cost for one in lines if one.line.kind == kind), Decimal(0))
            for kind in KINDS
        },
    )


def _sum(lines: Iterable[PricedLine], currency: str, wanted: Callable[[PricedLine], bool]) -> Money:
    return money_sum((one.amount for one in lines if wanted(one)), currency)


def _note_sum(
    reasons: Reasons, name: str, title: str, amount: Money, inputs: tuple[str, ...]
) -> None:
    reasons.note(Figure(name=name, title=title, value=amount, formula=worded("sum"), inputs=inputs))


def _group_sum(
    group: str, cat: ClassCatalogue, own: list[PricedLine], currency: str, reasons: Reasons
) -> GroupSum:
    title = cat.groups[group].name
    by_kind = {}
    for kind in KINDS:
        members = [one for one in own if one.line.kind == kind]
        by_kind[kind] = money_sum((one.amount for one in members), currency)
        for certainty in (FIRM, PROVISIONAL):
            these = [one for one in members if one.line.certainty == certainty]
            if these:
                amount = money_sum((one.amount for one in these), currency)
                _note_sum(
                    reasons,
                    f"group/{group}/{kind}/{certainty}",
                    worded(
                        "{group}: {kind}, {certainty}",
                        group=title,
                        kind=fixed(kind),
                        certainty=fixed(certainty),
                    ),
                    amount,
                    tuple(f"line/{one.id}" for one in these),
                )
    firm = _sum(own, currency, lambda one: one.line.certainty == FIRM)
    provisional = _sum(own, currency, lambda one: one.line.certainty == PROVISIONAL)
    hours = sum((one.line.quantity for one in own if one.line.kind == LABOUR), Decimal(0))
    return GroupSum(group, title, hours, by_kind, firm, provisional, Money(0, currency))


def _note_group(group: GroupSum, lines: tuple[PricedLine, ...], reasons: Reasons) -> None:
    inputs = tuple(f"line/{one.id}" for one in lines if one.line.group == group.group)
    if group.contingency:
        inputs = (*inputs, f"group/{group.group}/contingency")
    whole = group.lines + group.contingency
    _note_sum(reasons, f"group/{group.group}", group.name, whole, inputs)


def _taxed_totals(
    job: Job,
    cat: ClassCatalogue,
    lines: tuple[PricedLine, ...],
    discount: Money,
    freight: Money,
    levies: Money,
    contingency: Money,
) -> Totals:
    """EN 16931 totals: lines and contingency are lines, the discount a document allowance,
    freight and levies document charges."""
    tax = cat.tax[job.terms.tax_category]

    def taxed(amount: Money) -> Taxed:
        return Taxed(amount, tax.code, tax.rate_percent)

    return document_totals(
        [*(taxed(one.amount) for one in lines), taxed(contingency)],
        [taxed(discount)],
        [taxed(freight), taxed(levies)],
        job.terms.currency,
    )


def _note_totals(job: Job, cat: ClassCatalogue, totals: Totals, reasons: Reasons) -> None:
    tax = cat.tax[job.terms.tax_category]
    reasons.note(
        Figure(
            "net",
            worded("Price before tax"),
            totals.net,
            formula=worded("base + contingency"),
            inputs=("base", "contingency"),
        )
    )
    reasons.note(
        Figure(
            name="tax",
            title=worded("{name} {rate:f} %", name=tax.name, rate=tax.rate_percent.normalize()),
            value=totals.tax,
            formula=worded("rate x net in this category, half-up to the minor unit"),
            inputs=("net",),
            numbers=(
                (worded("rate"), worded("{value} %", value=tax.rate_percent)),
                (worded("category"), worded("{code} of EN 16931", code=tax.code)),
            ),
            source=source_of(tax.place, tax.source),
            origin=fixed(tax.origin),
        )
    )
    reasons.note(
        Figure(
            "gross",
            worded("Price with tax"),
            totals.gross,
            formula=worded("net + tax"),
            inputs=("net", "tax"),
        )
    )


def _hours(lines: tuple[PricedLine, ...]) -> tuple[Decimal, dict[str, Decimal]]:
    by_trade: dict[str, Decimal] = {}
    for one in lines:
        if isinstance(one.line.row, Operation):
            trade = one.line.row.trade
            by_trade[trade] = by_trade.get(trade, Decimal(0)) + one.line.quantity
    return sum(by_trade.values(), Decimal(0)), by_trade
