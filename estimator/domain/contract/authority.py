"""Whether somebody may agree to a variation, and who else is to be asked.

Nobody approves their own above their limit; above a limit the next is asked; the workshop's side
draws on the contingency only, never on the contract sum. No answer is never approval.

A limit for one variation is easily passed under in two halves ("jobs may not be split to pass",
TB 43-0002-81). Two true findings on one component are common too, and the limit was given for one
variation: so what somebody agreed to before on the same component refuses nothing, but it is told
beforehand, asks why these are separate findings, and stays with the decision (`Together`).
"""

from __future__ import annotations

from dataclasses import dataclass

from estimator.domain.contract.acceptance import CUSTOMER, WORKSHOP, Authority
from estimator.domain.contract.contract import Case, Contract
from estimator.domain.contract.variation import CONTINGENCY, CONTRACT_SUM, REMEASURED
from estimator.domain.money import Money, money_sum
from estimator.domain.wording import worded


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
        ground = Ground(
            False, "no-authority", worded("{name} was given no authority on this job", name=name)
        )
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


def drawing_right(contract: Contract, case: Case) -> Authority | None:
    """Whoever of the workshop may approve a variation without asking, before it is issued: within a
    right that the customer gave beforehand. The least of those who may; None where nobody may."""
    if not case.variation.is_priced or case.variation.end != CONTINGENCY:
        return None
    able = [
        one
        for name, one in contract.authorities.items()
        if one.side == WORKSHOP and one.blanket and may_agree(contract, case, name).may
    ]
    return min(able, key=_reach, default=None)


@dataclass(frozen=True, slots=True)
class Together:
    """What one person agreed to on one component, each within their limit for one, together
    above it."""

    amount: Money
    limit: Money
    numbers: tuple[str, ...]  # agreed to before

    @property
    def words(self) -> str:
        """The same in words."""
        names = ", ".join(self.numbers)
        return worded(
            "with {names} on the same component {amount}, above {limit} for one",
            names=names,
            amount=self.amount,
            limit=self.limit,
        )


def together(
    contract: Contract, case: Case, name: str, amount: Money | None = None
) -> Together | None:
    """What `name` would have agreed to on the component of a variation, where that is above their
    limit for one although this alone is within it; None where it is not. A variation that names no
    component stands by itself."""
    authority, component = contract.authorities.get(name), case.variation.component
    if authority is None or authority.limit_each is None or not component:
        return None
    sum_ = _asked_for(contract, case) if amount is None else amount
    before = {
        number: one.funding.from_contingency + one.funding.on_contract_sum
        for number, one in contract.cases.items()
        if number != case.variation.number and one.funding is not None
        and one.agreed_by == name and one.variation.component == component
    }  # fmt: skip
    whole = money_sum([sum_, *before.values()], contract.currency)
    if not before or sum_ > authority.limit_each or whole <= authority.limit_each:
        return None
    return Together(whole, authority.limit_each, tuple(before))


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
        sums = {"amount": amount, "limit": authority.limit_each}
        said = worded("{amount} is above {limit} for one", **sums)
        if within:
            said = worded("{amount} is within {limit} for one", **sums)
        grounds.append(Ground(within, "limit-each", said))
    if authority.limit_total is not None:
        total = contract.agreed_so_far(authority.name) + amount
        within = total <= authority.limit_total
        sums = {"amount": total, "limit": authority.limit_total}
        said = worded("{amount} is above {limit} in all", **sums)
        if within:
            said = worded("{amount} is within {limit} in all", **sums)
        grounds.append(Ground(within, "limit-total", said))
    order = contract.order_limit
    if order is not None and authority.side == CUSTOMER:
        funding = _split(contract, case, amount)
        after = contract.current_sum + funding
        within = after <= order
        said = worded("{amount} is above the order's {limit}", amount=after, limit=order)
        if within:
            said = worded("{amount} is within the order's {limit}", amount=after, limit=order)
        grounds.append(Ground(within, "order", said))
    return tuple(grounds)


def _split(contract: Contract, case: Case, amount: Money) -> Money:
    """How much of an amount would come on the contract sum."""
    if case.variation.end == CONTINGENCY:
        return contract.rule.fund(amount, contract.totals).on_contract_sum
    return amount if case.variation.end in (CONTRACT_SUM, REMEASURED) else contract.nothing


def _funds(contract: Contract, case: Case, authority: Authority, amount: Money) -> Ground:
    end = case.variation.end
    if authority.side != WORKSHOP or end == REMEASURED:
        words = worded("measured, not asked")
        if authority.side == CUSTOMER:
            words = worded("the customer may fund it")
        return Ground(authority.side == CUSTOMER or end != REMEASURED, "side", words)
    if end != CONTINGENCY:
        return Ground(False, "side", worded("only the customer may agree to the contract sum"))
    inside = amount <= contract.left or contract.rule.overrun == WORKSHOP
    said = worded(
        "{amount} is more than the {left} left of the contingency",
        amount=amount,
        left=contract.left,
    )
    if inside:
        said = worded(
            "{amount} is inside the {left} left of the contingency",
            amount=amount,
            left=contract.left,
        )
    return Ground(inside, "left", said)


def _own(case: Case, authority: Authority, amount: Money) -> Ground:
    own = authority.name in (case.variation.priced_by, case.variation.finder)
    above = authority.limit_each is not None and amount > authority.limit_each
    words = (
        worded("their own, above their limit")
        if own and above
        else worded("not their own above their limit")
    )
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
