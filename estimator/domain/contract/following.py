"""How one event follows on a contract: what it changes, and why it may not."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from decimal import Decimal
from typing import Any

from estimator.domain.contract import answers, ending
from estimator.domain.contract import events as happened
from estimator.domain.contract.acceptance import CUSTOMER, Authority
from estimator.domain.contract.contract import CannotFollow, Case, Contract, Step, settled
from estimator.domain.contract.forms import RULES
from estimator.domain.contract.states import AUTHORISED, MOVES, STOP, moved
from estimator.domain.contract.variation import AS_PRICED
from estimator.domain.money import money_half_up
from estimator.domain.wording import worded


def contract_of(events: Iterable[happened.Event], known: Contract | None = None) -> Contract:
    """The contract that these events make, in their order; `known`, an earlier one, spares the
    beginning where it is the same. Raises CannotFollow."""
    whole, contract, done = tuple(events), None, 0
    if known is not None and whole[: len(known.events)] == known.events:
        contract, done = known, len(known.events)
    for event in whole[done:]:
        contract = follow(contract, event)
    if contract is None:
        raise CannotFollow(
            worded("nothing has been accepted yet"), worded("Record the acceptance first.")
        )
    return contract


def follow(contract: Contract | None, event: happened.Event) -> Contract:
    """The contract after one more event. Raises CannotFollow, and changes nothing then."""
    if contract is None:
        if not isinstance(event, happened.Accepted):
            raise CannotFollow(
                worded("nothing has been accepted yet"), worded("Record the acceptance first.")
            )
        return _accepted(event)
    if event.at < contract.events[-1].at:
        raise CannotFollow(
            worded(
                "{at:%Y-%m-%d %H:%M} lies before the last entry, {last:%Y-%m-%d %H:%M}",
                at=event.at,
                last=contract.events[-1].at,
            ),
            worded("Check this computer's clock."),
        )
    if contract.closed:
        raise CannotFollow(
            worded("the account is closed"), worded("Nothing is added to it any more.")
        )
    changed = _FOLLOWING[type(event)](contract, event)
    return replace(changed, events=(*contract.events, event))


def _accepted(event: happened.Accepted) -> Contract:
    accepted = event.acceptance
    if accepted.commercial_form not in RULES:
        known = ", ".join(RULES)
        raise CannotFollow(
            worded("no ledger rule for {form!r}", form=accepted.commercial_form),
            worded("Known: {known}.", known=known),
        )
    names = [one.name for one in accepted.authorities]
    if len(set(names)) != len(names):
        raise CannotFollow(
            worded("somebody is given authority twice"), worded("Name each person once.")
        )
    if not any(one.side == CUSTOMER for one in accepted.authorities):
        raise CannotFollow(
            worded("nobody of the customer may approve"), worded("Name who may, with a limit.")
        )
    if accepted.contract_sum < accepted.contingency:
        raise CannotFollow(
            worded("the contingency is more than the contract sum"), worded("Check both sums.")
        )
    return Contract(
        accepted, event.at, (event,), authorities={one.name: one for one in accepted.authorities}
    )


def _again(contract: Contract, event: happened.Accepted) -> Contract:
    """A whole revision is accepted after a strip: it takes the place of the strip's acceptance.

    Its sum holds the strip too, so what was invoiced of that stays as it was, in amounts. Parts
    that the strip found and the revision prices are no finding any more; what was agreed on top of
    the strip, and what is found of parts that the revision still leaves open, stays.
    """
    _goes_on(contract)
    if not contract.acceptance.teardown_only:
        raise CannotFollow(
            worded("it is accepted already"), worded("What changes now is a variation.")
        )
    if event.acceptance.teardown_only:
        raise CannotFollow(
            worded("its teardown is accepted already"), worded("Accept the whole revision.")
        )
    if event.acceptance.currency != contract.currency:
        raise CannotFollow(
            worded(
                "the strip is paid in {currency}, not {own}",
                currency=contract.currency,
                own=event.acceptance.currency,
            ),
            worded("Issue the revision in the strip's currency."),
        )
    whole, strip = _accepted(event), contract.acceptance.contract_sum
    invoiced = tuple(
        (name, money_half_up(strip.amount * share, strip.currency))
        for name, share in contract.stages
    )
    carried = set(event.carried)
    return replace(
        contract,
        acceptance=whole.acceptance,
        accepted_at=whole.accepted_at,
        authorities=whole.authorities,
        found_in_strip=contract.resolved,
        resolved={part: state for part, state in contract.resolved.items() if part not in carried},
        measured={one.row_id: one for one in event.measured},
        as_priced=frozenset(event.as_priced),
        waits={},  # the revision's own dates begin with what was known by then
        stages=(),
        strip_stages=invoiced,
    )


def _authority(contract: Contract, event: happened.AuthorityGiven) -> Contract:
    given = Authority(
        event.name, event.holder_side, event.holder_capacity, event.limit_each, event.limit_total,
        event.blanket,
    )  # fmt: skip
    return replace(contract, authorities={**contract.authorities, event.name: given})


def _received(contract: Contract, _event: happened.Received) -> Contract:
    if contract.received:
        raise CannotFollow(worded("the machine is here already"), worded("Add a note instead."))
    return replace(contract, received=True)


def _opened(contract: Contract, event: happened.Opened) -> Contract:
    if contract.handed_over:
        raise CannotFollow(worded("the machine is handed over"), worded("Open a new job for it."))
    _goes_on(contract)
    agreed = _agreed_lines(contract)
    if twice := sorted({one.row_id for one in event.measured} & set(agreed)):
        raise CannotFollow(
            worded(
                "{rows} was measured and agreed to as {agreed}",
                rows=", ".join(twice),
                agreed=agreed[twice[0]],
            ),
            worded("Raise another variation for it."),
        )
    resolved = dict(contract.resolved)
    for part, state in event.parts:
        if part in resolved and resolved[part] != state:
            raise CannotFollow(
                worded(
                    "{part} is resolved already as {resolved}", part=part, resolved=resolved[part]
                ),
                worded("Revise its variation instead."),
            )
        resolved[part] = state
    lines = {part for part, state in event.parts if state == AS_PRICED}
    measured = {**contract.measured, **{one.row_id: one for one in event.measured}}
    components = contract.components
    # Readings can be taken before it is opened: taken alone, they leave it closed.
    opened = bool(event.parts or event.measured) or not event.readings
    if opened and event.component and event.component not in components:
        components = (*components, event.component)
    return replace(
        contract,
        resolved={part: state for part, state in resolved.items() if state != AS_PRICED},
        as_priced=contract.as_priced | lines,
        measured=measured,
        components=components,
    )


def _goes_on(contract: Contract) -> None:
    if contract.stopped is not None:
        raise CannotFollow(
            worded("the job was stopped after teardown"), worded("Only what is done is settled.")
        )


def _agreed_lines(contract: Contract) -> dict[str, str]:
    """Lines measured again that the customer agreed to, with the variation that says so."""
    return {
        one.row_id: case.variation.name
        for case in contract.cases.values()
        if case.state in AUTHORISED
        for one in case.variation.remeasured
    }


def _waited(contract: Contract, event: happened.Waited) -> Contract:
    if event.days < 0:
        raise CannotFollow(
            worded("nothing waits for {days} days", days=event.days),
            worded("Give the days it stood still."),
        )
    waits = {**contract.waits, event.activity: contract.waits.get(event.activity, 0) + event.days}
    return replace(contract, waits=waits)


def _made_safe(contract: Contract, event: happened.MadeSafe) -> Contract:
    case = contract.case(event.number)
    if not case.variation.safety:
        raise CannotFollow(
            worded("{name} is not marked as a safety matter", name=case.variation.name),
            worded("It needs an answer first."),
        )
    cost = case.made_safe_cost
    if event.cost is not None:
        cost = (cost or contract.nothing) + event.cost
    case = replace(case, made_safe=True, made_safe_cost=cost)
    return replace(contract, cases={**contract.cases, event.number: case})


def _returned(contract: Contract, event: happened.ContingencyReturned) -> Contract:
    _goes_on(contract)
    if event.amount.minor <= 0 or contract.left < event.amount:
        raise CannotFollow(
            worded(
                "{amount} cannot be returned of {left} left",
                amount=event.amount,
                left=contract.left,
            ),
            worded("Return less."),
        )
    if contract.unpriced() or contract.pending():
        raise CannotFollow(
            worded("variations are still open"), worded("Return it when all are answered.")
        )
    released = (contract.released or contract.nothing) + event.amount
    return replace(contract, released=released)


def _staged(contract: Contract, event: happened.StagePaid) -> Contract:
    _goes_on(contract)
    strip, whole = contract.strip_stages, contract.acceptance.contract_sum.amount
    before = sum((net.amount for _, net in strip), start=Decimal(0)) / whole if strip else 0
    paid = sum((share for _, share in contract.stages), start=event.share + before)
    if event.share <= 0 or paid > 1:
        raise CannotFollow(
            worded("stages would come to {paid:%} of the contract sum", paid=paid),
            worded("Check the share."),
        )
    if event.name in {name for name, _ in (*strip, *contract.stages)}:
        raise CannotFollow(
            worded("stage {name} is invoiced already", name=event.name),
            worded("Invoice the next one."),
        )
    return replace(contract, stages=(*contract.stages, (event.name, event.share)))


def _exchanged(contract: Contract, event: happened.ExchangeSettled) -> Contract:
    if not 0 <= event.accepted <= event.sent:
        raise CannotFollow(
            worded(
                "{accepted} of {sent} cannot be accepted", accepted=event.accepted, sent=event.sent
            ),
            worded("Count again."),
        )
    if event.charge.minor < 0:
        raise CannotFollow(
            worded("a charge lies not below nought"), worded("Give what is charged.")
        )
    return replace(contract, exchange=(contract.exchange or contract.nothing) + event.charge)


def _stopped(contract: Contract, event: happened.StopDecided) -> Contract:
    if contract.stopped is not None:
        raise CannotFollow(worded("it was stopped already"), worded("Look at the history."))
    if contract.handed_over:
        raise CannotFollow(worded("the machine is handed over"), worded("Look at the history."))
    cases = {number: _left_undone(case, event) for number, case in contract.cases.items()}
    return replace(contract, stopped=event, cases=cases)


def _left_undone(case: Case, event: happened.StopDecided) -> Case:
    """What nobody began to do is not done, and nothing of it is owed."""
    if (case.state, STOP) not in MOVES:
        return case
    reason = f"stopped after teardown: {event.way}"
    step = Step(moved(case.state, STOP), event.at, event.who, event.capacity, event.channel,
                event.words, reason)  # fmt: skip
    return settled(case, step.state, step, funding=None, agreed_by="", agreed_side="",
                   agreed_lines=())  # fmt: skip


def _unchanged(contract: Contract, _event: happened.Event) -> Contract:
    return contract


def _handed_over(contract: Contract, event: happened.HandedOver) -> Contract:
    if contract.handed_over:
        raise CannotFollow(worded("it was handed over already"), worded("Look at the history."))
    if waiting := [*contract.unpriced(), *contract.pending()]:
        names = ", ".join(case.variation.name for case in waiting)
        raise CannotFollow(
            worded("not answered yet: {names}", names=names),
            worded("Get an answer, or let them lapse."),
        )
    needed = [case.variation for case in contract.not_done() if case.variation.cannot_be_declined]
    if needed and contract.stopped is None:
        names = "; ".join(f"{one.name} ({one.cannot_be_declined})" for one in needed)
        raise CannotFollow(
            worded("not done, and cannot be declined: {names}", names=names),
            worded("Do it, or stop the job."),
        )
    return replace(ending.said_done(contract, event), handed_over=True)


def _closed(contract: Contract, _event: happened.AccountClosed) -> Contract:
    if not contract.handed_over and contract.stopped is None:
        raise CannotFollow(
            worded("the machine is not handed over yet"), worded("Hand it over first.")
        )
    return replace(contract, closed=True)


_FOLLOWING: dict[type[Any], Callable[[Contract, Any], Contract]] = {
    happened.Accepted: _again,
    happened.AuthorityGiven: _authority,
    happened.OrderChanged: ending.order_changed,
    happened.Received: _received,
    happened.Opened: _opened,
    happened.Raised: answers.raised,
    happened.Revised: answers.revised,
    happened.Moved: answers.moved_on,
    happened.Decided: answers.decided,
    happened.Waited: _waited,
    happened.MadeSafe: _made_safe,
    happened.ContingencyReturned: _returned,
    happened.StagePaid: _staged,
    happened.ExchangeSettled: _exchanged,
    happened.StopDecided: _stopped,
    happened.Tested: _unchanged,
    happened.HandedOver: _handed_over,
    happened.AccountClosed: _closed,
}
