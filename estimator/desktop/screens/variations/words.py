"""The Variations page's rows in words: states, ends, acts, reasons, the sentence below the bar."""

from __future__ import annotations

from estimator.desktop.drawing.marks import Mark
from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _, ngettext
from estimator.desktop.trade_words import role_word
from estimator.desktop.variation_words import end_words, state_words
from estimator.domain.contract import states
from estimator.domain.contract.acceptance import TO_CUSTOMER, TO_WORKSHOP
from estimator.domain.contract.variation import (
    BY_SUPPLIER,
    BY_WORKSHOP,
    CONTINGENCY,
)
from estimator.domain.money import Money
from estimator.services.show_case import LEAVE
from estimator.services.show_drawn_down import CLOSED, COVERED, SHORT, DrawnDown
from estimator.services.show_variations import (
    ACCEPTANCE,
    CASE,
    EXCHANGE,
    HAND_OVER,
    MEASURED_AGAIN,
    NO_PRICE,
    RETURNED,
    STRIP,
    LedgerLine,
)


def way_words() -> dict[str, str]:
    """Ways of dealing with a finding."""
    return {
        "recondition": _("Recondition"),
        "exchange": _("Exchange"),
        "replace": _("New"),
        "defer": _("Defer"),
        LEAVE: _("Leave it"),
        "": _("As priced"),
    }


_MARKS = {
    states.APPROVED: Mark.DONE, states.PART_APPROVED: Mark.DONE, states.AGREED: Mark.DONE,
    states.DONE: Mark.DONE, states.CLOSED: Mark.DONE, states.QUERIED: Mark.NEEDS_YOU,
    states.DECLINED: Mark.NOT_BEGUN, states.DEFERRED: Mark.NOT_BEGUN,
    states.LAPSED: Mark.NOT_BEGUN, states.WITHDRAWN: Mark.NOT_BEGUN,
}  # fmt: skip


def line_state(line: LedgerLine) -> tuple[Mark | None, str]:
    """Mark and words of a row's state; no mark on rows that are no variation."""
    if line.kind in (ACCEPTANCE, STRIP):
        return Mark.DONE, _("Accepted")
    if line.kind != CASE:
        return Mark.DONE, _("Recorded")
    mark, words = _case_state(line)
    if line.made_safe:
        words = _("{state}, made safe").format(state=words)
    return mark, words


def _case_state(line: LedgerLine) -> tuple[Mark, str]:
    if line.state == states.FOUND:
        return Mark.IN_HAND, _("No price yet")
    if line.state == states.ISSUED:
        if line.waits_on == "service manager":
            return Mark.NEEDS_YOU, _("Manager to sign")
        return Mark.WAITS, _("Customer")
    if line.state == states.DRAFT and line.end in (BY_WORKSHOP, BY_SUPPLIER):
        return Mark.NEEDS_YOU, _("Manager to close")
    if line.state == states.CLOSED:
        supplier = line.end == BY_SUPPLIER
        return (
            (Mark.IN_HAND, _("Claimed back")) if supplier else (Mark.DONE, _("Not charged"))
        )  # fmt: skip
    return _MARKS.get(line.state, Mark.IN_HAND), state_words()[line.state]


def line_title(line: LedgerLine) -> str:
    """What changed, in words."""
    if line.kind == CASE:
        return line.title
    return {
        ACCEPTANCE: _("Contract sum, rev {rev} accepted").format(rev=line.title),
        STRIP: _("Teardown alone, rev {rev} accepted").format(rev=line.title),
        MEASURED_AGAIN: _("Measured again: {place}").format(place=line.place),
        RETURNED: _("Contingency given back"),
        EXCHANGE: _("Exchange units not accepted"),
        HAND_OVER: _("Handed over: what was left"),
    }.get(line.kind, DASH)


def line_number(line: LedgerLine) -> str:
    """Its number."""
    return line.number or DASH


def line_second(line: LedgerLine, say: Formats) -> str:
    """When and where."""
    day = say.day(line.at.astimezone().date())
    if line.kind != CASE:
        return day
    revision = _("rev {n}").format(n=line.revision) if line.revision else ""
    return " \u00b7 ".join(part for part in (revision, day, line.place) if part)


