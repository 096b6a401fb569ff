"""What the page says in words: heads, what waits, why something may not be done, grounds."""

from __future__ import annotations

from collections.abc import Mapping

from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _, ngettext
from estimator.desktop.trade_words import role_word, roles_words
from estimator.desktop.variation_words import limit_words
from estimator.domain.contract import states
from estimator.domain.contract.variation import (
    BY_SUPPLIER,
    BY_WORKSHOP,
    CONTINGENCY,
    CONTRACT_SUM,
    REMEASURED,
)
from estimator.domain.money import Money
from estimator.domain.record import EXPIRED
from estimator.services import case_acts
from estimator.services.case_acts import ActRow
from estimator.services.show_approval import ASKED_ALREADY, NOT_ISSUED
from estimator.services.show_case import GroundRow
from estimator.services.show_desk import ANSWER, RELEASE, VARIATION, YOU, WaitingRow

EVERYONE = "everyone"


def head_words() -> dict[str, str]:
    """Heads of the list."""
    return {
        YOU: _("Waits on you"),
        "service manager": _("Waits on service manager"),
        "estimator": _("Waits on estimator"),
        "customer": _("Waits on customer"),
        "foreman": _("Waits on foreman, work"),
    }


def side_words() -> dict[str, str]:
    """Choices of the left side."""
    return {
        EVERYONE: _("Everyone"),
        YOU: _("You"),
        "service manager": _("Manager"),
        "estimator": _("Estimator"),
        "customer": _("Customer"),
        "foreman": _("Foreman, work"),
    }


def funded_words() -> dict[str, str]:
    """What funds a variation, within a line."""
    return {
        CONTINGENCY: _("contingency"),
        CONTRACT_SUM: _("contract sum"),
        REMEASURED: _("remeasured"),
        BY_WORKSHOP: _("workshop"),
        BY_SUPPLIER: _("supplier"),
    }


def state_words() -> dict[str, str]:
    """States in which a variation waits."""
    return {
        states.FOUND: _("no price yet"),
        states.DRAFT: _("to issue"),
        states.ISSUED: _("issued"),
        states.QUERIED: _("queried"),
        states.APPROVED: _("approved, not released"),
        states.PART_APPROVED: _("approved in part, not released"),
        states.AGREED: _("agreed, not released"),
    }


def number_words(row: WaitingRow) -> str:
    """The variation with its revision, or the revision of a quote."""
    if row.kind != VARIATION:
        return _("rev {rev}").format(rev=row.number)
    return row.number if not row.revision else f"{row.number}.{row.revision}"


def title_words(row: WaitingRow, classes: Mapping[str, str]) -> str:
    """What waits."""
    if row.kind == VARIATION:
        return row.title
    machine = classes.get(row.class_id, row.class_id)
    machine = machine[:1].upper() + machine[1:]
    if row.kind == RELEASE:
        return _("{machine}: release the quote").format(machine=machine)
    return _("{machine}: answer to the quote").format(machine=machine)


def range_words(low: Money | None, high: Money | None, say: Formats) -> str:
    """Low to high."""
    if low is None or high is None:
        return DASH
    return f"{say.number(low.amount)}{DASH}{say.number(high.amount)}"


def second_words(row: WaitingRow, say: Formats) -> str:
    """The line below what waits: sum or range, who funds it, who is asked, its state."""
    if row.kind != VARIATION:
        price = say.money(row.amount) if row.amount is not None else _("no price yet")
        return f"{price}; {row.customer}"
    if row.amount is None:
        range_ = range_words(row.low, row.high, say)
        return _("no price: {range}").format(range=range_)
    free = row.end in (BY_WORKSHOP, BY_SUPPLIER)
    parts = [_("not charged") if free else say.money(row.amount)]
    parts.append(funded_words().get(row.end, row.end))
    if row.ask:
        parts.append(row.ask.split(", ")[0])
    if row.state != states.ISSUED and not free:
        parts.append(state_words().get(row.state, row.state))
    return "; ".join(parts)


