"""What agreeing to a variation does: to the contract sum and to the contingency."""

from __future__ import annotations

from dataclasses import dataclass, replace

from estimator.domain.contract import events as happened
from estimator.domain.contract.contract import Case, Contract
from estimator.domain.contract.following import contract_of
from estimator.domain.contract.forms import Funding
from estimator.domain.contract.states import APPROVED, DECLINED
from estimator.domain.contract.variation import CHARGED_TO_NOBODY, CONTINGENCY, REMEASURED
from estimator.domain.money import Money


@dataclass(frozen=True, slots=True)
class Effect:
    """Sums before tax, before and after a variation is agreed to.

    contract sum + agreed before + this one = revised sum; left before - drawn = left after.
    """

    contract_sum: Money
    agreed_before: Money
    this_one: Money
    revised: Money
    left_before: Money
    drawn: Money
    left_after: Money
    on_workshop: Money  # borne by the workshop under the commercial form


def effect_of(contract: Contract, number: str) -> Effect:
    """What agreeing to a variation, open in this contract, does. Nothing moves while it has no
    price."""
    after = agreed_to(contract, number)
    funding = after.cases[number].funding
    before, sum_ = contract.current_sum, contract.acceptance.contract_sum
    return Effect(
        contract_sum=sum_,
        agreed_before=before - sum_,
        this_one=after.current_sum - before,
        revised=after.current_sum,
        left_before=contract.left,
        drawn=contract.left - after.left,
        left_after=after.left,
        on_workshop=funding.on_workshop if funding else contract.nothing,
    )


def agreed_to(contract: Contract, number: str) -> Contract:
    """The contract as it would be if a variation were agreed to as it is written."""
    case = contract.case(number)
    variation = case.variation
    measured = dict(contract.measured)
    funding = None
    if variation.end == REMEASURED:
        measured |= {one.row_id: one for one in variation.remeasured}
    elif variation.is_priced and variation.end not in CHARGED_TO_NOBODY:
        amount = variation.amount(contract.currency)
        funding = Funding(contract.nothing, amount, contract.nothing)
        if variation.end == CONTINGENCY:
            funding = contract.rule.fund(amount, contract.totals)
    return _with(replace(contract, measured=measured), replace(case, state=APPROVED,
                                                               funding=funding))  # fmt: skip


def turned_down(contract: Contract, number: str) -> Contract:
    """The contract as it would be if a variation were left undone."""
    return _with(contract, replace(contract.case(number), state=DECLINED, funding=None))


def before_answer(contract: Contract, number: str) -> Contract:
    """The contract as it stood before the newest revision of a variation was agreed to or turned
    down; as it stands where nobody has answered that one."""
    revision = contract.case(number).variation.revision
    for place, event in enumerate(contract.events):
        if (
            isinstance(event, happened.Decided)
            and event.number == number
            and event.revision == revision
        ):
            return contract_of(contract.events[:place])
    return contract


def _with(contract: Contract, case: Case) -> Contract:
    return replace(contract, cases={**contract.cases, case.variation.number: case})
