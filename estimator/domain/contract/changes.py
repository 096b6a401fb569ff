"""What one event changed on a contract, from what to what, in words."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from typing import Any

from estimator.domain.contract.acceptance import Authority
from estimator.domain.contract.contract import Case, Contract
from estimator.domain.contract.events import Event
from estimator.domain.contract.variation import Range, Variation
from estimator.domain.money import Money
from estimator.domain.record import ACCEPTED, CLOSED, HANDED_OVER, ISSUED, STOPPED

NOT_TOLD = ("number", "revision", "found_at", "finder", "lines", "remeasured", "ways", "range")


@dataclass(frozen=True, slots=True)
class Changed:
    """One thing that changed; "" stands for nothing."""

    what: str
    before: str
    after: str


def variation_of(event: Event) -> str:
    """Number of the variation an event concerns; "" where it concerns none."""
    variation = getattr(event, "variation", None)
    number = variation.number if variation is not None else getattr(event, "number", "")
    return str(number)


def state_of(contract: Contract | None) -> str:
    """The state of a job by its contract, as lists show it."""
    if contract is None:
        return ISSUED
    if contract.closed:
        return CLOSED
    if contract.handed_over:
        return HANDED_OVER
    return STOPPED if contract.stopped is not None else ACCEPTED


def changes_between(before: Contract | None, after: Contract) -> tuple[Changed, ...]:
    """Everything that differs, the state of the job and of variations first, then sums."""
    found = [Changed("state", state_of(before), state_of(after))]
    for number, case in after.cases.items():
        old = None if before is None else before.cases.get(number)
        if old is not case:
            found += _case_changes(number, old, case, after.currency)
    found += _map_changes("part", before.resolved if before else {}, after.resolved)
    old_lines = before.measured if before else {}
    for row, one in after.measured.items():
        was = old_lines[row].after if row in old_lines else one.before
        found.append(Changed(f"line {row}", str(was), str(one.after)))
    people = before.authorities if before else {}
    for name, given in after.authorities.items():
        found.append(Changed(f"authority of {name}", _limits(people.get(name)), _limits(given)))
    before_order = _order(before)
    if (now_order := _order(after)) != before_order:
        found.append(Changed("purchase order", before_order[0], now_order[0]))
        found.append(Changed("limit of the order", before_order[1], now_order[1]))
    found += _map_changes("days waited on", before.waits if before else {}, after.waits)
    found.append(Changed("current sum", _sum(before, "current_sum"), str(after.current_sum)))
    for what, name in (("deposit", "deposit"), ("workshop cost", "workshop_cost")):
        found.append(Changed(what, _some(before, name), _some(after, name)))
    found.append(Changed("contingency left", _sum(before, "left"), str(after.left)))
    return tuple(one for one in found if one.before != one.after)


def _case_changes(number: str, old: Case | None, new: Case, currency: str) -> Iterator[Changed]:
    yield Changed(f"{number} state", old.state if old else "", new.state)
    was, variation = (old.variation if old else None), new.variation
    yield Changed(f"{number} revision", str(was.revision) if was else "", str(variation.revision))
    yield Changed(f"{number} sum", _price(was, currency), _price(variation, currency))
    yield Changed(f"{number} made safe", _told(old and old.made_safe), _told(new.made_safe))
    yield Changed(f"{number} making safe cost", _told(old and old.made_safe_cost),
                  _told(new.made_safe_cost))  # fmt: skip
    yield Changed(f"{number} together on its component", _together(old), _together(new))
    yield Changed(f"{number} agreed by", old.agreed_by if old else "", new.agreed_by)
    for name in (one.name for one in fields(Variation)):
        if name not in NOT_TOLD:
            before = _told(getattr(was, name)) if was else ""
            after = _told(getattr(variation, name))
            yield Changed(f"{number} {name.replace('_', ' ')}", before, after)


def _together(case: Case | None) -> str:
    """What one person agreed to on a component, where that is above their limit for one."""
    if case is None or case.together is None:
        return ""
    return f"{case.together} with {', '.join(case.together_with)}"


def _order(contract: Contract | None) -> tuple[str, str]:
    """(purchase order, its limit); blank where there is none."""
    if contract is None:
        return "", ""
    limit = contract.order_limit
    return contract.purchase_order, "" if limit is None else str(limit)


def _some(contract: Contract | None, name: str) -> str:
    """A sum; "" for none."""
    sum_ = None if contract is None else getattr(contract, name)
    return str(sum_) if sum_ else ""


def _price(variation: Variation | None, currency: str) -> str:
    if variation is None:
        return ""
    if variation.is_priced:
        return str(variation.amount(currency) + variation.remeasured_by(currency))
    return _range(variation.range)


def _range(one: Range | None) -> str:
    return "" if one is None else f"{one.low} to {one.high}, no price yet"


def _limits(authority: Authority | None) -> str:
    if authority is None:
        return ""
    each = _limit(authority.limit_each)
    return f"{each} for one, {_limit(authority.limit_total)} in all"


def _limit(limit: Money | None) -> str:
    return "no limit" if limit is None else str(limit)


def _map_changes(
    what: str, before: Mapping[str, Any], after: Mapping[str, Any]
) -> Iterator[Changed]:
    for name in dict.fromkeys([*before, *after]):
        yield Changed(f"{what} {name}", _told(before.get(name)), _told(after.get(name)))


def _sum(contract: Contract | None, name: str) -> str:
    return "" if contract is None else str(getattr(contract, name))


def _told(value: object) -> str:
    if value is None or value is False or value == 0:
        return ""
    if value is True:
        return "yes"
    if isinstance(value, tuple):
        return ", ".join(str(one) for one in value)
    if isinstance(value, datetime.datetime):
        return f"{value:%Y-%m-%d %H:%M}"
    return str(value)