def stops_words(row: WaitingRow, activities: Mapping[str, str], say: Formats) -> str:
    """What cannot go on, or by when an answer is owed."""
    if row.kind == ANSWER:
        day = say.short_day(row.answer_by) if row.answer_by is not None else DASH
        if row.state == EXPIRED:
            return _("expired {day}").format(day=day)
        return _("valid until {day}").format(day=day)
    if row.overdue and row.answer_by is not None:
        return _("answer owed {day}").format(day=say.short_day(row.answer_by))
    if row.kind == RELEASE:
        return _("nothing goes out")
    activity = activities.get(row.stops, row.stops)
    if not activity:
        return _("nothing yet")
    if row.costs_now:
        return _("stands: {activity}").format(activity=activity)
    return activity


def days_words(days: int, say: Formats) -> str:
    """Working days."""
    return _("{n} d").format(n=say.number(days))


def cost_words(row: WaitingRow, say: Formats, currency: str) -> tuple[str, str]:
    """(what waiting has cost, what it goes on costing); with its sign where it is not in
    `currency`."""
    if row.per_day is None:
        return DASH, ""
    shown = say.sum if row.per_day.currency == currency else say.money
    a_day = shown(row.per_day)
    if row.costs_now:
        return shown(row.cost) if row.cost else "0", _("{sum} a day").format(sum=a_day)
    assert row.costs_from is not None
    day = say.short_day(row.costs_from)
    return _("none yet"), _("{sum} a day from {day}").format(sum=a_day, day=day)


# May you?


def ground_words(row: GroundRow, say: Formats, priced_by: str = "") -> str:
    """One ground for or against whoever works here, in words."""
    if row.code == "own" and row.holds and priced_by:
        return _("priced by {who}, not by you").format(who=priced_by)
    amount = say.money(row.amount) if row.amount is not None else ""
    limit = say.money(row.limit) if row.limit is not None else ""
    texts = {
        **limit_words(),
        "side": (_("yours to agree to"), _("only the customer may agree to the contract sum")),
        "own": (_("not your own above your limit"), _("your own, above your limit")),
        "no-authority": ("", _("no authority given on this job")),
    }  # fmt: skip
    holds, against = texts.get(row.code, ("", row.code))
    return (holds if row.holds else against).format(amount=amount, limit=limit)


def act_words() -> dict[str, str]:
    """What a button says."""
    return {
        states.APPROVE: _("Approve"),
        states.PART_APPROVE: _("Approve in part"),
        states.QUERY: _("Send back"),
        states.DECLINE: _("Decline"),
        states.PASS_ON: _("Pass on"),
        states.CLOSE: _("Close, not charged"),
        states.RELEASE: _("Release to work"),
    }


def why_not_words(row: ActRow, state: str) -> str:
    """Why an act cannot be done now, in words; "" where it can."""
    if row.may:
        return ""
    if row.why_not == case_acts.ROLE:
        return _("for: {roles}").format(roles=roles_words(row.right))
    if row.why_not == case_acts.LIMIT:
        return _("above your limits; ask {who}").format(who=row.ask)
    if row.why_not == case_acts.CUSTOMERS_ONLY:
        if not row.ask:
            return _("only the customer may agree to it")
        return _("only the customer may; ask {who}").format(who=row.ask)
    word = state_words().get(state, state)
    return {
        case_acts.STATE: _("not while it is: {state}").format(state=word),
        case_acts.OVER: _("the machine is handed over"),
        case_acts.NO_PRICE: _("it has no price yet"),
        case_acts.NOBODY: _("nobody named may agree; amend the authority"),
        case_acts.CANNOT: _("cannot be declined"),
        case_acts.NO_CONSEQUENCE: _("write the consequence of declining first"),
        case_acts.ONE_LINE: _("it has a single line"),
        case_acts.CHARGED: _("somebody is charged for it; it needs an answer"),
        NOT_ISSUED: _("not issued yet: pass it on first"),
        ASKED_ALREADY: _("somebody else is asked already"),
    }.get(row.why_not, row.why_not)


def on_you_words(count: int, costing: int, overdue: int) -> str:
    """What waits on whoever works here, in a sentence or three."""
    parts = [ngettext("{n} thing waits on you.", "{n} things wait on you.", count).format(n=count)]
    if costing:
        parts.append(
            ngettext("{n} costs money each day.", "{n} cost money each day.", costing).format(
                n=costing
            )
        )
    if overdue:
        parts.append(ngettext("{n} is overdue.", "{n} are overdue.", overdue).format(n=overdue))
    return " ".join(parts)


def asked_words(ask: str, on: str) -> str:
    """Whom it waits on."""
    return ask or role_word(on)
