"""What must be held for what is still closed, by component group: the parts add up to the whole."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from estimator.domain.contract.contract import Case
from estimator.domain.contract.remaining import Remaining
from estimator.domain.exposure.contingency import PERCENTILE
from estimator.domain.exposure.shares import conditional_means, expected_sums
from estimator.domain.money import Money, money_sum, shares_by_largest_remainder
from estimator.domain.priced_work import PricedWork

RANGE = "range/"  # of a finding without a price, by its number


def held_for_closed(
    rest: Remaining,
    work: PricedWork,
    group_of: Callable[[str], str],
    cases: Mapping[str, Case],
) -> dict[str, Money]:
    """The sum that the contingency rule asks for what is still open, split over the groups as the
    contingency of a quote is. `group_of` answers a component's group. Findings without a price
    stand at their range with the group of their component."""
    held, distribution = rest.held, rest.held.distribution
    if distribution is None or not held.amount:
        return {}
    parts = expected_sums(distribution)
    if held.bound == PERCENTILE:
        parts = conditional_means(distribution, held.at_confidence)
    groups = {part.part: part.group for part in work.exposed}
    groups |= {line.id: line.line.group for line in work.lines}
    groups |= {one.key: one.group for one in work.found}
    groups |= {f"{RANGE}{number}": group_of(case.variation.component)
               for number, case in cases.items()}  # fmt: skip
    unit = work.job.terms.quoting_unit
    amounts = shares_by_largest_remainder(held.amount, list(parts.values()), unit)
    found: dict[str, list[Money]] = {}
    for name, amount in zip(parts, amounts, strict=True):
        found.setdefault(groups.get(name, ""), []).append(amount)
    return {group: money_sum(sums, held.amount.currency) for group, sums in found.items()}
