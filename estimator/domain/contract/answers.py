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
    CALL_OFF,
    CLOSE,
    DECISIONS,
    DECLINE,
    DEFER,
    DRAFT,
    ISSUE,
    LAPSE,
    NOT_OF_ONE,
    PART_APPROVE,
    PASS_ON,
    PRICE,
    REVISE,
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
from estimator.domain.fixed_words import fixed
from estimator.domain.money import Money, money_sum
from estimator.domain.wording import joined, said_by, worded


def raised(contract: Contract, event: happened.Raised) -> Contract:
    """A variation came about. Raises CannotFollow."""
    variation = event.variation
    if variation.number != contract.next_number:
        raise CannotFollow(
            worded(
                "the next variation is {due}, not {number}",
                due=contract.next_number,
                number=variation.number,
            ),
            worded("Try again."),
        )
    if variation.revision:
        raise CannotFollow(
            worded(
                "{number} begins with revision {revision}",
                number=variation.number,
                revision=variation.revision,
            ),
            "",
        )
    _sound(contract, variation)
    _parts_free(contract, variation)
    state = first_state(variation)
    case = Case(variation, state, (_step(event, state),))
    resolved = {**contract.resolved, **dict.fromkeys(variation.parts, WORN)}
    return replace(contract, cases={**contract.cases, variation.number: case}, resolved=resolved)


def _sound(contract: Contract, variation: Variation) -> None:
    """Raises CannotFollow for a variation that is not complete, or comes too late."""
    if faults := variation_faults(variation, contract.currency):
        raise CannotFollow(
            worded("{name} {fault}", name=variation.name, fault=joined(faults, "; ")),
            worded("Mend it first."),
        )
    if contract.handed_over:
        raise CannotFollow(worded("the machine is handed over"), worded("Open a new job for it."))
    if contract.acceptance.teardown_only and variation.end == CONTINGENCY:
        raise CannotFollow(
            worded("the teardown alone is accepted, and nothing is held for what it shows"),
            worded("Price it in the next revision."),
        )
    if contract.stopped is not None and variation.end in (CONTINGENCY, REMEASURED):
        raise CannotFollow(
            worded("the job was stopped after teardown"),
            worded("Only what the stop brings on can be charged."),
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
        raise CannotFollow(
            worded("{parts} has a variation already", parts=", ".join(twice)),
            worded("Revise that one."),
        )
    sound = [part for part in variation.parts if contract.resolved.get(part, WORN) != WORN]
    if sound:
        raise CannotFollow(
            worded("{parts} was found sound", parts=", ".join(sound)),
            worded("Look at the strip report."),
        )


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
            worded(
                "{name} is followed by rev {revision}, not rev {newest}",
                name=case.variation.name,
                revision=case.variation.revision + 1,
                newest=variation.revision,
            ),
            worded("Look at the newest one."),
        )
    _sound(contract, variation)
    _parts_free(contract, variation)
    if not variation.is_priced:
        raise CannotFollow(
            worded("{name} has no price", name=variation.name),
            worded("Price it, or leave its range."),
        )
    case = settled(
        case, state, _step(event, state), variation=variation,
        earlier=(*case.earlier, case.variation), funding=None, agreed_by="", agreed_lines=(),
        passed=(), together=None, together_with=(),
    )  # fmt: skip
    left_out = set(case.earlier[-1].parts) - set(variation.parts)
    resolved = {**_closed_again(contract, left_out), **dict.fromkeys(variation.parts, WORN)}
    return replace(contract, cases={**contract.cases, variation.number: case}, resolved=resolved)


def moved_on(contract: Contract, event: happened.Moved) -> Contract:
    """A variation came into another state without an answer. Raises CannotFollow."""
    case = _newest(contract, event.number, event.revision)
    variation = case.variation
    if event.act in DECISIONS:
        raise CannotFollow(
            worded("{act} is a decision", act=fixed(event.act)),
            worded("Record it with its approver."),
        )
    if event.act in NOT_OF_ONE:
        raise CannotFollow(
            worded("{act} is the whole job's, not a variation's", act=fixed(event.act)),
            worded("Stop it, or hand it over."),
        )
    state = _moved(case, event.act, variation.name)
    if event.act == CLOSE and variation.end not in CHARGED_TO_NOBODY:
        raise CannotFollow(
            worded("{name} is charged to the {end}", name=variation.name, end=fixed(variation.end)),
            worded("It needs an answer."),
        )
    answer_by = variation.answer_by or event.answer_by
    if event.act == LAPSE and answer_by is not None and event.at.date() <= answer_by:
        raise CannotFollow(
            worded("{name} may be answered until {day}", name=variation.name, day=answer_by),
            worded("Wait for it."),
        )
    passed = case.passed
    if event.act == PASS_ON:
        passed = _passed_on(contract, case, event.who)
    if event.act == ISSUE and event.answer_by is not None:
        variation = replace(variation, answer_by=event.answer_by)
    step = _step(event, state, event.reason)
    case = settled(case, state, step, passed=passed, variation=variation)
    cases = {**contract.cases, event.number: case}
    if event.act == WITHDRAW:
        return replace(contract, cases=cases, resolved=_closed_again(contract, variation.parts))
    return replace(contract, cases=cases)


def _passed_on(contract: Contract, case: Case, name: str) -> tuple[str, ...]:
    """Those who have left the answer to the next. Raises CannotFollow where somebody else is asked,
    or where there is no next."""
    asked = may_agree(contract, case, "").ask
    if name != asked.split(", ")[0]:
        raise CannotFollow(
            worded("{name} does not wait on {who}", name=case.variation.name, who=name),
            worded("Ask {asked}.", asked=asked),
        )
    passed = tuple(dict.fromkeys((*case.passed, name)))
    if not may_agree(contract, replace(case, passed=passed), "").ask:
        raise CannotFollow(
            worded("{name}: nobody else named may agree to it", name=case.variation.name),
            worded("Amend the authority."),
        )
    return passed


