"""What a service manager has before them when they answer: one variation, or several of one job at
once; what approving does, ground by ground whether they may, and who is asked where they may not.
Frozen rows, read without reckoning anything."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from estimator.domain.contract.acceptance import CUSTOMER, WORKSHOP, Authority
from estimator.domain.contract.authority import Together, Verdict, may_agree, together
from estimator.domain.contract.contract import Case, Contract
from estimator.domain.contract.effect import Effect, agreed_to, effect_of
from estimator.domain.contract.following import contract_of
from estimator.domain.contract.states import (
    APPROVE,
    CLOSE,
    DECLINE,
    DRAFT,
    ISSUE,
    ISSUED,
    PART_APPROVE,
    PASS_ON,
    QUERY,
    RELEASE,
    allowed,
)
from estimator.domain.contract.variation import CHARGED_TO_NOBODY, CONTINGENCY, Variation
from estimator.domain.money import Money, money_sum
from estimator.domain.people import ANSWER, VARY, WORK, Person
from estimator.domain.record import ContractStanding, Photograph
from estimator.domain.wording import worded
from estimator.services.case_acts import (
    CANNOT,
    CHARGED,
    CUSTOMERS_ONLY,
    LIMIT,
    NO_CONSEQUENCE,
    NO_PRICE,
    NOBODY,
    ONE_LINE,
    OVER,
    ROLE,
    STATE,
    ActRow,
)
from estimator.services.errors import NotFound
from estimator.services.open_record import Record
from estimator.services.show_case import GroundRow, grounds_of
from estimator.services.write_contract import awaited
from estimator.services.write_edit import kept_job
from estimator.storage import contract_lists, contract_record, photograph_record

NOT_ISSUED, ASKED_ALREADY = "not issued", "asked already"
DESK_ACTS = (APPROVE, PART_APPROVE, QUERY, DECLINE, PASS_ON, CLOSE, RELEASE)


@dataclass(frozen=True, slots=True)
class After:
    """The contingency after what is looked at is agreed to; what waits beside it, what may still
    be found (as last worked out; None where it never was, `behind` where more has happened since),
    and findings whose price nobody knows."""

    held: Money
    drawn: Money
    this: Money
    pending: Money
    exposed: Money | None
    behind: bool
    left_before: Money
    left_after: Money
    spare: Money  # beyond what waits and what may still be found; or, instead,
    short: Money  # what is missing for them
    unpriced: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ApprovalView:
    """One or several variations of one job before whoever answers.

    `amount` is what they come to together, None where one has no price; `grounds` are for the one,
    or for all of them one after the other. `limits` is the person's own authority on the job,
    `agreed` what they have agreed to on it so far, `above` who is asked above it.
    """

    job: str
    customer: str
    contract: Contract
    cases: tuple[Case, ...]
    amount: Money | None
    effect: Effect | None
    after: After
    grounds: tuple[GroundRow, ...]
    acts: tuple[ActRow, ...]
    limits: Authority | None
    agreed: Money
    above: str
    asked: str  # whom it waits on by name
    approvers: tuple[str, ...]  # those of the customer, by name
    photographs: tuple[Photograph, ...]
    finish: date | None  # at the job's confidence, as last worked out
    confidence: Decimal
    together: tuple[Together, ...] = ()  # what the person agreed to on one component before

    @property
    def case(self) -> Case:
        """The first of them."""
        return self.cases[0]

    def act(self, name: str) -> ActRow:
        """One act, and what is against it."""
        return next(row for row in self.acts if row.act == name)


def show_approval(record: Record, job: str, numbers: Sequence[str], person: Person) -> ApprovalView:
    """What `person` would answer. Raises NotFound where the job or a variation is not there."""
    with record.reading() as session:
        kept = kept_job(session, job)
        contract = contract_of(contract_record.read_events(session, kept.id))
        held = contract_lists.standings(session, [kept.id]).get(kept.id)
        photographs = photograph_record.photographs(session, kept.id)
    missing = [number for number in numbers if number not in contract.cases]
    if missing or not numbers:
        raise NotFound(
            worded("{job} has no variation {missing}.", job=job, missing=", ".join(missing)),
            worded("Read the list again."),
        )
    cases = tuple(contract.cases[number] for number in numbers)
    named = {name for case in cases for name in case.variation.photographs}
    priced = all(case.variation.is_priced for case in cases)
    # What nobody is charged for is closed, not approved.
    asked = priced and all(case.variation.end not in CHARGED_TO_NOBODY for case in cases)
    sums = [_sum_of(case.variation, contract.currency) for case in cases]
    return ApprovalView(
        job=job,
        customer=kept.job.customer.name,
        contract=contract,
        cases=cases,
        amount=money_sum(sums, contract.currency) if priced else None,
        effect=effect_of(contract, numbers[0]) if priced and len(cases) == 1 else None,
        after=_after(contract, cases, held),
        grounds=_grounds(contract, cases, person.name) if asked else (),
        acts=_acts(contract, cases, person),
        limits=contract.authorities.get(person.name),
        agreed=contract.agreed_so_far(person.name),
        above=_above(contract, cases[0], person.name),
        asked=awaited(contract, cases[0])[1],
        approvers=tuple(n for n, one in contract.authorities.items() if one.side == CUSTOMER),
        photographs=tuple(one for one in photographs if one.name in named),
        finish=held.finish_covered if held is not None else None,
        confidence=kept.job.terms.confidence,
        together=_with_what_went_before(contract, cases, person.name) if asked else (),
    )


def _sum_of(variation: Variation, currency: str) -> Money:
    return variation.amount(currency) + variation.remeasured_by(currency)


def _after(contract: Contract, cases: Sequence[Case], held: ContractStanding | None) -> After:
    """The contingency before and after, case by case in their order."""
    after = contract
    for case in cases:
        if case.is_open and case.variation.is_priced:
            after = agreed_to(after, case.variation.number)
    looked_at = {case.variation.number for case in cases}
    pending = [
        case.variation.amount(contract.currency)
        for case in contract.pending()
        if case.variation.end == CONTINGENCY and case.variation.number not in looked_at
    ]
    waiting = money_sum(pending, contract.currency)
    exposed = held.exposed if held is not None else None
    spare = after.left - waiting - (exposed or contract.nothing)
    return After(
        held=contract.totals.held,
        drawn=contract.totals.drawn,
        this=contract.left - after.left,
        pending=waiting,
        exposed=exposed,
        behind=held is None or held.behind,
        left_before=contract.left,
        left_after=after.left,
        spare=spare if spare.minor > 0 else contract.nothing,
        short=contract.nothing - spare if spare.minor < 0 else contract.nothing,
        unpriced=tuple(case.variation.name for case in contract.unpriced()),
    )


# May you?


def agreed_one_after_other(
    contract: Contract, cases: Sequence[Case], name: str
) -> tuple[Verdict, ...]:
    """Whether somebody may agree to each, with what was agreed to before it counted in."""
    each = _one_after_other(contract, cases, name)
    return tuple(may_agree(before, case, name) for before, case in each)


def _one_after_other(
    contract: Contract, cases: Sequence[Case], name: str
) -> Iterator[tuple[Contract, Case]]:
    """(the contract once those before are agreed to, a variation)."""
    for case in cases:
        yield contract, case
        number = case.variation.number
        agreed = agreed_to(contract, number)
        signed = replace(agreed.cases[number], agreed_by=name, agreed_side=WORKSHOP)
        contract = replace(agreed, cases={**agreed.cases, number: signed})


def _with_what_went_before(
    contract: Contract, cases: Sequence[Case], name: str
) -> tuple[Together, ...]:
    each = [case for case in cases if case.is_open]
    found = (together(one, case, name) for one, case in _one_after_other(contract, each, name))
    return tuple(one for one in found if one is not None)


def _grounds(contract: Contract, cases: Sequence[Case], name: str) -> tuple[GroundRow, ...]:
    """Of one variation each ground; of several the dearest against the limit for one, and all of
    them together against the others."""
    if len(cases) == 1:
        return grounds_of(contract, cases[0], name)
    verdicts = agreed_one_after_other(contract, cases, name)
    dearest = max(cases, key=lambda case: case.variation.amount(contract.currency).minor)
    total = money_sum([one.variation.amount(contract.currency) for one in cases], contract.currency)
    together = {row.code: row for row in grounds_of(contract, cases[-1], name, total)}
    rows = []
    for row in grounds_of(contract, dearest, name):
        holds = all(one.holds for v in verdicts for one in v.grounds if one.code == row.code)
        compared = row if row.code == "limit-each" else together.get(row.code, row)
        rows.append(replace(compared, holds=holds))
    return tuple(rows)


def in_part(
    view: ApprovalView, name: str, lines: Sequence[int]
) -> tuple[Money, Money, tuple[GroundRow, ...]]:
    """(what some lines of the one variation come to, what is left of the contingency after them,
    the grounds for agreeing to them)."""
    contract, variation = view.contract, view.case.variation
    amount = money_sum((variation.lines[line].amount for line in lines), contract.currency)
    drawn = contract.nothing
    if variation.end == CONTINGENCY:
        drawn = contract.rule.fund(amount, contract.totals).from_contingency
    return amount, contract.left - drawn, grounds_of(contract, view.case, name, amount)


def _above(contract: Contract, case: Case, name: str) -> str:
    """Who may agree to the variation where `name` may not; else who may to whatever is more."""
    without = replace(case, passed=(*case.passed, name))
    return may_agree(contract, without, "").ask


# What may be done


def _acts(contract: Contract, cases: Sequence[Case], person: Person) -> tuple[ActRow, ...]:
    """Every act of the desk; of several variations, the first thing against any of them."""
    rows = [[_act(contract, act, case, person) for act in DESK_ACTS] for case in cases]
    if len(cases) > 1:
        rows[0] = [
            next((row[place] for row in rows if not row[place].may), first)
            for place, first in enumerate(rows[0])
        ]
        if rows[0][0].may:
            rows[0][0] = _together(contract, cases, person)
    return tuple(rows[0])


def _together(contract: Contract, cases: Sequence[Case], person: Person) -> ActRow:
    """Approving all of them: what is against it once those before are agreed to."""
    for verdict in agreed_one_after_other(contract, cases, person.name):
        if not verdict.may:
            return ActRow(APPROVE, ANSWER, LIMIT if verdict.ask else NOBODY, verdict.ask)
    return ActRow(APPROVE, ANSWER)


def _act(contract: Contract, act: str, case: Case, person: Person) -> ActRow:
    right = {RELEASE: WORK, PASS_ON: VARY if case.state == DRAFT else ANSWER}.get(act, ANSWER)
    if contract.closed or contract.handed_over:
        return ActRow(act, right, OVER)
    if not person.may(right):
        return ActRow(act, right, ROLE)
    why, ask = _against(contract, act, case, person.name)
    return ActRow(act, right, why, ask)


def _against(contract: Contract, act: str, case: Case, name: str) -> tuple[str, str]:
    """(code of what is against an act, who is to be asked)."""
    variation = case.variation
    if act in (APPROVE, PART_APPROVE):
        return _against_approving(contract, act, case, name)
    if act == PASS_ON:
        return _against_passing(contract, case, name), ""
    if act == CLOSE and variation.end not in CHARGED_TO_NOBODY:
        return CHARGED, ""
    if act not in allowed(case.state):
        return STATE, ""
    if act == DECLINE and variation.cannot_be_declined:
        return CANNOT, ""
    if act == DECLINE and not variation.consequence:
        return NO_CONSEQUENCE, ""
    return "", ""


def _against_approving(contract: Contract, act: str, case: Case, name: str) -> tuple[str, str]:
    variation = case.variation
    if not variation.is_priced:
        return NO_PRICE, ""
    if act not in allowed(case.state):
        return STATE, ""
    ask = _above(contract, case, name)
    if variation.end != CONTINGENCY:
        return CUSTOMERS_ONLY, ask
    if act == PART_APPROVE:  # part of it may be within a limit that all of it is above
        return (ONE_LINE if len(variation.lines) == 1 else ""), ""
    if not may_agree(contract, case, name).may:
        return (LIMIT if ask else NOBODY), ask
    authority = contract.authorities[name]
    if authority.side != WORKSHOP:
        return CUSTOMERS_ONLY, ask
    if case.state == DRAFT and not authority.blanket:
        return NOT_ISSUED, ""
    return "", ""


def _against_passing(contract: Contract, case: Case, name: str) -> str:
    """A draft is passed on by issuing it; what is issued, by whoever is asked."""
    if not case.variation.is_priced:
        return NO_PRICE
    if case.state == DRAFT:
        return CHARGED if case.variation.end in CHARGED_TO_NOBODY else ""
    if case.state != ISSUED:
        return STATE
    if awaited(contract, case)[1].split(", ")[0] != name:
        return ASKED_ALREADY
    return "" if _above(contract, case, name) else NOBODY


def passing_act(case: Case) -> str:
    """The step that passes a variation on: a draft is issued, so that whoever may is asked."""
    return ISSUE if case.state == DRAFT else PASS_ON


def main_act(view: ApprovalView) -> str:
    """What the page's main key does: approve, close what nobody is charged for, or release what
    is agreed to; approving where none may be done, so that it can say why."""
    return next((act for act in (APPROVE, CLOSE, RELEASE) if view.act(act).may), APPROVE)


__all__ = [
    "ASKED_ALREADY", "DESK_ACTS", "NOT_ISSUED", "After", "ApprovalView", "in_part",
    "main_act", "passing_act", "show_approval",
]  # fmt: skip
