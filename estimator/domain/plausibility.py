"""What each machine class comes to at each rebuild level and at different hours, before anyone has
looked: the table by which somebody from the trade tells whether a catalogue can be believed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from estimator.domain.catalogue.catalogue import Catalogue, ClassCatalogue, for_class
from estimator.domain.catalogue.rows import DRIVELINE, FULL, REPAIR
from estimator.domain.enquiry import enquiry_range
from estimator.domain.job import Job, Party
from estimator.domain.money import Money, money_sum, round_half_up
from estimator.domain.new_job import JobDefaults, new_job, new_machine
from estimator.domain.priced_job import Progress, reckon
from estimator.domain.priced_work import unheard
from estimator.domain.pricing import exchange_rate
from estimator.domain.repair import with_components
from estimator.domain.scope_line import LABOUR, OUTWORK, PARTS

MACHINE_HOURS = (5_000, 10_000, 15_000)
TYPICAL_REPAIR = ("C08A", "C08B")  # hydraulic pumps, and valves where a class has a bank of them
TOP_LINES = 10
SMALL_KG = 30_000  # below this an honest rebuild may pass the usual share of new
_THOUSANDTH, _TENTH = Decimal("0.001"), Decimal("0.1")
_DAYS_OF_A_WEEK = 7


@dataclass(frozen=True, slots=True)
class ClassPrice:
    """One class at one level and hours. Sums in the catalogue's currency, before tax.

    `net` is what would be quoted unseen at the usual confidence. `likely` is where it may settle:
    the middle of what may be found, and half of what only a look can call in; `share` is that as
    a share of a new machine. `weeks` are calendar weeks, as likely as not enough.
    """

    class_id: str
    level: str
    machine_hours: int
    hours: Decimal
    labour: Money
    parts: Money
    outwork: Money
    contingency: Money
    net: Money
    likely: Money
    share: Decimal
    band: tuple[Decimal, Decimal]
    weeks: Decimal
    top: tuple[tuple[str, str, Money], ...]  # (code, name, amount), the dearest lines first

    @property
    def outside(self) -> str:
        """ "above", "below" or "" of the usual share of new."""
        low, high = self.band
        return "above" if self.share > high else "below" if self.share < low else ""


def unseen_job(
    cat: ClassCatalogue, level: str, hours: int, defaults: JobDefaults, today: date
) -> Job:
    """A job on a machine of the class of which nothing is known but its hours; a repair is of its
    pumps and valves."""
    machine = new_machine(cat.machine_class.id, "unseen", Decimal(hours), defaults)
    job = new_job(
        "unseen", machine, Party("anybody"), "the catalogue", today, defaults, level=level
    )
    job = replace(job, learnt_until=None)
    if level == REPAIR:
        job = with_components(job, TYPICAL_REPAIR, "typical repair", "the catalogue")
    return job


def class_price(
    cat: ClassCatalogue, level: str, hours: int, defaults: JobDefaults, today: date
) -> ClassPrice:
    """What a machine of the class comes to. Raises as `reckon`."""
    job = unseen_job(cat, level, hours, defaults, today)
    priced, settled = reckon(job, cat, shares=False), enquiry_range(job, cat)
    currency = job.terms.currency
    row = cat.machine_class
    new = row.new_price_likely * exchange_rate(job, row.currency)
    days = (priced.finish.days[0.5] - job.start).days

    def of(kind: str) -> Money:
        return money_sum((one.amount for one in priced.lines if one.line.kind == kind), currency)

    dearest = sorted(priced.lines, key=lambda one: (-one.amount.minor, one.id))[:TOP_LINES]
    return ClassPrice(
        class_id=row.id,
        level=level,
        machine_hours=hours,
        hours=priced.price.hours,
        labour=of(LABOUR),
        parts=of(PARTS),
        outwork=of(OUTWORK),
        contingency=priced.contingency.amount,
        net=priced.price.net,
        likely=settled.likely,
        share=round_half_up(settled.likely.amount / new, _THOUSANDTH),
        band=row.usual_band(level),
        weeks=round_half_up(Decimal(days) / _DAYS_OF_A_WEEK, _TENTH),
        top=tuple((one.id, one.line.row.name, one.amount) for one in dearest),
    )


def class_prices(
    catalogue: Catalogue,
    defaults: JobDefaults,
    today: date,
    classes: Iterable[str] = (),
    levels: Iterable[str] = (FULL, DRIVELINE, REPAIR),
    machine_hours: Iterable[int] = MACHINE_HOURS,
    progress: Progress = unheard,
) -> Iterator[ClassPrice]:
    """Every class (or those named) at every level and hours, in the order of the catalogue.

    Raises UnknownClass, and what `reckon` raises.
    """
    levels, machine_hours = tuple(levels), tuple(machine_hours)
    for code in classes or catalogue.classes:
        cat = for_class(catalogue, code)
        for level in levels:
            for hours in machine_hours:
                progress(f"{code} {level} {hours}")
                yield class_price(cat, level, hours, defaults, today)