def decided(contract: Contract, event: happened.Decided) -> Contract:
    """Somebody answered for a variation. Raises CannotFollow, naming who is to be asked."""
    case = _newest(contract, event.number, event.revision)
    variation = case.variation
    if event.act not in DECISIONS:
        raise CannotFollow(
            worded("{act} is no answer", act=fixed(event.act)),
            worded("Answers are: {known}.", known=joined(map(fixed, DECISIONS))),
        )
    state = _moved(case, event.act, variation.name)
    if not variation.is_priced:
        raise CannotFollow(
            worded("{name} has no price", name=variation.name), worded("Price it first.")
        )
    if event.waits_days < 0:
        raise CannotFollow(
            worded("nothing waits for {days} days", days=event.waits_days),
            worded("Give the days it waited."),
        )
    if event.act == CALL_OFF and case.funding is None:
        raise CannotFollow(
            worded("{name} is no extra work that the customer agreed to", name=variation.name),
            worded("Finish it."),
        )
    if event.act in (DECLINE, DEFER, CALL_OFF):
        return _turned_down(contract, case, event, state)
    if event.act == AGREE:
        return _agreed(contract, case, event, state)
    if variation.end == REMEASURED:
        raise CannotFollow(
            worded("{name} is measured again", name=variation.name),
            worded("Agree to it, or decline it."),
        )
    if event.act == PART_APPROVE and variation.cannot_be_declined:
        raise CannotFollow(
            worded(
                "no part of {name} can be declined: {why}",
                name=variation.name,
                why=variation.cannot_be_declined,
            ),
            worded("Agree to all of it, or stop the job."),
        )
    amount = _amount_agreed(contract, case, event)
    _may(contract, case, event.who, amount)
    authority = contract.authorities[event.who]
    if case.state == DRAFT and not (authority.blanket and authority.side == WORKSHOP):
        raise CannotFollow(
            worded("{name} is not issued yet", name=variation.name), worded("Issue it, then ask.")
        )
    if authority.side == WORKSHOP and not event.proved:
        raise CannotFollow(
            worded("{who} did not give a passphrase", who=event.who),
            worded("Approving asks for it."),
        )
    case = settled(
        case, state, _step(event, state, event.reason), funding=_funding(contract, case, amount),
        agreed_by=event.who, agreed_side=authority.side,
        agreed_lines=tuple(sorted(set(event.lines))) if event.act == PART_APPROVE else (),
        together=event.together, together_with=event.together_with,
    )  # fmt: skip
    return _with_wait(contract, case, event)


def _may(contract: Contract, case: Case, name: str, amount: Money | None = None) -> None:
    verdict = may_agree(contract, case, name, amount)
    if not verdict.may:
        ask = (
            f"Ask {verdict.ask}."
            if verdict.ask
            else worded("Nobody named may: amend the authority.")
        )
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
            worded(
                "part of {name} is some of its {count} lines, not all",
                name=variation.name,
                count=len(variation.lines),
            ),
            worded("Name the lines that are agreed to."),
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
            worded(
                "{name} cannot be declined: {why}",
                name=variation.name,
                why=variation.cannot_be_declined,
            ),
            worded("Agree to it, or stop the job."),
        )
    if event.act != DEFER and not variation.consequence:
        raise CannotFollow(
            worded("{name} does not say what declining means", name=variation.name),
            worded("Write the consequence first."),
        )
    _asked(contract, event)
    case = settled(
        case, state, _step(event, state, event.reason), agreed_by=event.who, agreed_side="",
        agreed_lines=(), funding=None, together=None, together_with=(),
    )  # fmt: skip
    return _with_wait(contract, case, event)


def _agreed(contract: Contract, case: Case, event: happened.Decided, state: str) -> Contract:
    variation = case.variation
    if variation.end != REMEASURED:
        raise CannotFollow(
            worded("{name} is not remeasured", name=variation.name),
            worded("Approve or decline it."),
        )
    _asked(contract, event)
    _may(contract, case, event.who)
    measured = {**contract.measured, **{one.row_id: one for one in variation.remeasured}}
    case = settled(case, state, _step(event, state, event.reason), agreed_by=event.who)
    return _with_wait(replace(contract, measured=measured), case, event)


def _asked(contract: Contract, event: happened.Decided) -> None:
    authority = contract.authorities.get(event.who)
    if authority is None or authority.side != CUSTOMER:
        raise CannotFollow(
            worded("{who} does not answer for the customer", who=event.who),
            worded("Name who answered."),
        )


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
            worded(
                "{number} rev {revision} is superseded by rev {newest}",
                number=number,
                revision=revision,
                newest=case.variation.revision,
            ),
            worded("Look at the newest one and answer that."),
        )
    return case


def _moved(case: Case, act: str, name: str) -> str:
    try:
        return moved(case.state, act)
    except NoSuchMove as error:
        state = fixed(case.state)
        since = worded("It is {state} since {since:%Y-%m-%d %H:%M}.", state=state, since=case.since)
        if case.agreed_by:
            since = worded(
                "It is {state} by {who} since {since:%Y-%m-%d %H:%M}.",
                state=state,
                who=case.agreed_by,
                since=case.since,
            )
        said = worded("{name}: {said}", name=name, said=said_by(error))
        raise CannotFollow(said, since) from error


def _step(event: happened.Event, state: str, reason: str = "") -> Step:
    return Step(state, event.at, event.who, event.capacity, event.channel, event.words, reason)
