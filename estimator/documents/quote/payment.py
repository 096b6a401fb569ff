"""Stage payments of a quote: shares of its price, the balance in the last, adding up exactly."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.job import Job
from estimator.domain.money import Money, money_half_up, money_sum
from estimator.domain.tax import Totals


@dataclass(frozen=True, slots=True)
class StagePayment:
    """One payment: its share of the price, net, tax, and both together. `when` is "" for the
    balance before release."""

    when: str
    share: Decimal
    net: Money
    tax: Money

    @property
    def gross(self) -> Money:
        """What is to be paid."""
        return self.net + self.tax


def stage_payments(job: Job, totals: Totals) -> list[StagePayment]:
    """Every stage half-up to the minor unit; the last is what is left, so that net and tax add
    up to the totals. Where the stages name the whole price the last of them is the balance."""
    currency = totals.net.currency
    stages = [(stage.when, stage.share) for stage in job.terms.stages]
    left = 1 - sum((share for _, share in stages), Decimal(0))
    if left > 0 or not stages:
        stages.append(("", left))
    payments = [
        StagePayment(when, share, money_half_up(totals.net.amount * share, currency),
                     money_half_up(totals.tax.amount * share, currency))
        for when, share in stages[:-1]
    ]  # fmt: skip
    when, share = stages[-1]
    net = totals.net - money_sum((one.net for one in payments), currency)
    tax = totals.tax - money_sum((one.tax for one in payments), currency)
    return [*payments, StagePayment(when, share, net, tax)]
