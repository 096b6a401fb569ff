"""The ledger as the Variations page shows it: one row for everything that moved the contingency or
the sum, with both balances after it; and what it comes to. Frozen rows.

Rows stand in the order in which things came up, so that a variation keeps its place while it is
answered. The balances of what is settled add up, from the acceptance on, to what is agreed by
now; those of what waits begin there and run on, *if agreed*.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal

from estimator.domain.contract import events as happened
from estimator.domain.contract.contract import Case, Contract
from estimator.domain.contract.following import follow
from estimator.domain.contract.forms import Funding, Totals
from estimator.domain.contract.states import NOT_DONE, WITHDRAWN
from estimator.domain.contract.variation import (
    CHARGED_TO_NOBODY,
    CONTINGENCY,
    REMEASURED,
    Variation,
)
from estimator.domain.money import Money, money_sum
from estimator.services.show_drawn_down import DrawnDown, GroupTable, drawn_down, group_table
from estimator.services.work_out_contract import ContractNow
from estimator.services.write_contract import awaited

ACCEPTANCE, CASE, MEASURED_AGAIN = "acceptance", "variation", "measured again"
STRIP = "teardown alone"  # accepted before anything else
RETURNED, EXCHANGE, HAND_OVER, OTHER = "returned", "exchange", "hand-over", "other"
SETTLED, WAITS, NO_PRICE, NOT_CHARGED, NOT_TO_DO = (
    "settled", "waits", "no price", "not charged", "not done",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class LedgerLine:
    """One row of the ledger.

    `amount` is below nought where it draws on the contingency or takes from the sum. Of what waits
    (`standing`), `left` and `current_sum` are those after it *if agreed*, each after the one
    before; None where they cannot be said. `uncharged` is what nobody is charged for. `low` and
    `high` stand where there is no price yet.
    """

    id: str
    kind: str
    standing: str
    number: str  # V04; "" where it is no variation
    revision: int
    title: str
    place: str  # component, in the catalogue's words
    at: datetime
    finder: str
    cause: str
    end: str
    funding: Funding | None
    amount: Money | None
    low: Money | None
    high: Money | None
    uncharged: Money | None
    left: Money | None
    current_sum: Money | None
    days: Decimal | None
    state: str
    waits_on: str
    ask: str
    since: datetime
    safety: bool
    made_safe: bool


@dataclass(frozen=True, slots=True)
class VariationsView:
    """Everything the page shows of a contract but one opened case."""

    lines: tuple[LedgerLine, ...]
    left: Money  # agreed to date
    current_sum: Money
    uncharged: Money
    drawn: DrawnDown
    groups: GroupTable


def show_variations(now: ContractNow) -> VariationsView:
    """The page's ledger, drawn-down block and component groups of a contract as worked out."""
    contract, lines = now.here.contract, ledger_lines(now)
    uncharged = [one.uncharged for one in lines if one.uncharged]
    return VariationsView(
        lines, contract.left, contract.current_sum, money_sum(uncharged, contract.currency),
        drawn_down(now), group_table(now),
    )  # fmt: skip


def ledger_lines(now: ContractNow) -> tuple[LedgerLine, ...]:
    """The rows of the ledger, the acceptance first."""
    here, contract = now.here, now.here.contract
    steps = _steps(contract.events)
    after_each = _running(steps)
    waiting = _if_agreed(contract)
    lines = []
    for (name, (event, change)), totals in zip(steps.items(), after_each, strict=True):
        case = contract.cases.get(name)
        balances = _left(contract, totals), _current_sum(contract, totals)
        code = _component(event, case)
        component = here.work.cat.components.get(code)
        place = component.name if component is not None else code
        if case is None:
            if name == ACCEPTANCE or _moves(change):
                lines.append(_other_line(name, event, change, balances, place))
        else:
            lines.append(_case_line(contract, case, balances, waiting.get(name), place))
    return tuple(lines)


_Steps = dict[str, tuple[happened.Event, Totals]]


def _steps(events: Iterable[happened.Event]) -> _Steps:
    """What each thing changed of the totals, in the order in which things came up."""
    contract: Contract | None = None
    found: _Steps = {}
    for place, event in enumerate(events):
        before = None if contract is None else contract.totals
        contract = follow(contract, event)
        if before is None:
            found[ACCEPTANCE] = (event, contract.totals)
            continue
        change = _between(before, contract.totals)
        variation = getattr(event, "variation", None)
        number = variation.number if variation is not None else getattr(event, "number", "")
        name = number or f"event/{place}"
        first, known = found.get(name, (event, None))
        found[name] = (first, change if known is None else _plus(known, change))
    return found


def _between(before: Totals, after: Totals) -> Totals:
    return Totals(
        after.contract_sum - before.contract_sum, after.held - before.held,
        after.remeasured - before.remeasured, after.authorised - before.authorised,
        after.drawn - before.drawn, after.released - before.released,
        after.exchange - before.exchange, after.stopped - before.stopped,
        after.handed_over and not before.handed_over,
    )  # fmt: skip


def _plus(one: Totals, two: Totals) -> Totals:
    return Totals(
        one.contract_sum + two.contract_sum, one.held + two.held, one.remeasured + two.remeasured,
        one.authorised + two.authorised, one.drawn + two.drawn, one.released + two.released,
        one.exchange + two.exchange, one.stopped + two.stopped,
        one.handed_over or two.handed_over,
    )  # fmt: skip


