"""The contingency ledger: what is held, drawn, given back, left and still exposed, event by event.

    current sum = contract sum + remeasured + authorised - contingency returned + exchange units
                  + what a stop after teardown changes
    left        = held - drawn - given back
    forecast    = what is known or priced by now + what the rest comes to

*Covered* stands only where every finding has a price and what is left is not less than what is
still exposed together with what waits for an answer.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from estimator.domain.contract.contract import Case, Contract
from estimator.domain.contract.events import Accepted, Event
from estimator.domain.contract.following import follow
from estimator.domain.contract.remaining import Remaining
from estimator.domain.contract.states import AUTHORISED
from estimator.domain.contract.variation import CONTINGENCY, REMEASURED
from estimator.domain.money import Money, money_sum

COVERED, SHORT, NO_MARK, CLOSED = "covered", "short", "no mark", "closed"


@dataclass(frozen=True, slots=True)
class LedgerRow:
    """The ledger after one event. All sums before tax, in the contract's currency."""

    at: datetime
    event: Event
    contract_sum: Money
    remeasured: Money
    authorised: Money
    exchange: Money
    returned: Money
    stopped: Money  # what a stop after teardown changes of the sum
    current_sum: Money
    pending_contract_sum: Money  # priced, not answered, on the contract sum
    pending_contingency: Money
    unpriced: int
    held: Money
    drawn: Money
    left: Money
    exposed: Money
    mean: Money
    closed_parts: int
    unmeasured_lines: int
    mark: str
    short_by: Money  # nothing unless the mark is short
    forecast_low: Money
    forecast_likely: Money
    forecast_high: Money
    workshop_cost: Money


def ledger_row(contract: Contract, rest: Remaining) -> LedgerRow:
    """The ledger as it stands now."""
    totals, nothing = contract.totals, contract.nothing
    pending = contract.pending()
    from_contingency = _pending(pending, contract, CONTINGENCY)
    on_contract = _pending(pending, contract, "") - from_contingency
    left, returned = contract.left, contract.rule.returned(totals, contract.acceptance.unspent)
    short = rest.exposed + from_contingency - left
    known = _known_sums(contract) + from_contingency + on_contract
    return LedgerRow(
        at=contract.events[-1].at,
        event=contract.events[-1],
        contract_sum=totals.contract_sum,
        remeasured=totals.remeasured,
        authorised=totals.authorised,
        exchange=totals.exchange,
        returned=returned,
        stopped=totals.stopped,
        current_sum=contract.current_sum,
        pending_contract_sum=on_contract,
        pending_contingency=from_contingency,
        unpriced=len(rest.unpriced),
        held=totals.held,
        drawn=totals.drawn,
        left=left,
        exposed=rest.exposed,
        mean=rest.mean,
        closed_parts=len(rest.closed),
        unmeasured_lines=len(rest.unmeasured),
        mark=_mark(contract, rest, short),
        short_by=short if short.minor > 0 and not rest.unpriced else nothing,
        forecast_low=known + rest.low,
        forecast_likely=known + rest.likely,
        forecast_high=known + rest.high,
        workshop_cost=contract.workshop_cost,
    )


def _known_sums(contract: Contract) -> Money:
    """What the job comes to by now for the customer, with nothing of what is still open."""
    totals, rule = contract.totals, contract.rule
    if contract.handed_over or contract.stopped is not None:
        return contract.current_sum
    if not rule.moves_with_measure and not rule.measure_draws:
        return contract.current_sum  # a fixed price: what is found moves nothing
    used = totals.base + totals.remeasured + totals.drawn
    if rule.measure_draws and used.minor > totals.contract_sum.minor:
        used = totals.contract_sum
    return used + totals.authorised + totals.exchange


def _pending(cases: tuple[Case, ...], contract: Contract, end: str) -> Money:
    """Priced and not answered: of one end, or of all ("")."""
    currency = contract.currency
    sums = []
    for case in cases:
        variation = case.variation
        if end in ("", variation.end):
            sums.append(variation.amount(currency))
            if variation.end == REMEASURED:
                sums.append(contract.would_change(variation))
    return money_sum(sums, currency)


def _mark(contract: Contract, rest: Remaining, short: Money) -> str:
    if contract.handed_over or contract.closed or contract.stopped is not None:
        return CLOSED
    if rest.unpriced:
        return NO_MARK
    return SHORT if short.minor > 0 else COVERED


Reckon = Callable[[Contract], Remaining]


def ledger(events: tuple[Event, ...], reckon: Reckon) -> tuple[LedgerRow, ...]:
    """One row an event, from the acceptance on; `reckon` answers what is still open then."""
    rows, contract = [], None
    for event in events:
        contract = follow(contract, event)
        rows.append(ledger_row(contract, reckon(contract)))
    return tuple(rows)


@dataclass(frozen=True, slots=True)
class GroupRow:
    """One component group of the contingency: its share when accepted, what it drew since, and
    what is still expected of it."""

    group: str
    held: Money
    drawn: Money
    pending: Money
    expected: Money  # mean of what is still closed
    causes: tuple[str, ...]  # variations that drew on it


def group_rows(
    contract: Contract,
    held_by_group: dict[str, Money],
    group_of: Callable[[str], str],
    expected: dict[str, Money],
) -> tuple[GroupRow, ...]:
    """The ledger by component group. `group_of` answers a component's group."""
    drawn: dict[str, list[Money]] = {}
    waiting: dict[str, list[Money]] = {}
    causes: dict[str, list[str]] = {}
    for case in contract.cases.values():
        variation = case.variation
        if variation.end != CONTINGENCY:
            continue
        group = group_of(variation.component)
        if case.state in AUTHORISED and case.funding is not None:
            drawn.setdefault(group, []).append(case.funding.from_contingency)
            causes.setdefault(group, []).append(variation.name)
        elif case.is_open and variation.is_priced:
            waiting.setdefault(group, []).append(variation.amount(contract.currency))
            causes.setdefault(group, []).append(variation.name)
    currency = contract.currency
    groups = dict.fromkeys([*held_by_group, *drawn, *waiting])
    return tuple(
        GroupRow(
            group,
            held_by_group.get(group, contract.nothing),
            money_sum(drawn.get(group, ()), currency),
            money_sum(waiting.get(group, ()), currency),
            expected.get(group, contract.nothing),
            tuple(causes.get(group, ())),
        )
        for group in groups
    )


__all__ = [
    "CLOSED", "COVERED", "NO_MARK", "SHORT", "Accepted", "GroupRow", "LedgerRow", "group_rows",
    "ledger", "ledger_row",
]  # fmt: skip
