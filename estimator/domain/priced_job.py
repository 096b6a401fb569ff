"""One job reckoned through: findings to scope to price to exposure to finish date, in one pass.

The one place where the steps are joined. Nothing is read or written here; the same job and the
same catalogue give the same figures to the minor unit.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.exposure.contingency import Contingency, with_shares
from estimator.domain.exposure.cost_when_worn import ExposedPart
from estimator.domain.exposure.distribution import Distribution
from estimator.domain.exposure.exposed_parts import Known
from estimator.domain.exposure.found_work import Found
from estimator.domain.figures import (
    note_contingency,
    note_exposed,
    note_finish,
    note_share_of_new,
)
from estimator.domain.job import Job
from estimator.domain.look_at import things_to_look_at
from estimator.domain.priced_work import PricedWork, Progress, held, priced_work, unheard
from estimator.domain.pricing import PricedLine
from estimator.domain.problem import Problem
from estimator.domain.programme.programme import Programme, build_programme
from estimator.domain.programme.scenarios import Finish, finish_dates
from estimator.domain.reasons import Reasons
from estimator.domain.scope import Scope
from estimator.domain.totals import Price, total_up

__all__ = [
    "PricedJob",
    "PricedWork",
    "Progress",
    "held",
    "priced_work",
    "reckon",
    "reckon_on",
    "unheard",
]


@dataclass(frozen=True, slots=True)
class PricedJob:
    """Everything a quote, a screen or a file may want to show of a job at one rebuild level."""

    job: Job
    cat: ClassCatalogue
    scope: Scope
    lines: tuple[PricedLine, ...]
    known: Known
    exposed: tuple[ExposedPart, ...]
    firm_by_chance: Mapping[str, tuple[str, str]]  # part -> (way, reason)
    contingency: Contingency
    price: Price
    programme: Programme
    finish: Finish
    share_of_new: Decimal
    reasons: Reasons
    warnings: tuple[Problem, ...]
    found: tuple[Found, ...] = ()  # work that may be found while working


def reckon(
    job: Job,
    cat: ClassCatalogue,
    progress: Progress = unheard,
    *,
    shares: bool = True,
    before: Distribution | None = None,
) -> PricedJob:
    """Price a checked job. Without `shares` it is not worked out what each part puts into the
    contingency, which takes most of the time and moves no other figure. `before` as in
    `priced_work`: it spares time and moves no figure.

    Raises NoRate, NetworkCycle, BeyondCalendar and ValueError where its inputs cannot be reckoned
    with (each says why).

    `progress` is told what is being done, the same step again and again while it lasts. It is also
    where the work can be cancelled: what it raises passes through, and nothing is kept.
    """
    work = priced_work(job, cat, progress, before)
    return reckon_on(work, progress=progress, shares=shares, before=before)


def reckon_on(
    work: PricedWork,
    held_before: Contingency | None = None,
    progress: Progress = unheard,
    *,
    shares: bool = True,
    before: Distribution | None = None,
) -> PricedJob:
    """The rest of a reckoning from its first stage, and from its second where it is known
    (`estimator.domain.priced_work.held`). `work` is left as it is. Raises as `reckon`."""
    job, cat = work.job, work.cat
    reasons = Reasons(work.reasons.figures)
    progress("contingency")
    kept = held_before or held(work, progress, before)
    if shares:
        kept = _with_shares(work, kept, progress)
        note_exposed(work.known, work.exposed, kept, cat, job, reasons, work.found)
    note_contingency(kept, cat, job.terms.currency, reasons)
    by_group = kept.group_amounts(job.terms.currency)
    price = total_up(job, cat, work.lines, kept.amount, by_group, reasons, work.sums)
    progress("programme")
    programme = build_programme(job, cat, work.scope)
    progress("programme")
    finish = finish_dates(
        programme, work.exposed, work.known, cat.settings, job.terms.confidence, work.found
    )
    note_finish(programme, finish, job, cat, reasons)
    share = note_share_of_new(price, job, cat, reasons)
    warnings = things_to_look_at(job, cat, work.scope, work.lines, work.exposed, share, programme)
    progress("done")
    return PricedJob(
        job=job,
        cat=cat,
        scope=work.scope,
        lines=work.lines,
        known=work.known,
        exposed=work.exposed,
        firm_by_chance=work.firm_by_chance,
        contingency=kept,
        price=price,
        programme=programme,
        finish=finish,
        share_of_new=share,
        reasons=reasons,
        warnings=tuple(warnings),
        found=work.found,
    )


def _with_shares(work: PricedWork, kept: Contingency, progress: Progress) -> Contingency:
    progress("contingency")
    return with_shares(
        kept,
        work.exposed,
        work.provisional_lines,
        work.job.terms.quoting_unit,
        lambda: progress("contingency"),
        work.found,
    )
