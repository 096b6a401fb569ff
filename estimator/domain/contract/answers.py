"""How a variation comes about, is written anew, moves, and is answered."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from estimator.domain.contract import events as happened
from estimator.domain.contract.acceptance import CUSTOMER, WORKSHOP
from estimator.domain.contract.authority import may_agree
from estimator.domain.contract.contract import (
    CannotFollow,
    Case,
    Contract,
    Step,
    first_state,
    settled,
)
from estimator.domain.contract.forms import Funding
from estimator.domain.contract.states import (
    AGREE,
    CLOSE,
    DECISIONS,
    DECLINE,
    DEFER,
    DRAFT,
    LAPSE,
    PART_APPROVE,
    PASS_ON,
    PRICE,
    REVISE,
    STOP,
    WITHDRAW,
    WITHDRAWN,
    NoSuchMove,
    moved,
)
from estimator.domain.contract.variation import (
    CHARGED_TO_NOBODY,
    CONTINGENCY,
    REMEASURED,
    WORN,
    Variation,
    variation_faults,
)
from estimator.domain.money import Money, money_sum


def raised(contract: Contract, event: happened.Raised) -> Contract:
    """A variation came about. Raises CannotFollow."""
    variation = event.variation
    if variation.number != contract.next_number:
        raise CannotFollow(
            f"the next variation is {contract.next_number}, not {variation.number}", "Try again."
        )
    if variation.revision:
        raise CannotFollow(f"{variation.number} begins with revision {variation.revision}", "")
    _sound(contract, variation)
    _parts_free(contract, variation)
    state = first_state(variation)
    case = Case(variation, state, (_step(event, state),))
    resolved = {**contract.resolved, **dict.fromkeys(variation.parts, WORN)}
    return replace(contract, cases={**contract.cases, variation.number: case}, resolved=resolved)


def _sound(contract: Contract, variation: Variation) -> None:
    """Raises CannotFollow for a variation that is not complete, or comes too late."""
    if faults := variation_faults(variation, contract.currency):
        raise CannotFollow(f"{variation.name} {'; '.join(faults)}", "Mend it first.")
    if contract.handed_over:
        raise CannotFollow("the machine is handed over", "Open a new job for it.")
    if contract.stopped is not None and variation.end in (CONTINGENCY, REMEASURED):
        raise CannotFollow(
            "the job was stopped after teardown", "Only what the stop brings on can be charged."
        )


def _parts_free(contract: Contract, variation: Variation) -> None:
    """Raises CannotFollow for parts that another variation carries, or that were found sound."""
    taken = {
        part
        for number, case in contract.cases.items()
        if number != variation.number and case.state != WITHDRAWN
        for part in case.variation.parts
    }
    if twice := sorted(set(variation.parts) & taken):
        raise CannotFollow(f"{', '.join(twice)} has a variation already", "Revise that one.")
    sound = [part for part in variation.parts if contract.resolved.get(part, WORN) != WORN]
    if sound:
        raise CannotFollow(f"{', '.join(sound)} was found sound", "Look at the strip report.")


def _closed_again(contract: Contract, parts: Iterable[str]) -> dict[str, str]:
    """What was found of parts, less those that nobody carries any more: what they may cost is not
    known, so they count as closed until they are opened or raised again."""
    gone = set(parts)
    return {part: state for part, state in contract.resolved.items() if part not in gone}


def revised(contract: Contract, event: happened.Revised) -> Contract:
    """A variation was priced or written anew. Raises CannotFollow."""
    variation = event.variation
    case = contract.case(variation.number)
    # A range gets its price under the same number; what was issued gets the next revision.
    act = PRICE if not case.variation.is_priced else REVISE
    state = _moved(case, act, variation.name)
    if variation.revision != case.variation.revision + 1:
        raise CannotFollow(
            f"{case.variation.name} is followed by rev {case.variation.revision + 1}, "
            f"not rev {variation.revision}",
            "Look at the newest one.",
        )
    _sound(contract, variation)
    _parts_free(contract, variation)
    if not variation.is_priced:
        raise CannotFollow(f"{variation.name} has no price", "Price it, or leave its range.")
    case = settled(
        case, state, _step(event, state), variation=variation,
        earlier=(*case.earlier, case.variation), funding=None, agreed_by="", agreed_lines=(),
        passed=(),
    )  # fmt: skip
    left_out = set(case.earlier[-1].parts) - set(variation.parts)
    resolved = {**_closed_again(contract, left_out), **dict.fromkeys(variation.parts, WORN)}
    return replace(contract, cases={**contract.cases, variation.number: case}, resolved=resolved)


def moved_on(contract: Contract, event: happened.Moved) -> Contract:
    """A variation came into another state without an answer. Raises CannotFollow."""
    case = _newest(contract, event.number, event.revision)
    variation = case.variation
    if event.act in DECISIONS:
        raise CannotFollow(f"{event.act} is a decision", "Record it with its approver.")
    if event.act == STOP:
        raise CannotFollow("a job is stopped, not a variation", "Stop the job.")
    state = _moved(case, event.act, variation.name)
    if event.act == CLOSE and variation.end not in CHARGED_TO_NOBODY:
        raise CannotFollow(
            f"{variation.name} is charged to the {variation.end}", "It needs an answer."
        )
    answer_by = variation.answer_by
    if event.act == LAPSE and answer_by is not None and event.at.date() <= answer_by:
        raise CannotFollow(
            f"{variation.name} may be answered until {answer_by.isoformat()}", "Wait for it."
        )
    passed = case.passed
    if event.act == PASS_ON:
        passed = _passed_on(contract, case, event.who)
    case = settled(case, state, _step(event, state, event.reason), passed=passed)
    cases = {**contract.cases, event.number: case}
    if event.act == WITHDRAW:
        return replace(contract, cases=cases, resolved=_closed_again(contract, variation.parts))
    return replace(contract, cases=cases)


def _passed_on(contract: Contract, case: Case, name: str) -> tuple[str, ...]:
    """Those who have left the answer to the next. Raises CannotFollow where somebody else is asked,
    or where there is no next."""
    asked = may_agree(contract, case, "").ask
    if name != asked.split(", ")[0]:
        raise CannotFollow(f"{case.variation.name} does not wait on {name}", f"Ask {asked}.")
    passed = tuple(dict.fromkeys((*case.passed, name)))
    if not may_agree(contract, replace(case, passed=passed), "").ask:
        raise CannotFollow(
            f"{case.variation.name}: nobody else named may agree to it", "Amend the authority."
        )
    return passed


def decided(contract: Contract, event: happened.Decided) -> Contract:
    """Somebody answered for a variation. Raises CannotFollow, naming who is to be asked."""
    case = _newest(contract, event.number, event.revision)
    variation = case.variation
    if event.act not in DECISIONS:
        raise CannotFollow(f"{event.act} is no answer", f"Answers are: {', '.join(DECISIONS)}.")
    state = _moved(case, event.act, variation.name)
    if not variation.is_priced:
        raise CannotFollow(f"{variation.name} has no price", "Price it first.")
    if event.waits_days < 0:
        raise CannotFollow(f"nothing waits for {event.waits_days} days", "Give the days it waited.")
    if event.act in (DECLINE, DEFER):
        return _turned_down(contract, case, event, state)
    if event.act == AGREE:
        return _agreed(contract, case, event, state)
    if variation.end == REMEASURED:
        raise CannotFollow(f"{variation.name} is measured again", "Agree to it, or decline it.")
    if event.act == PART_APPROVE and variation.cannot_be_declined:
        raise CannotFollow(
            f"no part of {variation.name} can be declined: {variation.cannot_be_declined}",
            "Agree to all of it, or stop the job.",
        )
    amount = _amount_agreed(contract, case, event)
    _may(contract, case, event.who, amount)
    authority = contract.authorities[event.who]
    if case.state == DRAFT and not (authority.blanket and authority.side == WORKSHOP):
        raise CannotFollow(f"{variation.name} is not issued yet", "Issue it, then ask.")
    if authority.side == WORKSHOP and not event.proved:
        raise CannotFollow(f"{event.who} did not give a passphrase", "Approving asks for it.")
    case = settled(
        case, state, _step(event, state, event.reason), funding=_funding(contract, case, amount),
        agreed_by=event.who, agreed_side=authority.side,
        agreed_lines=tuple(sorted(set(event.lines))) if event.act == PART_APPROVE else (),
    )  # fmt: skip
    return _with_wait(contract, case, event)


def _may(contract: Contract, case: Case, name: str, amount: Money | None = None) -> None:
    verdict = may_agree(contract, case, name, amount)
    if not verdict.may:
        ask = f"Ask {verdict.ask}." if verdict.ask else "Nobody named may: amend the authority."
        raise CannotFollow(f"{case.variation.name}: {'; '.join(verdict.against)}", ask)


def _amount_agreed(contract: Contract, case: Case, event: happened.Decided) -> Money:
    variation = case.variation
    if event.act != PART_APPROVE:
        return variation.amount(contract.currency)
    lines = sorted(set(event.lines))
    if (
        not lines
        or len(lines) == len(variation.lines)
        or not all(0 <= line < len(variation.lines) for line in lines)
    ):
        raise CannotFollow(
            f"part of {variation.name} is some of its {len(variation.lines)} lines, not all",
            "Name the lines that are agreed to.",
        )
    return money_sum((variation.lines[line].amount for line in lines), contract.currency)


def _funding(contract: Contract, case: Case, amount: Money) -> Funding:
    if case.variation.end == CONTINGENCY:
        return contract.rule.fund(amount, contract.totals)
    return Funding(contract.nothing, amount, contract.nothing)


def _turned_down(contract: Contract, case: Case, event: happened.Decided, state: str) -> Contract:
    variation = case.variation
    if variation.cannot_be_declined:
        raise CannotFollow(
            f"{variation.name} cannot be declined: {variation.cannot_be_declined}",
            "Agree to it, or stop the job.",
        )
    if event.act == DECLINE and not variation.consequence:
        raise CannotFollow(
            f"{variation.name} does not say what declining means", "Write the consequence first."
        )
    _asked(contract, event)
    case = settled(case, state, _step(event, state, event.reason), agreed_by=event.who)
    return _with_wait(contract, case, event)


def _agreed(contract: Contract, case: Case, event: happened.Decided, state: str) -> Contract:
    variation = case.variation
    if variation.end != REMEASURED:
        raise CannotFollow(f"{variation.name} is not remeasured", "Approve or decline it.")
    _asked(contract, event)
    _may(contract, case, event.who)
    measured = {**contract.measured, **{one.row_id: one for one in variation.remeasured}}
    case = settled(case, state, _step(event, state, event.reason), agreed_by=event.who)
    return _with_wait(replace(contract, measured=measured), case, event)


def _asked(contract: Contract, event: happened.Decided) -> None:
    authority = contract.authorities.get(event.who)
    if authority is None or authority.side != CUSTOMER:
        raise CannotFollow(f"{event.who} does not answer for the customer", "Name who answered.")


def _with_wait(contract: Contract, case: Case, event: happened.Decided) -> Contract:
    waits = dict(contract.waits)
    if event.waits_activity and event.waits_days:
        waits[event.waits_activity] = waits.get(event.waits_activity, 0) + event.waits_days
    cases = {**contract.cases, case.variation.number: case}
    return replace(contract, cases=cases, waits=waits)


def _newest(contract: Contract, number: str, revision: int) -> Case:
    case = contract.case(number)
    if revision != case.variation.revision:
        raise CannotFollow(
            f"{number} rev {revision} is superseded by rev {case.variation.revision}",
            "Look at the newest one and answer that.",
        )
    return case


def _moved(case: Case, act: str, name: str) -> str:
    try:
        return moved(case.state, act)
    except NoSuchMove as error:
        said = f" by {case.agreed_by}" if case.agreed_by else ""
        raise CannotFollow(f"{name}: {error}", f"It is {case.state}{said} since "
                           f"{case.since:%Y-%m-%d %H:%M}.") from error  # fmt: skip


def _step(event: happened.Event, state: str, reason: str = "") -> Step:
    return Step(state, event.at, event.who, event.capacity, event.channel, event.words, reason)
