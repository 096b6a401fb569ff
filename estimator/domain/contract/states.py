"""States of a variation and the moves between them: one table, which everything else obeys."""

from __future__ import annotations

from collections.abc import Mapping

from estimator.domain.fixed_words import fixed
from estimator.domain.wording import joined, worded

FOUND, DRAFT, ISSUED, QUERIED = "found", "draft", "issued", "queried"
APPROVED, PART_APPROVED = "approved", "part approved"
DECLINED, DEFERRED, LAPSED = "declined", "deferred", "lapsed"
AGREED, CLOSED, WITHDRAWN = "agreed", "closed", "withdrawn"
RELEASED, DONE = "released", "done"
STATES = (
    FOUND, DRAFT, ISSUED, QUERIED, APPROVED, PART_APPROVED, DECLINED, DEFERRED, LAPSED, AGREED,
    CLOSED, WITHDRAWN, RELEASED, DONE,
)  # fmt: skip

PRICE, ISSUE, QUERY, REVISE = "price", "issue", "query", "revise"
APPROVE, PART_APPROVE, DECLINE, DEFER = "approve", "approve in part", "decline", "defer"
AGREE, CLOSE, LAPSE, WITHDRAW = "agree", "close", "lapse", "withdraw"
RELEASE, FINISH = "release", "finish"
STOP = "stop"  # the whole job's, after teardown: no act of one variation
CONFIRM = "confirm done"  # said when the machine is handed over: no act of one variation either
CALL_OFF = "call off"  # the customer takes their yes back, before the work is done
PASS_ON = "pass on"  # whoever is asked leaves the answer to the next who may
ACTS = (
    PRICE, ISSUE, QUERY, REVISE, APPROVE, PART_APPROVE, DECLINE, DEFER, AGREE, CLOSE, LAPSE,
    WITHDRAW, RELEASE, FINISH, PASS_ON, STOP, CONFIRM, CALL_OFF,
)  # fmt: skip
DECISIONS = (APPROVE, PART_APPROVE, DECLINE, DEFER, AGREE, CALL_OFF)
NOT_OF_ONE = (STOP, CONFIRM)  # acts of the whole job

MOVES: Mapping[tuple[str, str], str] = {
    (FOUND, PRICE): DRAFT,
    (FOUND, CLOSE): CLOSED,
    (FOUND, WITHDRAW): WITHDRAWN,
    (DRAFT, ISSUE): ISSUED,
    (DRAFT, APPROVE): APPROVED,  # within a drawing right given beforehand
    (DRAFT, CLOSE): CLOSED,
    (DRAFT, REVISE): DRAFT,
    (DRAFT, WITHDRAW): WITHDRAWN,
    (ISSUED, QUERY): QUERIED,
    (ISSUED, APPROVE): APPROVED,
    (ISSUED, PART_APPROVE): PART_APPROVED,
    (ISSUED, DECLINE): DECLINED,
    (ISSUED, DEFER): DEFERRED,
    (ISSUED, AGREE): AGREED,
    (ISSUED, LAPSE): LAPSED,
    (ISSUED, REVISE): DRAFT,
    (ISSUED, WITHDRAW): WITHDRAWN,
    (ISSUED, PASS_ON): ISSUED,
    (QUERIED, ISSUE): ISSUED,
    (QUERIED, REVISE): DRAFT,
    (QUERIED, WITHDRAW): WITHDRAWN,
    (DECLINED, REVISE): DRAFT,
    (DEFERRED, REVISE): DRAFT,
    (LAPSED, REVISE): DRAFT,
    (APPROVED, RELEASE): RELEASED,
    (PART_APPROVED, RELEASE): RELEASED,
    (AGREED, RELEASE): RELEASED,
    (RELEASED, FINISH): DONE,
    (CLOSED, RELEASE): RELEASED,  # the workshop's or supplier's own cost: done all the same
    # An act of its own, so that a late "no" never overrides a "yes" that came in between.
    (APPROVED, CALL_OFF): DECLINED,
    (PART_APPROVED, CALL_OFF): DECLINED,
    (RELEASED, CALL_OFF): DECLINED,
    # What is said to be done as the machine is handed over.
    (APPROVED, CONFIRM): DONE,
    (PART_APPROVED, CONFIRM): DONE,
    (AGREED, CONFIRM): DONE,
    (RELEASED, CONFIRM): DONE,
    # What nobody began to do is left undone, whether it was agreed to or not.
    (FOUND, STOP): LAPSED,
    (DRAFT, STOP): LAPSED,
    (ISSUED, STOP): LAPSED,
    (QUERIED, STOP): LAPSED,
    (APPROVED, STOP): LAPSED,
    (PART_APPROVED, STOP): LAPSED,
    (AGREED, STOP): LAPSED,
}
WAITING_ON: Mapping[str, str] = {
    FOUND: "estimator",
    DRAFT: "estimator",
    QUERIED: "estimator",
    ISSUED: "approver",
    APPROVED: "foreman",
    PART_APPROVED: "foreman",
    AGREED: "foreman",
    RELEASED: "foreman",
}
OPEN = (FOUND, DRAFT, ISSUED, QUERIED)  # nobody has said yes or no
AUTHORISED = (APPROVED, PART_APPROVED, AGREED, RELEASED, DONE)
NOT_DONE = (DECLINED, DEFERRED, LAPSED)  # listed for hand-over


class NoSuchMove(ValueError):
    """An act that the state does not allow; says which it does."""


def moved(state: str, act: str) -> str:
    """The state after an act. Raises NoSuchMove."""
    try:
        return MOVES[state, act]
    except KeyError:
        possible = joined(map(fixed, allowed(state))) or worded("nothing more")
        said = worded(
            "what is {state} cannot {act}; possible: {possible}",
            state=fixed(state),
            act=fixed(act),
            possible=possible,
        )
        raise NoSuchMove(said) from None


def allowed(state: str) -> tuple[str, ...]:
    """Acts on a variation that a state allows, in the table's order."""
    return tuple(act for (here, act) in MOVES if here == state and act not in NOT_OF_ONE)