def funded_words(line: LedgerLine, say: Formats) -> str:
    """What funds it; both where an amount was more than what was left."""
    if line.kind != CASE:
        return DASH
    funding, ends = line.funding, end_words()
    if funding is not None and line.end == CONTINGENCY and funding.from_contingency:
        if funding.on_contract_sum:
            return _("{drawn}, rest on the sum").format(drawn=say.sum(funding.from_contingency))
        if funding.on_workshop:
            return _("{drawn}, rest ours").format(drawn=say.sum(funding.from_contingency))
    return ends.get(line.end, line.end)


def signed(sum_: Money | None, say: Formats) -> str:
    """A sum with its sign, plus included."""
    if sum_ is None or not sum_.minor:
        return DASH
    return f"+{say.sum(sum_)}" if sum_.minor > 0 else say.sum(sum_)


def amount_words(line: LedgerLine, say: Formats) -> str:
    """Amount, range, or in brackets what nobody is charged."""
    if line.standing == NO_PRICE or (line.low is not None and line.high is not None):
        return range_words(line.low, line.high, say)
    if line.uncharged is not None:
        return f"({say.sum(line.uncharged)})" if line.uncharged else DASH
    return signed(line.amount, say)


def range_words(low: Money | None, high: Money | None, say: Formats) -> str:
    """Low to high."""
    if low is None or high is None:
        return DASH
    return f"{say.number(low.amount)}{DASH}{say.number(high.amount)}"


def days_words(line: LedgerLine, say: Formats) -> str:
    """Working days it adds."""
    if line.standing == NO_PRICE:
        return "?"
    return DASH if line.days is None else f"+{say.number(line.days)}"


def unspent_words(unspent: str) -> str:
    """Whose what is left at the end is."""
    if unspent == TO_CUSTOMER:
        return _("What is left at the end is credited to the customer.")
    if unspent == TO_WORKSHOP:
        return _("What is left at the end stays with the workshop.")
    return _("What is left at the end is shared by halves.")


def verdict(drawn: DrawnDown, say: Formats) -> tuple[Mark, str]:
    """Whether the contingency is enough, in one sentence with its mark."""
    share = say.percent(drawn.confidence)
    if drawn.mark == CLOSED:
        return Mark.DONE, _("Handed over; nothing is open any more.")
    if drawn.mark == COVERED:
        return Mark.DONE, _(
            "Covered: {left} left is enough for what waits and for what may still be found, at "
            "{share}."
        ).format(left=say.money(drawn.left), share=share)
    if drawn.mark == SHORT:
        return Mark.NEEDS_YOU, _(
            "Short by {sum}: what waits and what may still be found, at {share}, come to more than "
            "the {left} left."
        ).format(sum=say.money(drawn.short_by), share=share, left=say.money(drawn.left))
    names = ", ".join(one.number for one in drawn.unpriced) or _("a finding")
    said = ngettext(
        "Cannot yet say whether the contingency is enough: {names} has no price",
        "Cannot yet say whether the contingency is enough: {names} have no price",
        max(len(drawn.unpriced), 1),
    ).format(names=names)
    past = [one.number for one in drawn.unpriced if one.runs_past]
    if not past:
        return Mark.NEEDS_YOU, said + "."
    tail = ngettext(
        "; its range runs past what is left.", "; their ranges run past what is left.", len(past)
    )
    return Mark.NEEDS_YOU, said + tail


def waits_words(on: str, ask: str) -> str:
    """Whom it waits on."""
    if on == "customer":
        return ask or _("the customer")
    return ask or role_word(on)


def span_words(hours: float, say: Formats) -> str:
    """How long something lasted: days and hours."""
    whole = int(hours + 0.5)
    days, rest = divmod(whole, 24)
    if days and rest:
        return _("{days} d {hours} h").format(days=say.number(days), hours=say.number(rest))
    if days:
        return _("{days} d").format(days=say.number(days))
    return _("{hours} h").format(hours=say.number(rest))
