"""What the customer's order allows from now on, and what is said to be done at hand-over."""

from __future__ import annotations

from dataclasses import replace

from estimator.domain.contract import events as happened
from estimator.domain.contract.contract import CannotFollow, Contract, Step, settled
from estimator.domain.contract.states import CONFIRM, moved
from estimator.domain.wording import worded


def order_changed(contract: Contract, event: happened.OrderChanged) -> Contract:
    """The customer gave another order, or another limit of it. Raises CannotFollow."""
    if not event.purchase_order.strip():
        raise CannotFollow(
            worded("an order has a number"), worded("Give the one the customer wrote.")
        )
    if contract.handed_over:
        raise CannotFollow(
            worded("the machine is handed over"), worded("Nothing is agreed to any more.")
        )
    limit = event.limit
    if limit is None:
        return contract
    if limit.currency != contract.currency:
        raise CannotFollow(
            worded(
                "the order is in {currency}, the contract in {own}",
                currency=limit.currency,
                own=contract.currency,
            ),
            worded("Give the limit in the contract's currency."),
        )
    if limit < contract.current_sum:
        raise CannotFollow(
            worded(
                "the order would end at {limit}, below the {agreed} agreed to by now",
                limit=limit,
                agreed=contract.current_sum,
            ),
            worded("What was agreed to stays owed: give a limit that holds it."),
        )
    return contract


def said_done(contract: Contract, event: happened.HandedOver) -> Contract:
    """Work that is said to be done as the machine is handed over is done. Raises CannotFollow."""
    if not event.done:
        return contract
    if not event.said_done_by.strip():
        raise CannotFollow(worded("nobody says that the work is done"), worded("Name who says so."))
    open_ = {case.variation.number for case in contract.not_recorded_as_done()}
    if others := [number for number in event.done if number not in open_]:
        raise CannotFollow(
            worded("{others} waits for no work to be done", others=", ".join(others)),
            worded("Leave it out of what is done."),
        )
    reason = f"said to be done at hand-over by {event.said_done_by}"
    cases = dict(contract.cases)
    for number in dict.fromkeys(event.done):
        case = cases[number]
        state = moved(case.state, CONFIRM)
        step = Step(state, event.at, event.said_done_by, "", "", "", reason)
        cases[number] = settled(case, state, step)
    return replace(contract, cases=cases)
