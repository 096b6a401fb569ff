"""What may be done with a variation now, by whoever works here; and why not, by a code."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from estimator.domain.contract.acceptance import CUSTOMER, WORKSHOP
from estimator.domain.contract.authority import may_agree
from estimator.domain.contract.contract import Case, Contract
from estimator.domain.contract.states import (
    AGREE,
    APPROVE,
    CALL_OFF,
    CLOSE,
    DECLINE,
    DEFER,
    FINISH,
    ISSUE,
    ISSUED,
    LAPSE,
    PART_APPROVE,
    PRICE,
    QUERY,
    RELEASE,
    REVISE,
    WITHDRAW,
    allowed,
)
from estimator.domain.contract.variation import CHARGED_TO_NOBODY, CONTINGENCY, REMEASURED
from estimator.domain.people import ANSWER, VARY, WORK, Person
from estimator.services.vary_contract import RIGHTS
from estimator.services.write_contract import Here

WRITE, SIGN, CUSTOMERS, MAKE_SAFE = "write anew", "sign", "customer's answer", "make safe"
"""Acts of the page beside the table's own: price or revise; approve for the workshop; record what
the customer answered; make safe before an answer."""
PAGE_ACTS = (
    WRITE, ISSUE, CUSTOMERS, SIGN, CLOSE, WITHDRAW, LAPSE, MAKE_SAFE, RELEASE, FINISH, CALL_OFF,
)  # fmt: skip
_RIGHTS = {WRITE: VARY, SIGN: ANSWER, CUSTOMERS: ANSWER, MAKE_SAFE: WORK, CALL_OFF: ANSWER}
ROLE, STATE, OVER, NO_PRICE, CHARGED = "role", "state", "over", "no price", "charged"
NO_SAFETY, MADE_SAFE, TIME_LEFT = "no safety", "made safe", "time left"
LIMIT, NOBODY = "limit", "nobody"
CUSTOMERS_ONLY = "customer's"
NO_CONSEQUENCE, CANNOT, ONE_LINE = "no consequence", "cannot be declined", "one line"
REMEASURED_ONLY, NOT_REMEASURED = "only remeasured", "not remeasured"


@dataclass(frozen=True, slots=True)
class ActRow:
    """An act; `why_not` is the code of the first thing against it, "" where it may be done. `right`
    is what a role needs for it; `ask` names who may where the person may not; `by` is a day that
    stands against it."""

    act: str
    right: str
    why_not: str = ""
    ask: str = ""
    by: date | None = None

    @property
    def may(self) -> bool:
        """Whether it may be done now."""
        return not self.why_not


def acts_for(here: Here, number: str, person: Person, today: date) -> tuple[ActRow, ...]:
    """Every act of the page on a variation, in the page's order. Raises CannotFollow where there
    is none of that number."""
    contract, case = here.contract, here.contract.case(number)
    return tuple(_act(act, contract, case, person, today) for act in PAGE_ACTS)


def _act(act: str, contract: Contract, case: Case, person: Person, today: date) -> ActRow:
    right = _RIGHTS.get(act) or RIGHTS[act]
    if contract.closed or (contract.handed_over and act != FINISH):
        return ActRow(act, right, OVER)
    why, ask = _against(act, contract, case, person, today)
    if not why and not person.may(right) and act != SIGN:
        return ActRow(act, right, ROLE)
    return ActRow(act, right, why, ask, case.variation.answer_by if why == TIME_LEFT else None)


def _against(
    act: str, contract: Contract, case: Case, person: Person, today: date
) -> tuple[str, str]:
    """(code of what is against it, who is to be asked), besides the person's role."""
    if act == SIGN:
        return _against_signing(contract, case, person)
    if act == WRITE:
        return ("" if {PRICE, REVISE} & set(allowed(case.state)) else STATE), ""
    if act == CUSTOMERS:
        return _against_customers(case), ""
    if act == MAKE_SAFE:
        return _against_making_safe(case), ""
    if act == CALL_OFF:
        return _against_calling_off(case), ""
    return _against_moving(act, case, today), ""


def _against_customers(case: Case) -> str:
    """Against recording an answer of the customer's."""
    if not case.variation.is_priced:
        return NO_PRICE
    return "" if case.state == ISSUED else STATE


