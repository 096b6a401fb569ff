"""What an answer to a variation would come to, worked out before anybody gives it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from estimator.domain.contract.contract import Case, Contract
from estimator.domain.contract.forms import Funding
from estimator.domain.contract.states import APPROVED, DECLINED
from estimator.domain.contract.variation import (
    CHARGED_TO_NOBODY,
    CONTINGENCY,
    REMEASURED,
    Variation,
    VariationLine,
)
from estimator.domain.money import Money
from estimator.services.show_case import LEAVE, WayRow, ways_of
from estimator.services.work_out_contract import ContractNow, work_out_contract


@dataclass(frozen=True, slots=True)
class WhatItDoes:
    """The contract before and after one way is agreed to (or nothing is done)."""

    key: str
    current_sum: tuple[Money, Money]
    left: tuple[Money, Money]
    exposed: tuple[Money, Money]
    finish: tuple[date, date]
    draws: Money  # of the contingency
    adds: Money  # to the sum
    workshop: Money  # borne by the workshop, where the form says so
    after: ContractNow


def what_it_does(now: ContractNow, number: str, key: str) -> WhatItDoes | None:
    """What agreeing to one way does, by its letter, worked out; None where it has no price, or is
    answered already. LEAVE is not doing it."""
    contract = now.here.contract
    case = contract.case(number)
    if not case.is_open:
        return None
    trial = _left_undone(contract, case) if key == LEAVE else _agreed(contract, case, key)
    if trial is None:
        return None
    after = work_out_contract(replace(now.here, contract=trial), now)
    before, changed = contract.totals, trial.totals
    funding = trial.cases[number].funding
    return WhatItDoes(
        key,
        (contract.current_sum, trial.current_sum),
        (contract.left, trial.left),
        (now.row.exposed, after.row.exposed),
        (now.finish_covered, after.finish_covered),
        changed.drawn - before.drawn,
        trial.current_sum - contract.current_sum,
        funding.on_workshop if funding is not None else contract.nothing,
        after,
    )


def _left_undone(contract: Contract, case: Case) -> Contract:
    return _with(contract, replace(case, state=DECLINED))


def _agreed(contract: Contract, case: Case, key: str) -> Contract | None:
    """The contract with a way agreed to, whoever may; None where the way has no price."""
    row = next((one for one in ways_of(case, contract) if one.key == key), None)
    if row is None or row.amount is None:
        return None
    variation = case.variation
    if not (row.chosen and variation.is_priced):
        variation = _priced_as(variation, row, row.amount)
    case = replace(case, variation=variation, state=APPROVED)
    if variation.end == REMEASURED:
        measured = {**contract.measured, **{one.row_id: one for one in variation.remeasured}}
        return _with(replace(contract, measured=measured), case)
    if variation.end in CHARGED_TO_NOBODY:
        return _with(contract, case)
    return _with(contract, replace(case, funding=_funding(contract, variation)))


def _priced_as(variation: Variation, row: WayRow, amount: Money) -> Variation:
    """The variation at another way's price and days."""
    line = VariationLine(
        "", "outwork", row.what, Decimal(1), "job", "", Decimal(0), amount.currency, "", amount
    )
    return replace(variation, lines=(line,), range=None, days=row.days, chosen=row.way)


def _funding(contract: Contract, variation: Variation) -> Funding:
    amount = variation.amount(contract.currency)
    if variation.end == CONTINGENCY:
        return contract.rule.fund(amount, contract.totals)
    return Funding(contract.nothing, amount, contract.nothing)


def _with(contract: Contract, case: Case) -> Contract:
    return replace(contract, cases={**contract.cases, case.variation.number: case})