def _moves(change: Totals) -> bool:
    sums = (change.contract_sum, change.remeasured, change.authorised, change.drawn,
            change.released, change.exchange)  # fmt: skip
    return change.handed_over or any(sums)


def _running(steps: _Steps) -> list[Totals]:
    """The totals after each thing and all before it."""
    running: list[Totals] = []
    for _event, change in steps.values():
        running.append(change if not running else _plus(running[-1], change))
    return running


def _left(contract: Contract, totals: Totals) -> Money:
    over = totals.handed_over or totals.stopped
    return contract.nothing if over else contract.rule.left(totals)


def _current_sum(contract: Contract, totals: Totals) -> Money:
    return contract.rule.current_sum(totals, contract.acceptance.unspent)


def _if_agreed(contract: Contract) -> dict[str, tuple[Money | None, Money]]:
    """(left, current sum) after each thing that waits, if it and those before it are agreed."""
    totals, found = contract.totals, dict[str, tuple[Money | None, Money]]()
    for number, case in contract.cases.items():
        if not case.is_open:
            continue
        if case.variation.is_priced:
            totals = agreed_to(contract, totals, case.variation)
            found[number] = _left(contract, totals), _current_sum(contract, totals)
        else:
            found[number] = None, _current_sum(contract, totals)
    return found


def agreed_to(contract: Contract, totals: Totals, variation: Variation) -> Totals:
    """The totals if a priced variation is agreed to on top of them."""
    if variation.end in CHARGED_TO_NOBODY:
        return totals
    if variation.end == REMEASURED:
        change = variation.remeasured_by(contract.currency)
        return replace(totals, remeasured=totals.remeasured + change)
    amount = variation.amount(contract.currency)
    if variation.end != CONTINGENCY:
        return replace(totals, authorised=totals.authorised + amount)
    funding = contract.rule.fund(amount, totals)
    return replace(
        totals, drawn=totals.drawn + funding.from_contingency,
        authorised=totals.authorised + funding.on_contract_sum,
    )  # fmt: skip


def _component(event: happened.Event, case: Case | None) -> str:
    if case is not None:
        return case.variation.component
    return event.component if isinstance(event, happened.Opened) else ""


def standing_of(case: Case) -> str:
    """How a case counts in the ledger."""
    if case.state in NOT_DONE or case.state == WITHDRAWN:
        return NOT_TO_DO
    if not case.variation.is_priced:
        return NO_PRICE if case.is_open else NOT_TO_DO
    if case.variation.end in CHARGED_TO_NOBODY:
        return NOT_CHARGED
    return WAITS if case.is_open else SETTLED


def signed_amount(contract: Contract, case: Case) -> Money | None:
    """What a case draws (below nought) or changes of the sum; None while it has no price."""
    variation, currency = case.variation, contract.currency
    if not variation.is_priced or variation.end in CHARGED_TO_NOBODY:
        return None
    if variation.end == REMEASURED:
        return variation.remeasured_by(currency)
    amount = variation.amount(currency)
    if case.funding is not None:  # in part, perhaps
        amount = case.funding.from_contingency + case.funding.on_contract_sum
    return -amount if variation.end == CONTINGENCY else amount


def _case_line(
    contract: Contract,
    case: Case,
    balances: tuple[Money, Money],
    if_agreed: tuple[Money | None, Money] | None,
    place: str,
) -> LedgerLine:
    variation = case.variation
    waits_on, ask = awaited(contract, case)
    left, current_sum = balances if if_agreed is None else if_agreed
    range_ = None if variation.is_priced else variation.range
    free = variation.end in CHARGED_TO_NOBODY
    return LedgerLine(
        id=variation.number, kind=CASE, standing=standing_of(case), number=variation.number,
        revision=variation.revision, title=variation.title, place=place or variation.location,
        at=variation.found_at, finder=variation.finder, cause=variation.cause, end=variation.end,
        funding=case.funding, amount=signed_amount(contract, case),
        low=range_.low if range_ else None, high=range_.high if range_ else None,
        uncharged=(variation.workshop_cost or contract.nothing) if free else None,
        left=left, current_sum=current_sum, days=variation.days or None, state=case.state,
        waits_on=waits_on, ask=ask, since=case.since, safety=variation.safety,
        made_safe=case.made_safe,
    )  # fmt: skip


def _other_line(
    name: str, event: happened.Event, change: Totals, balances: tuple[Money, Money], place: str
) -> LedgerLine:  # fmt: skip
    kinds: dict[type[happened.Event], tuple[str, Money | None]] = {
        happened.Accepted: (ACCEPTANCE, None if name == ACCEPTANCE else change.contract_sum),
        happened.Opened: (MEASURED_AGAIN, change.remeasured),
        happened.ContingencyReturned: (RETURNED, -change.released),
        happened.ExchangeSettled: (EXCHANGE, change.exchange),
        happened.HandedOver: (HAND_OVER, None),
    }
    kind, amount = kinds.get(type(event), (OTHER, None))
    accepted = ""
    if isinstance(event, happened.Accepted):
        accepted = event.acceptance.revision
        kind = STRIP if event.acceptance.teardown_only else ACCEPTANCE
    return LedgerLine(
        id=name, kind=kind, standing=SETTLED, number="", revision=0, title=accepted, place=place,
        at=event.at, finder=event.who, cause="", end="", funding=None, amount=amount, low=None,
        high=None, uncharged=None, left=balances[0], current_sum=balances[1], days=None, state="",
        waits_on="", ask="", since=event.at, safety=False, made_safe=False,
    )  # fmt: skip
