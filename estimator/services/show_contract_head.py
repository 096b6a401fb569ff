"""What leads a job under contract: current sum, what is left of the contingency, the finish, and
how certain the sum is: firm, provisional, exposed, not spoken for."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.contract.acceptance import TEARDOWN_ONLY
from estimator.domain.contract.contract import Case
from estimator.domain.contract.variation import Range
from estimator.domain.money import Money, money_sum
from estimator.services.show_drawn_down import exposed_without_ranges
from estimator.services.work_out_contract import ContractNow


@dataclass(frozen=True, slots=True)
class ContractHead:
    """Figures of a contract as a screen leads with them; all before tax.

    `current_sum` = `firm` + `provisional` + what is left of the contingency besides `found`.
    `provisional` holds the lines still to be measured and `found`: priced findings that wait for an
    answer and draw on the contingency. `exposed` is what the contingency rule asks for what is
    still open, beside findings that have no price: their `range` is drawn into the rest. `spare` is
    what is left beyond `found` and `exposed`, `short` what is missing; one of them is nothing.
    `left_if_agreed` is None where nothing waits for an answer.
    """

    current_sum: Money
    contract_sum: Money
    changes: Money
    held: Money
    left: Money
    left_if_agreed: Money | None
    firm: Money
    provisional: Money
    found: Money
    exposed: Money
    spare: Money
    short: Money
    unpriced: tuple[str, ...]  # findings that forbid any mark of "enough"
    range: Range | None  # of all of them together
    confidence: Decimal
    finish_half: datetime.date
    finish_covered: datetime.date

    @property
    def exposed_end(self) -> int:
        """Where the exposed part of the bar ends, in minor units from its start."""
        return self.firm.minor + self.provisional.minor + self.exposed.minor

    @property
    def shown_end(self) -> int:
        """Where the bar ends."""
        return self.exposed_end + self.spare.minor


def contract_head(now: ContractNow) -> ContractHead:
    """The figures of a contract whose forecast is known; some tens of ms where a finding has no
    price."""
    contract, rest, row = now.here.contract, now.rest, now.row
    nothing = contract.nothing
    known, found, exposed, left = _parts(now)
    over = left - found - exposed
    pending = row.pending_contingency + row.pending_contract_sum
    return ContractHead(
        current_sum=row.current_sum,
        contract_sum=row.contract_sum,
        changes=row.current_sum - row.contract_sum,
        held=row.held,
        left=row.left,
        left_if_agreed=row.left - row.pending_contingency if pending.minor else None,
        firm=row.current_sum - left - known,
        provisional=known + found,
        found=found,
        exposed=exposed,
        spare=over if over.minor > 0 else nothing,
        short=nothing - over if over.minor < 0 else nothing,
        unpriced=tuple(case.variation.name for case in rest.unpriced),
        range=_range(rest.unpriced, contract.currency),
        confidence=now.here.job.terms.confidence,
        finish_half=now.finish_half,
        finish_covered=now.finish_covered,
    )


def _parts(now: ContractNow) -> tuple[Money, Money, Money, Money]:
    """(lines to be measured, priced findings, exposed, left): of a teardown alone all are nothing,
    since its price holds nothing of the rebuild."""
    contract, nothing = now.here.contract, now.here.contract.nothing
    if contract.acceptance.extent == TEARDOWN_ONLY:
        return nothing, nothing, nothing, nothing
    lines = money_sum((line.amount for line in now.rest.unmeasured), contract.currency)
    return lines, now.row.pending_contingency, exposed_without_ranges(now), contract.left


def _range(cases: Iterable[Case], currency: str) -> Range | None:
    ranges = [case.variation.range for case in cases if case.variation.range is not None]
    if not ranges:
        return None
    return Range(
        money_sum((one.low for one in ranges), currency),
        money_sum((one.likely for one in ranges), currency),
        money_sum((one.high for one in ranges), currency),
    )
