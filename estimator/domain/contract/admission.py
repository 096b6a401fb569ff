"""What an event must meet before it is written, beyond what every event that is kept meets.

A contract is its events, and they are kept as they were: a rule that came later binds what is
written from now on, and never keeps an older record from being read. `following` holds the rules
without which a contract makes no sense; whatever is asked of those who write stands here.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from estimator.domain.contract import events as happened
from estimator.domain.contract.contract import CannotFollow, Contract
from estimator.domain.contract.states import ISSUE, LAPSE, WITHDRAW
from estimator.domain.people import SERVICE_MANAGER
from estimator.domain.wording import worded


def admit(contract: Contract, event: happened.Event) -> None:
    """Let an event be written next. Raises CannotFollow with a remedy."""
    asked = _ASKED.get(type(event))
    if asked is not None:
        asked(contract, event)


def _opened(contract: Contract, _event: happened.Opened) -> None:
    if not contract.received:
        raise CannotFollow(
            worded("the machine is not here yet"), worded("Record that it came in first.")
        )


def _made_safe(contract: Contract, event: happened.MadeSafe) -> None:
    if event.cost is None:
        name = contract.case(event.number).variation.name
        raise CannotFollow(
            worded("nobody said what making {name} safe cost", name=name),
            worded("Give the workshop's own cost, or nought."),
        )


def _handed_over(contract: Contract, event: happened.HandedOver) -> None:
    waiting = [
        case for case in contract.not_recorded_as_done() if case.variation.number not in event.done
    ]
    if waiting:
        names = ", ".join(f"{case.variation.name} ({case.state})" for case in waiting)
        raise CannotFollow(
            worded("agreed to, and not recorded as done: {names}", names=names),
            worded(
                "Record each as done, or say that they are; what was not done is called "
                "off with the customer's word, and listed."
            ),
        )


def _moved(contract: Contract, event: happened.Moved) -> None:
    case = contract.cases.get(event.number)
    if case is None or event.revision != case.variation.revision:
        return  # said by the contract itself
    name, answer_by = case.variation.name, event.answer_by or case.variation.answer_by
    if event.act in (ISSUE, LAPSE) and answer_by is None:
        raise CannotFollow(
            worded("{name} names no day to answer by", name=name), worded("Give it one.")
        )
    if event.act != WITHDRAW or not case.variation.safety:
        return
    if not event.reason.strip():
        raise CannotFollow(
            worded("{name} is a safety matter, withdrawn without a reason", name=name),
            worded("Give one."),
        )
    if not event.proved or event.capacity != SERVICE_MANAGER:
        raise CannotFollow(
            worded("{name} is a safety matter", name=name),
            worded("The service manager withdraws it, with a passphrase."),
        )


_ASKED: dict[type[Any], Callable[[Contract, Any], None]] = {
    happened.Opened: _opened,
    happened.MadeSafe: _made_safe,
    happened.HandedOver: _handed_over,
    happened.Moved: _moved,
}
