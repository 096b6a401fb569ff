"""What the header says of a job under contract: current sum, contingency left, finish, and the bar
in its four parts."""

from __future__ import annotations

from dataclasses import dataclass

from estimator.desktop.contract_desk import ContractDesk
from estimator.desktop.drawing.bars import CertaintyParts
from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.services.show_contract_head import ContractHead

Words = tuple[str, str, str]  # title, figure, note


@dataclass(frozen=True, slots=True)
class ContractWords:
    """The header in words: the three figures, the legend of the bar, and the bar itself."""

    figures: tuple[Words, Words, Words]
    legend: tuple[str, str, str, str]
    bar: CertaintyParts
    bar_says: str


def contract_words(contract: ContractDesk, say: Formats) -> ContractWords | None:
    """The header of the contract on the desk; None until its forecast is known. What is tried out
    counts."""
    head = contract.head_tried or contract.head
    if head is None:
        return None
    was = contract.head if contract.head_tried is not None else contract.head_before
    old = "" if contract.fresh else _("from before, working out")
    legend = _legend(head, say)
    return ContractWords(
        (_sum(head, say), _left(head, say), _finish(head, say, old)),
        legend,
        contract_parts(head, was),
        ". ".join(one for one in legend if one),
    )


def contract_parts(head: ContractHead, was: ContractHead | None) -> CertaintyParts:
    """The bar; where the exposed part grew, a ghost edge stands where it ended."""
    grew = was is not None and was.exposed.minor < head.exposed.minor
    ghost = was.exposed_end if was is not None and grew else None
    range_ = head.range
    return CertaintyParts(
        firm=head.firm.minor,
        provisional=head.provisional.minor,
        exposed=head.exposed.minor,
        spare=head.spare.minor,
        ghost=ghost,
        full=max(head.shown_end, ghost or 0),
        unpriced=(range_.low.minor, range_.likely.minor, range_.high.minor) if range_ else None,
    )


def _sum(head: ContractHead, say: Formats) -> Words:
    agreed = say.money(head.contract_sum)
    note = _("contract {sum}").format(sum=agreed)
    if head.changes.minor:
        sign = "+" if head.changes.minor > 0 else ""
        note = _("contract {sum}, changes {change}").format(
            sum=agreed, change=sign + say.money(head.changes)
        )
    return _("Current sum, before tax"), say.money(head.current_sum), note


def _left(head: ContractHead, say: Formats) -> Words:
    note = _("of {held}").format(held=say.money(head.held))
    if head.left_if_agreed is not None:
        note = _("of {held}; {sum} if priced ones are agreed").format(
            held=say.money(head.held), sum=say.money(head.left_if_agreed)
        )
    return _("Contingency left"), say.money(head.left), note


def _finish(head: ContractHead, say: Formats, old: str) -> Words:
    title = _("Finish, {share}").format(share=say.percent(head.confidence))
    note = old or _("half: {half}").format(half=say.day(head.finish_half))
    return title, say.weekday(head.finish_covered), note


def _legend(head: ContractHead, say: Formats) -> tuple[str, str, str, str]:
    provisional = _("Provisional {sum}").format(sum=say.money(head.provisional))
    if head.found.minor:
        provisional = _("Provisional {sum}, of it {found} found").format(
            sum=say.money(head.provisional), found=say.money(head.found)
        )
    share = say.percent(head.confidence)
    exposed = _("Exposed {sum} at {share}").format(sum=say.money(head.exposed), share=share)
    spare = _("Not spoken for {sum}").format(sum=say.money(head.spare))
    if head.short.minor:
        spare = _("Short by {sum}").format(sum=say.money(head.short))
    if head.unpriced:
        spare = _("No price yet: {names}").format(names=", ".join(head.unpriced))
    return _("Firm {sum}").format(sum=say.money(head.firm)), provisional, exposed, spare
