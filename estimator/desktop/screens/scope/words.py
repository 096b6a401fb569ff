"""What the Scope page says in words. No Qt."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.telling import told
from estimator.desktop.trade_words import disposition_word, looked_word
from estimator.services.price_rows import Rests
from estimator.services.show_options import WayColumn
from estimator.services.show_scope import GONE, IDLE, PART, ScopeRow

DISPOSITIONS = ("reuse", "recondition", "exchange", "replace", "open")


def way_word(way: str) -> str:
    """A way of putting a part right, as the head of its column."""
    return _("New") if way == "replace" else disposition_word(way)


def done_words(row: ScopeRow) -> str:
    """What is done with a row."""
    if row.kind in (GONE, IDLE):
        return _("Taken out") if row.kind == GONE else _("Change without effect")
    if row.twice is not None:
        return _("the same operation twice")
    if row.kind == PART or row.disposition:
        return disposition_word(row.disposition) or _("Not decided")
    return _("Put in by hand") if row.overruled else _("In scope")


def proposed_words(row: ScopeRow, say: Formats, day: date | None = None) -> str:
    """The second line under what is done: whose word it is."""
    if row.twice is not None:
        if row.first or row.amount is None or row.hours is None:
            return ""
        return _("one less: {hours} h, {amount}").format(
            hours=say.number(-row.hours), amount=say.sum(-row.amount)
        )
    if row.kind == IDLE:
        return _("Del takes it back")
    if row.overruled:
        return _overruled_words(row, say, day)
    if row.kind != PART or row.to_decide:
        return _("nobody has looked") if row.kind == PART else ""
    if row.way and row.rests.how != "finding":
        return _("if worn: {way}").format(way=disposition_word(row.way).casefold())
    return _("as proposed")


def _overruled_words(row: ScopeRow, say: Formats, day: date | None) -> str:
    name = row.overruled_by
    if not name:
        return _("overruled")
    if day is None:
        return _("by {name}").format(name=name)
    return _("by {name}, {day}").format(name=name, day=say.short_day(day))


def rule_words(row: ScopeRow) -> str:
    """Why, in the rule's words."""
    if row.rule:
        return told(row.rule)
    return _("nobody has looked") if row.rests.unseen else ""


def rests_words(rests: Rests, say: Formats) -> str:
    """What a row rests on, in a few words."""
    share = say.percent(rests.share) if rests.share is not None else ""
    if rests.how == "finding":
        return f"{', '.join(rests.findings)}, {looked_word(rests.words)}".rstrip(", ")
    if rests.how == "chance":
        return _("hours, {share}").format(share=share)
    if rests.how == "found" and rests.count is not None:
        return _("{n} expected").format(n=say.number(rests.count))
    if rests.how == "open":
        found = f"{', '.join(rests.findings)}, " if rests.findings else ""
        how = looked_word(rests.words) if rests.findings else _("not seen")
        return f"{found}{how}, {share}" if share else f"{found}{how}"
    return {
        "level": _("this level"),
        "hand": _("by hand"),
        "own": _("line of your own"),
        "nothing": _("not looked at"),
    }.get(rests.how, "")


def lead_words(column: WayColumn, say: Formats) -> str:
    """How long a unit takes to come, or outwork keeps the old one."""
    words = []
    if column.turn_days:
        words.append(_("outwork {n} d").format(n=say.number(column.turn_days)))
    if column.lead_weeks is not None:
        weeks: Decimal = column.lead_weeks
        words.append(_("{n} weeks").format(n=say.number(weeks)) if weeks else _("stock"))
    return ", ".join(words) or _("none")


def old_unit_words(column: WayColumn, say: Formats) -> str:
    """What becomes of the old unit."""
    if column.core is not None:
        return _("core {sum} held").format(sum=say.sum(column.core))
    return _("stays yours") if column.keeps_old else _("goes back")


def warranty_words(column: WayColumn, say: Formats) -> str:
    """Months or hours, whichever comes first."""
    if column.warranty_months is None:
        return ""
    months = _("{n} mo").format(n=column.warranty_months)
    if column.warranty_hours is None:
        return months
    return f"{months}, {say.number(column.warranty_hours)} h"
