"""Acts on a variation, answers and grounds in words; and why something cannot be done."""

from __future__ import annotations

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.trade_words import roles_words
from estimator.desktop.variation_words import limit_words, state_words
from estimator.domain.contract import states
from estimator.services import case_acts
from estimator.services.case_acts import ActRow
from estimator.services.show_case import ApproverRow, GroundRow


def act_word(act: str, state: str = "") -> str:
    """What a button says."""
    return {
        case_acts.WRITE: _("Price it") if state == states.FOUND else _("Revise"),
        states.ISSUE: _("Issue"),
        case_acts.CUSTOMERS: _("Record answer"),
        case_acts.SIGN: _("Approve"),
        states.CLOSE: _("Close, not charged"),
        states.WITHDRAW: _("Withdraw"),
        states.LAPSE: _("Let lapse"),
        case_acts.MAKE_SAFE: _("Made safe"),
        states.RELEASE: _("Release to work"),
        states.FINISH: _("Work is done"),
        states.CALL_OFF: _("Call it off"),
    }.get(act, act)


def why_not_words(row: ActRow, state: str, say: Formats) -> str:
    """Why an act cannot be done now, in words; "" where it can."""
    if row.may:
        return ""
    if row.why_not == case_acts.ROLE:
        return _("for: {roles}").format(roles=roles_words(row.right))
    if row.why_not == case_acts.LIMIT:
        return _("above the workshop's limits; ask {who}").format(who=row.ask)
    if row.why_not == case_acts.CUSTOMERS_ONLY:
        if not row.ask:
            return _("only the customer may agree to it")
        return _("only the customer may; ask {who}").format(who=row.ask)
    if row.why_not == case_acts.TIME_LEFT:
        return _("may be answered until {day}").format(day=say.day(row.by))
    if row.why_not == case_acts.CHARGED:
        return (
            _("somebody is charged for it; it needs an answer")
            if row.act == states.CLOSE
            else _("nobody is charged for it; close it")
        )
    return _plain_reasons(state).get(row.why_not, row.why_not)


def _plain_reasons(state: str) -> dict[str, str]:
    word = state_words().get(state, state)
    return {
        case_acts.STATE: _("not while it is: {state}").format(state=word.lower()),
        case_acts.OVER: _("the machine is handed over"),
        case_acts.NO_PRICE: _("it has no price yet"),
        case_acts.NO_SAFETY: _("not marked as a safety matter"),
        case_acts.MADE_SAFE: _("recorded already"),
        case_acts.NOBODY: _("nobody named may agree; amend the authority"),
        case_acts.CANNOT: _("cannot be declined"),
        case_acts.NO_CONSEQUENCE: _("write the consequence of declining first"),
        case_acts.ONE_LINE: _("it has a single line"),
        case_acts.REMEASURED_ONLY: _("measured at quoted rates: it is agreed to"),
        case_acts.NOT_REMEASURED: _("only for lines measured again"),
    }


def answer_words() -> dict[str, str]:
    """What a customer may answer."""
    return {
        states.APPROVE: _("Approve"),
        states.PART_APPROVE: _("Approve in part"),
        states.AGREE: _("Agree to the measure"),
        states.DECLINE: _("Decline"),
        states.DEFER: _("Defer"),
        states.QUERY: _("Ask back"),
        states.CALL_OFF: _("Call it off"),
    }


def ground_words(row: GroundRow, say: Formats) -> str:
    """One ground for or against, in words."""
    amount = say.money(row.amount) if row.amount is not None else ""
    limit = say.money(row.limit) if row.limit is not None else ""
    texts = {
        **limit_words(),
        "side": (_("theirs to fund"), _("only the customer may agree to the contract sum")),
        "own": (_("not their own above their limit"), _("their own, above their limit")),
        "no-authority": ("", _("no authority given on this job")),
    }  # fmt: skip
    holds, against = texts.get(row.code, ("", row.code))
    return (holds if row.holds else against).format(amount=amount, limit=limit)


def limits_words(row: ApproverRow, say: Formats) -> str:
    """How far somebody's authority goes."""
    each = row.limit_each
    if each is None and row.limit_total is None:
        return _("without limit")
    if each is not None and not each:
        return _("approves nothing")
    parts = []
    if each is not None:
        parts.append(_("to {sum} for one").format(sum=say.money(each)))
    if row.limit_total is not None:
        parts.append(_("{sum} in all").format(sum=say.money(row.limit_total)))
    return ", ".join(parts)