def _against_calling_off(case: Case) -> str:
    """Against the customer's taking back their yes."""
    if CALL_OFF not in allowed(case.state) or case.funding is None:
        return STATE
    return _against_leaving(case)


def _against_leaving(case: Case) -> str:
    """Against leaving a finding as it is."""
    if case.variation.cannot_be_declined:
        return CANNOT
    return "" if case.variation.consequence else NO_CONSEQUENCE


def _against_making_safe(case: Case) -> str:
    if not case.variation.safety:
        return NO_SAFETY
    if case.made_safe:
        return MADE_SAFE
    return "" if case.is_open else STATE


def _against_moving(act: str, case: Case, today: date) -> str:
    """Against a step that is no answer."""
    variation, free = case.variation, case.variation.end in CHARGED_TO_NOBODY
    if act == ISSUE and not variation.is_priced:
        return NO_PRICE
    if act in (CLOSE, ISSUE) and free != (act == CLOSE):
        return CHARGED
    if act not in allowed(case.state):
        return STATE
    late = variation.answer_by is None or today > variation.answer_by
    return TIME_LEFT if act == LAPSE and not late else ""


def _against_signing(contract: Contract, case: Case, person: Person) -> tuple[str, str]:
    """Against the workshop's own approval: its people draw on the contingency, within limits."""
    variation = case.variation
    if not variation.is_priced:
        return NO_PRICE, ""
    if APPROVE not in allowed(case.state):
        return STATE, ""
    if variation.end != CONTINGENCY:
        return CUSTOMERS_ONLY, may_agree(contract, case, person.name).ask
    if signers(contract, case):
        return "", ""
    ask = may_agree(contract, case, person.name).ask
    return (LIMIT if ask else NOBODY), ask


def signers(contract: Contract, case: Case) -> tuple[str, ...]:
    """Those of the workshop who may approve a variation, by name."""
    return tuple(
        name
        for name, authority in contract.authorities.items()
        if authority.side == WORKSHOP
        and (authority.blanket or case.state != "draft")
        and may_agree(contract, case, name).may
    )


def answers_for(case: Case) -> tuple[ActRow, ...]:
    """What the customer may answer, with what is against each."""
    return tuple(ActRow(act, ANSWER, why) for act, why in _answers(case))


def _answers(case: Case) -> Iterator[tuple[str, str]]:
    variation, possible = case.variation, allowed(case.state)
    if CALL_OFF in possible:
        yield CALL_OFF, _against_calling_off(case)
        return
    remeasured = variation.end == REMEASURED
    fixed = CANNOT if variation.cannot_be_declined else ""
    against = {
        APPROVE: REMEASURED_ONLY if remeasured else "",
        PART_APPROVE: ONE_LINE if len(variation.lines) < 2 else "",  # noqa: PLR2004 - some, not all
        AGREE: "" if remeasured else NOT_REMEASURED,
        DECLINE: _against_leaving(case),
        DEFER: fixed,
        QUERY: "",
    }
    for act, why in against.items():
        yield act, why if act in possible else STATE


def main_act(rows: tuple[ActRow, ...]) -> str:
    """The act that is due next; "" for none. Within a drawing right nobody else is asked, so the
    workshop's own approval comes before issuing; what ends a case without an answer never is due.
    """
    may = {row.act for row in rows if row.may}
    due = (SIGN, CUSTOMERS, CLOSE, ISSUE, RELEASE, FINISH, WRITE)
    return next((act for act in due if act in may), "")


__all__ = [
    "CANNOT", "CHARGED", "CUSTOMER", "CUSTOMERS", "CUSTOMERS_ONLY", "LIMIT", "MADE_SAFE",
    "MAKE_SAFE", "NOBODY", "NOT_REMEASURED", "NO_CONSEQUENCE", "NO_PRICE", "NO_SAFETY", "ONE_LINE",
    "OVER", "PAGE_ACTS", "REMEASURED_ONLY", "ROLE", "SIGN", "STATE", "TIME_LEFT", "WRITE", "ActRow",
    "acts_for", "answers_for", "main_act", "signers",
]  # fmt: skip
