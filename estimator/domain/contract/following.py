"""How one event follows on a contract: what it changes, and why it may not."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

from estimator.domain.contract import answers
from estimator.domain.contract import events as happened
from estimator.domain.contract.acceptance import CUSTOMER, Authority
from estimator.domain.contract.contract import CannotFollow, Case, Contract, Step, settled
from estimator.domain.contract.forms import RULES
from estimator.domain.contract.states import AUTHORISED, MOVES, STOP, moved
from estimator.domain.contract.variation import AS_PRICED


def contract_of(events: Iterable[happened.Event], known: Contract | None = None) -> Contract:
    """The contract that these events make, in their order; `known`, an earlier one, spares the
    beginning where it is the same. Raises CannotFollow."""
    whole, contract, done = tuple(events), None, 0
    if known is not None and whole[: len(known.events)] == known.events:
        contract, done = known, len(known.events)
    for event in whole[done:]:
        contract = follow(contract, event)
    if contract is None:
        raise CannotFollow("nothing has been accepted yet", "Record the acceptance first.")
    return contract


def follow(contract: Contract | None, event: happened.Event) -> Contract:
    """The contract after one more event. Raises CannotFollow, and changes nothing then."""
    if contract is None:
        if not isinstance(event, happened.Accepted):
            raise CannotFollow("nothing has been accepted yet", "Record the acceptance first.")
        return _accepted(event)
    if event.at < contract.events[-1].at:
        raise CannotFollow(
            f"{event.at:%Y-%m-%d %H:%M} lies before the last entry, "
            f"{contract.events[-1].at:%Y-%m-%d %H:%M}",
            "Check this computer's clock.",
        )
    if contract.closed:
        raise CannotFollow("the account is closed", "Nothing is added to it any more.")
    changed = _FOLLOWING[type(event)](contract, event)
    return replace(changed, events=(*contract.events, event))


def _accepted(event: happened.Accepted) -> Contract:
    accepted = event.acceptance
    if accepted.commercial_form not in RULES:
        known = ", ".join(RULES)
        raise CannotFollow(f"no ledger rule for {accepted.commercial_form!r}", f"Known: {known}.")
    names = [one.name for one in accepted.authorities]
    if len(set(names)) != len(names):
        raise CannotFollow("somebody is given authority twice", "Name each person once.")
    if not any(one.side == CUSTOMER for one in accepted.authorities):
        raise CannotFollow("nobody of the customer may approve", "Name who may, with a limit.")
    if accepted.contract_sum < accepted.contingency:
        raise CannotFollow("the contingency is more than the contract sum", "Check both sums.")
    return Contract(
        accepted, event.at, (event,), authorities={one.name: one for one in accepted.authorities}
    )


def _again(_contract: Contract, _event: happened.Accepted) -> Contract:
    raise CannotFollow("it is accepted already", "A new revision needs a new acceptance.")


def _authority(contract: Contract, event: happened.AuthorityGiven) -> Contract:
    given = Authority(
        event.name, event.holder_side, event.holder_capacity, event.limit_each, event.limit_total,
        event.blanket,
    )  # fmt: skip
    return replace(contract, authorities={**contract.authorities, event.name: given})


def _received(contract: Contract, _event: happened.Received) -> Contract:
    if contract.received:
        raise CannotFollow("the machine is here already", "Add a note instead.")
    return replace(contract, received=True)


def _opened(contract: Contract, event: happened.Opened) -> Contract:
    if contract.handed_over:
        raise CannotFollow("the machine is handed over", "Open a new job for it.")
    _goes_on(contract)
    agreed = _agreed_lines(contract)
    if twice := sorted({one.row_id for one in event.measured} & set(agreed)):
        raise CannotFollow(
            f"{', '.join(twice)} was measured and agreed to as {agreed[twice[0]]}",
            "Raise another variation for it.",
        )
    resolved = dict(contract.resolved)
    for part, state in event.parts:
        if part in resolved and resolved[part] != state:
            raise CannotFollow(
                f"{part} is resolved already as {resolved[part]}",
                "Revise its variation instead.",
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
        raise CannotFollow("the job was stopped after teardown", "Only what is done is settled.")


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
        raise CannotFollow(f"nothing waits for {event.days} days", "Give the days it stood still.")
    waits = {**contract.waits, event.activity: contract.waits.get(event.activity, 0) + event.days}
    return replace(contract, waits=waits)


def _made_safe(contract: Contract, event: happened.MadeSafe) -> Contract:
    case = contract.case(event.number)
    if not case.variation.safety:
        raise CannotFollow(
            f"{case.variation.name} is not marked as a safety matter", "It needs an answer first."
        )
    case = replace(case, made_safe=True)
    return replace(contract, cases={**contract.cases, event.number: case})


def _returned(contract: Contract, event: happened.ContingencyReturned) -> Contract:
    _goes_on(contract)
    if event.amount.minor <= 0 or contract.left < event.amount:
        raise CannotFollow(
            f"{event.amount} cannot be returned of {contract.left} left", "Return less."
        )
    if contract.unpriced() or contract.pending():
        raise CannotFollow("variations are still open", "Return it when all are answered.")
    released = (contract.released or contract.nothing) + event.amount
    return replace(contract, released=released)


def _staged(contract: Contract, event: happened.StagePaid) -> Contract:
    _goes_on(contract)
    paid = sum((share for _, share in contract.stages), start=event.share)
    if event.share <= 0 or paid > 1:
        raise CannotFollow(f"stages would come to {paid:%} of the contract sum", "Check the share.")
    if event.name in {name for name, _ in contract.stages}:
        raise CannotFollow(f"stage {event.name} is invoiced already", "Invoice the next one.")
    return replace(contract, stages=(*contract.stages, (event.name, event.share)))


def _exchanged(contract: Contract, event: happened.ExchangeSettled) -> Contract:
    if not 0 <= event.accepted <= event.sent:
        raise CannotFollow(f"{event.accepted} of {event.sent} cannot be accepted", "Count again.")
    if event.charge.minor < 0:
        raise CannotFollow("a charge lies not below nought", "Give what is charged.")
    return replace(contract, exchange=(contract.exchange or contract.nothing) + event.charge)


def _stopped(contract: Contract, event: happened.StopDecided) -> Contract:
    if contract.stopped is not None:
        raise CannotFollow("it was stopped already", "Look at the history.")
    if contract.handed_over:
        raise CannotFollow("the machine is handed over", "Look at the history.")
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


def _handed_over(contract: Contract, _event: happened.HandedOver) -> Contract:
    if contract.handed_over:
        raise CannotFollow("it was handed over already", "Look at the history.")
    if waiting := [*contract.unpriced(), *contract.pending()]:
        names = ", ".join(case.variation.name for case in waiting)
        raise CannotFollow(f"not answered yet: {names}", "Get an answer, or let them lapse.")
    needed = [case.variation for case in contract.not_done() if case.variation.cannot_be_declined]
    if needed and contract.stopped is None:
        names = "; ".join(f"{one.name} ({one.cannot_be_declined})" for one in needed)
        raise CannotFollow(f"not done, and cannot be declined: {names}", "Do it, or stop the job.")
    return replace(contract, handed_over=True)


def _closed(contract: Contract, _event: happened.AccountClosed) -> Contract:
    if not contract.handed_over and contract.stopped is None:
        raise CannotFollow("the machine is not handed over yet", "Hand it over first.")
    return replace(contract, closed=True)


_FOLLOWING: dict[type[Any], Callable[[Contract, Any], Contract]] = {
    happened.Accepted: _again,
    happened.AuthorityGiven: _authority,
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
