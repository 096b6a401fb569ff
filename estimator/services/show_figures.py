"""Figures of a job as a screen leads with them, from whichever stage of the reckoning is newest."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.exposure.contingency import Contingency
from estimator.domain.job import Job
from estimator.domain.money import Money, money_half_up
from estimator.domain.priced_job import PricedJob
from estimator.domain.priced_work import PricedWork
from estimator.domain.wording import worded


@dataclass(frozen=True, slots=True)
class HeadFigures:
    """Price, contingency and finish, and the parts of the price in their order.

    `fresh` is false while firm and provisional are newer than contingency and dates. Sums are in
    the quote's currency; `likely_end` and `shown_end` are minor units from the bar's start.
    """

    firm: Money
    provisional: Money
    contingency: Money
    net: Money
    mean: Money | None
    confidence: Decimal
    start: datetime.date
    finish_half: datetime.date | None
    finish_covered: datetime.date | None
    fresh: bool
    held: bool = True  # whether the contingency is of the same work

    @property
    def shown_end(self) -> int:
        """Where the bar ends."""
        return self.firm.minor + self.provisional.minor + self.contingency.minor

    @property
    def likely_end(self) -> int | None:
        """Where the mean lies; None while it is not known."""
        if self.mean is None:
            return None
        return self.firm.minor + self.provisional.minor + self.mean.minor


def head_figures(
    work: PricedWork | None, priced: PricedJob | None, held: Contingency | None = None
) -> HeadFigures:
    """The figures of the newest stage: `work` where it is newer than `priced`, else `priced`.
    `held` is the contingency of `work` where it is known already, else that of `priced` stands.

    Raises ValueError where there is neither.
    """
    if work is None and priced is None:
        raise ValueError(worded("nothing is worked out yet"))
    if work is None:
        assert priced is not None
        return _whole(priced)
    job = work.job
    nothing = Money(0, job.terms.currency)
    known = priced if priced is not None and priced.job.number == job.number else None
    newest = held or (known.contingency if known is not None else None)
    contingency = newest.amount if newest is not None else nothing
    return HeadFigures(
        firm=work.firm,
        provisional=work.provisional,
        contingency=contingency,
        net=work.firm + work.provisional + contingency,
        mean=_mean(newest, job) if newest is not None else None,
        confidence=job.terms.confidence,
        start=job.start,
        finish_half=known.finish.days[0.5] if known is not None else None,
        finish_covered=_covered(known) if known is not None else None,
        fresh=False,
        held=held is not None,
    )


def _whole(priced: PricedJob) -> HeadFigures:
    price = priced.price
    return HeadFigures(
        firm=price.firm,
        provisional=price.provisional,
        contingency=price.contingency,
        net=price.net,
        mean=_mean(priced.contingency, priced.job),
        confidence=priced.job.terms.confidence,
        start=priced.job.start,
        finish_half=priced.finish.days[0.5],
        finish_covered=_covered(priced),
        fresh=True,
    )


def _covered(priced: PricedJob) -> datetime.date:
    return priced.finish.days[float(priced.job.terms.confidence)]


def _mean(held: Contingency, job: Job) -> Money:
    terms = job.terms
    return money_half_up(Decimal(repr(held.mean)), terms.currency, terms.quoting_unit)
