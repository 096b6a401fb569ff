"""Options side by side: other rebuild levels, and other ways of putting one part right."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from estimator.domain.catalogue.rows import REBUILD_LEVELS, REPAIR
from estimator.domain.catalogue.work_rows import Remedy
from estimator.domain.exposure.contingency import contingency_amount
from estimator.domain.exposure.cost_when_worn import chosen_remedy, exposed_parts
from estimator.domain.findings import Finding
from estimator.domain.job import Job
from estimator.domain.money import Money, money_half_up
from estimator.domain.priced_job import PricedJob, Progress, reckon
from estimator.domain.priced_work import unheard
from estimator.domain.pricing import exchange_rate
from estimator.domain.scope import PROVISIONAL, Called


@dataclass(frozen=True, slots=True)
class LevelOption:
    """One rebuild level, priced like the job itself."""

    level: str
    hours: Decimal
    firm: Money
    provisional: Money
    contingency: Money
    net: Money
    gross: Money
    share_of_new: Decimal
    usual_low: Decimal
    usual_high: Decimal
    ready_likely: date
    ready_covered: date
    leaves_out: tuple[str, ...]  # groups of the machine that this level does not touch


@dataclass(frozen=True, slots=True)
class WayOption:
    """One way of putting a part right: its cost, and the job's price if it is chosen.

    `share` is its chance if the part is found worn, None where the catalogue states none. While
    the chances count, no way is chosen.
    """

    part: str
    way: str
    chosen: bool
    low: Money
    likely: Money
    high: Money
    added_days: Decimal
    contingency: Money
    net: Money
    share: Decimal | None = None


class NoOptions(ValueError):
    """A part that the catalogue offers no way for, or that this job does not hold open."""


def level_options(priced: PricedJob, progress: Progress = unheard) -> tuple[LevelOption, ...]:
    """Every rebuild level, each reckoned with the same findings and terms; what `progress`
    raises passes through."""
    return tuple(level_option(one) for one in priced_levels(priced, progress))


def priced_levels(priced: PricedJob, progress: Progress = unheard) -> tuple[PricedJob, ...]:
    """The job reckoned at every rebuild level, without shares; its own is taken as it is. A repair
    stands first, beside them; nothing else can be a repair, since no components are chosen."""
    job, cat, known = priced.job, priced.cat, priced.contingency.distribution
    return tuple(
        priced
        if level == job.level
        else reckon(replace(job, level=level), cat, progress, shares=False, before=known)
        for level in ((REPAIR,) if job.level == REPAIR else ()) + REBUILD_LEVELS
    )


def level_option(priced: PricedJob) -> LevelOption:
    """A priced job as one column of the comparison."""
    row, price = priced.cat.machine_class, priced.price
    low, high = row.usual_band(priced.job.level)
    touched = {one.line.group for one in priced.lines}
    return LevelOption(
        priced.job.level,
        price.hours,
        price.firm,
        price.provisional_lines,
        price.contingency,
        price.net,
        price.totals.gross,
        priced.share_of_new,
        low,
        high,
        priced.finish.days[0.5],
        priced.finish.days[float(priced.job.terms.confidence)],
        tuple(group.name for code, group in priced.cat.groups.items() if code not in touched),
    )


def way_options(
    priced: PricedJob, part: str, progress: Progress = unheard
) -> tuple[WayOption, ...]:
    """Every way the catalogue offers for an open or firm part. Raises NoOptions.

    For an open part the contingency is reckoned again with each way; for one already in the scope
    the whole price is. What `progress` raises passes through.
    """
    cat = priced.cat
    offered = cat.remedies.get(part, ())
    if not offered:
        raise NoOptions(f"the catalogue offers no way of putting {part} right")
    if part in {one.part for one in priced.exposed}:
        return tuple(_open_way(priced, part, remedy, progress) for remedy in offered)
    called = priced.scope.parts.get(part)
    if called is None or not called.put_right:
        raise NoOptions(f"{part} is neither open nor in the scope of this job")
    return tuple(_firm_way(priced, part, remedy, called, progress) for remedy in offered)


def _open_way(priced: PricedJob, part: str, remedy: Remedy, progress: Progress) -> WayOption:
    progress("options")
    job = priced.job
    usual = chosen_remedy(part, priced.cat, job.ways or {})
    by_chance = remedy.share is not None and part not in (job.ways or {})
    chosen = usual is remedy and not by_chance
    ways = {**(job.ways or {}), part: remedy.way}
    open_parts = exposed_parts(
        replace(job, ways=ways), priced.cat, priced.known, priced.scope, priced.firm_by_chance
    )
    provisional = tuple(one for one in priced.lines if one.line.certainty == PROVISIONAL)
    held = contingency_amount(
        priced.known,
        open_parts,
        provisional,
        job.terms.confidence,
        job.terms.currency,
        job.terms.quoting_unit,
        priced.found,
        priced.contingency.distribution,
    )
    return _way(job, part, remedy, chosen, held, priced.price.base + held)


def _firm_way(
    priced: PricedJob, part: str, remedy: Remedy, called: Called, progress: Progress
) -> WayOption:
    """The whole job priced with another way for one part of the scope."""
    job = replace(priced.job, ways={**(priced.job.ways or {}), part: remedy.way})
    if part not in priced.firm_by_chance:
        job = replace(job, findings=_with_way(job.findings, part, remedy.way, called))
    again = reckon(job, priced.cat, progress)
    chosen = remedy.way == called.disposition
    return _way(job, part, remedy, chosen, again.price.contingency, again.price.net)


def _with_way(
    findings: tuple[Finding, ...], part: str, way: str, called: Called
) -> tuple[Finding, ...]:
    """Findings in which the one that called the part in gives it `way`, and only it: other parts
    of the same finding keep theirs."""
    assert called.by is not None  # in the scope, and not by its chance
    changed: list[Finding] = []
    for finding in findings:
        if finding.id != called.by.finding.id:
            changed.append(finding)
            continue
        others = tuple(one for one in called.by.parts if one != part)
        if others:
            changed.append(replace(finding, part=others))
        changed.append(
            replace(
                finding,
                id=f"{finding.id}-way" if others else finding.id,
                part=(part,),
                override=way,
                override_reason="option priced side by side",
            )
        )
    return tuple(changed)


def _way(job: Job, part: str, remedy: Remedy, chosen: bool, held: Money, net: Money) -> WayOption:
    rate, currency = exchange_rate(job, remedy.currency), job.terms.currency
    low, likely, high = (
        money_half_up(one * rate, currency, job.terms.quoting_unit)
        for one in (remedy.low, remedy.likely, remedy.high)
    )
    return WayOption(
        part, remedy.way, chosen, low, likely, high, remedy.added_days, held, net, remedy.share
    )
