"""What is charged or taken off beside the lines: discount, carriage in, levies."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.rows import Levy
from estimator.domain.catalogue.work_rows import Outwork, PartsGroup
from estimator.domain.fixed_words import fixed
from estimator.domain.job import Job
from estimator.domain.money import Money, money_half_up, money_sum
from estimator.domain.pricing import PricedLine, exchange_rate
from estimator.domain.reasons import Figure, Reasons, measured
from estimator.domain.scope import FIRM, PARTS
from estimator.domain.wording import worded


@dataclass(frozen=True, slots=True)
class LevySum:
    """One levy as charged."""

    id: str
    name: str
    amount: Money
    capped: bool


def discount_on(
    job: Job, lines: tuple[PricedLine, ...], currency: str, unit: Decimal, reasons: Reasons
) -> Money:
    """Discount on firm parts lines, rounded half-up to the quoting unit."""
    taken_on = [one for one in lines if one.line.kind == PARTS and one.line.certainty == FIRM]
    whole = money_sum((one.amount for one in taken_on), currency)
    amount = money_half_up(whole.amount * job.terms.discount_share, currency, unit)
    reasons.note(
        Figure(
            name="discount",
            title=worded("Discount"),
            value=amount,
            formula=worded("share x firm parts lines, half-up to the quoting unit"),
            inputs=tuple(f"line/{one.id}" for one in taken_on),
            numbers=(
                (worded("share"), worded("{value:%}", value=job.terms.discount_share)),
                (worded("firm parts"), worded("{sum}", sum=whole)),
            ),
            rule=worded("on firm parts lines only"),
            source=worded("terms of the job"),
        )
    )
    return amount


def freight_for(
    job: Job, cat: ClassCatalogue, lines: tuple[PricedLine, ...], reasons: Reasons
) -> Money:
    """Carriage in: once for each parts supplier used, and once for all outwork. Parts of the
    estimator's own name no supplier: what they cost is typed carriage paid."""
    used: list[str] = []
    for one in lines:
        row = one.line.row
        if isinstance(row, PartsGroup) and row.supplier and row.supplier not in used:
            used.append(row.supplier)
    if any(isinstance(one.line.row, Outwork) for one in lines):
        used += [row.id for row in cat.suppliers.values() if row.kind == "carriage"]
    exact = sum(
        (
            cat.suppliers[one].freight * exchange_rate(job, cat.suppliers[one].currency)
            for one in used
        ),
        Decimal(0),
    )
    amount = money_half_up(exact, job.terms.currency, job.terms.quoting_unit)
    reasons.note(
        Figure(
            name="freight",
            title=worded("Carriage in, all suppliers and outwork"),
            value=amount,
            formula=worded("sum over the suppliers used, half-up to the quoting unit"),
            numbers=tuple(
                (
                    f"{one} {cat.suppliers[one].supplies}",
                    measured(cat.suppliers[one].freight, cat.suppliers[one].currency),
                )
                for one in sorted(used)
            ),
            source="suppliers.csv",
        )
    )
    return amount


def levies_on(
    job: Job, cat: ClassCatalogue, lines: tuple[PricedLine, ...], labour: Money, reasons: Reasons
) -> Iterator[LevySum]:
    """Each levy that has a basis in this job, rounded half-up to the quoting unit."""
    quantities = {one.id: one.line.quantity for one in lines}
    for levy in cat.levies.values():
        quantity = _levy_basis(levy, labour, quantities)
        if quantity == 0:
            continue
        rate = exchange_rate(job, levy.currency)
        exact = quantity * levy.rate * (Decimal(1) if levy.basis == "labour" else rate)
        cap = None if levy.cap is None else levy.cap * rate
        capped = cap is not None and exact > cap
        amount = money_half_up(
            cap if cap is not None and capped else exact, job.terms.currency, job.terms.quoting_unit
        )
        reasons.note(
            Figure(
                name=f"levy/{levy.id}",
                title=levy.name,
                value=amount,
                formula=worded("rate x basis, not above the cap, half-up to the quoting unit"),
                inputs=("labour",) if levy.basis == "labour" else (),
                numbers=(
                    (
                        worded("rate"),
                        worded("{rate:%} of labour", rate=levy.rate)
                        if levy.basis == "labour"
                        else measured(levy.rate, levy.currency),
                    ),
                    (worded("basis"), worded("{value:f}", value=quantity.normalize())),
                    *(
                        ((worded("cap"), measured(levy.cap, levy.currency)),)
                        if levy.cap is not None
                        else ()
                    ),
                ),
                rule=worded("the cap binds") if capped else "",
                source=levy.place.said,
                origin=fixed(levy.origin),
            )
        )
        yield LevySum(levy.id, levy.name, amount, capped)


def _levy_basis(levy: Levy, labour: Money, quantities: dict[str, Decimal]) -> Decimal:
    if levy.basis == "labour":
        return labour.amount
    if levy.basis == "part quantity":
        return quantities.get(levy.part, Decimal(0))
    if levy.basis == "job":
        return Decimal(1)
    raise ValueError(f"levy {levy.id} has the unknown basis {levy.basis!r}")
