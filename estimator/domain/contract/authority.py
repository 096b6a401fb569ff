"""Whether somebody may agree to a variation, and who else is to be asked.

Nobody approves their own above their limit; above a limit the next is asked; the workshop's side
draws on the contingency only, never on the contract sum. No answer is never approval.
"""

from __future__ import annotations

from dataclasses import dataclass

from estimator.domain.contract.acceptance import CUSTOMER, WORKSHOP, Authority
from estimator.domain.contract.contract import Case, Contract
from estimator.domain.contract.variation import CONTINGENCY, CONTRACT_SUM, REMEASURED
from estimator.domain.money import Money


@dataclass(frozen=True, slots=True)
class Ground:
    """One ground for or against: it holds or it does not, in words."""

    holds: bool
    code: str
    words: str


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether a person may agree, ground by ground; `ask` names who may where they may not."""

    grounds: tuple[Ground, ...]
    ask: str = ""

    @property
    def may(self) -> bool:
        """Whether every ground holds."""
        return all(ground.holds for ground in self.grounds)

    @property
    def against(self) -> tuple[str, ...]:
        """Grounds that do not hold, in words."""
        return tuple(ground.words for ground in self.grounds if not ground.holds)


def may_agree(contract: Contract, case: Case, name: str, amount: Money | None = None) -> Verdict:
    """Whether `name` may agree to a variation (or to `amount` of it), with every ground."""
    authority = contract.authorities.get(name)
    if authority is None:
        ground = Ground(False, "no-authority", f"{name} was given no authority on this job")
        return Verdict((ground,), _who_may(contract, case, amount, name))
    sum_ = _asked_for(contract, case) if amount is None else amount
    grounds = (
        *_limits(contract, authority, sum_, case),
        _funds(contract, case, authority, sum_),
        _own(case, authority, sum_),
    )
    verdict = Verdict(grounds)
    if verdict.may:
        return verdict
    return Verdict(grounds, _who_may(contract, case, amount, name))


def _asked_for(contract: Contract, case: Case) -> Money:
    """The sum that limits are held against; of lines measured again, what they add by now."""
    if case.variation.end != REMEASURED:
        return case.variation.amount(contract.currency)
    change = contract.would_change(case.variation)
    moves = contract.rule.moves_with_measure and change.minor > 0
    return change if moves else contract.nothing


def _limits(
    contract: Contract, authority: Authority, amount: Money, case: Case
) -> tuple[Ground, ...]:
    grounds = []
    if authority.limit_each is not None:
        within = amount <= authority.limit_each
        said = "within" if within else "above"
        grounds.append(
            Ground(within, "limit-each", f"{amount} is {said} {authority.limit_each} for one")
        )
    if authority.limit_total is not None:
        total = contract.agreed_so_far(authority.name) + amount
        within = total <= authority.limit_total
        said = "within" if within else "above"
        grounds.append(
            Ground(within, "limit-total", f"{total} is {said} {authority.limit_total} in all")
        )
    order = contract.acceptance.order_limit
    if order is not None and authority.side == CUSTOMER:
        funding = _split(contract, case, amount)
        after = contract.current_sum + funding
        within = after <= order
        said = "within" if within else "above"
        grounds.append(Ground(within, "order", f"{after} is {said} the order's {order}"))
    return tuple(grounds)


def _split(contract: Contract, case: Case, amount: Money) -> Money:
    """How much of an amount would come on the contract sum."""
    if case.variation.end == CONTINGENCY:
        return contract.rule.fund(amount, contract.totals).on_contract_sum
    return amount if case.variation.end in (CONTRACT_SUM, REMEASURED) else contract.nothing


def _funds(contract: Contract, case: Case, authority: Authority, amount: Money) -> Ground:
    end = case.variation.end
    if authority.side != WORKSHOP or end == REMEASURED:
        words = "the customer may fund it" if authority.side == CUSTOMER else "measured, not asked"
        return Ground(authority.side == CUSTOMER or end != REMEASURED, "side", words)
    if end != CONTINGENCY:
        return Ground(False, "side", "only the customer may agree to the contract sum")
    inside = amount <= contract.left or contract.rule.overrun == WORKSHOP
    said = "is inside" if inside else "is more than"
    return Ground(inside, "left", f"{amount} {said} the {contract.left} left of the contingency")


def _own(case: Case, authority: Authority, amount: Money) -> Ground:
    own = authority.name in (case.variation.priced_by, case.variation.finder)
    above = authority.limit_each is not None and amount > authority.limit_each
    words = "their own, above their limit" if own and above else "not their own above their limit"
    return Ground(not (own and above), "own", words)


def _who_may(contract: Contract, case: Case, amount: Money | None, besides: str) -> str:
    """The least of those who may: the workshop's drawing right first, then by limit."""
    able = []
    for name, authority in contract.authorities.items():
        if name == besides or name in case.passed:
            continue
        sum_ = _asked_for(contract, case) if amount is None else amount
        grounds = (
            *_limits(contract, authority, sum_, case),
            _funds(contract, case, authority, sum_),
            _own(case, authority, sum_),
        )
        if all(ground.holds for ground in grounds):
            able.append(authority)
    able.sort(key=_reach)
    return f"{able[0].name}, {able[0].capacity}" if able else ""


def _reach(authority: Authority) -> tuple[bool, bool, int]:
    limit = authority.limit_each
    return authority.side == CUSTOMER, limit is None, 0 if limit is None else limit.minor
