"""What Alt+1 to Alt+5 can do with a row of the scope, and why it cannot where it cannot. No Qt."""

from __future__ import annotations

from dataclasses import dataclass

from estimator.desktop.language import _, ngettext
from estimator.desktop.trade_words import disposition_word
from estimator.services.show_scope import PART, ScopeRow

REFUSED, PROPOSAL, WAY, OVERRULE, EITHER = "refused", "proposal", "way", "overrule", "either"


@dataclass(frozen=True, slots=True)
class Decision:
    """`what` is refused, proposal (the rule's word stands again), way (chosen if it is found
    worn), overrule (the finding, with a reason), or either of the last two as the user says.
    `words` tell why not, or what follows."""

    what: str
    words: str = ""


def decision(row: ScopeRow, disposition: str) -> Decision:
    """What choosing a disposition for a row comes to."""
    if row.kind != PART:
        return Decision(REFUSED, _not_a_part(row))
    if row.outside:
        return Decision(REFUSED, _("This part is outside the scope, whatever is found."))
    if not row.finding:
        return _without_finding(row, disposition)
    if row.overruled and disposition == row.proposal:
        return Decision(PROPOSAL)
    if disposition == row.disposition and not _way_matters(row, disposition):
        return Decision(REFUSED, _("It is so already."))
    if row.rests.unseen and disposition in row.ways:
        return Decision(EITHER, _several(row))
    return Decision(OVERRULE, _several(row))


def _way_matters(row: ScopeRow, disposition: str) -> bool:
    return row.rests.unseen and disposition in row.ways


def _not_a_part(row: ScopeRow) -> str:
    if row.twice is not None:
        return _("An operation counted twice: Alt+1 keeps one, Alt+2 keeps both.")
    return _("This is work, not a part: Del takes it out, Ins puts a row in.")


def _without_finding(row: ScopeRow, disposition: str) -> Decision:
    """A part nobody looked at: only its way can be chosen."""
    if row.level_always:
        return Decision(
            REFUSED, _("It is renewed at every rebuild of this level. Del takes the line out.")
        )
    if disposition in row.ways:
        return Decision(WAY)
    if disposition == "open" and row.rests.how == "chance":
        words = _("It is likely worn by its hours, and priced. A finding can say otherwise.")
        return Decision(REFUSED, words)
    if disposition == "open":
        return Decision(REFUSED, _("It is open until somebody looks."))
    if disposition == "reuse":
        words = _("No finding to overrule: record what was seen on Inspection (Ctrl+2) first.")
        return Decision(REFUSED, words)
    offered = ", ".join(disposition_word(way).casefold() for way in row.ways) or _("none")
    words = _("No finding to overrule, and {way} is not offered if it is worn. Offered: {ways}.")
    return Decision(
        REFUSED, words.format(way=disposition_word(disposition).casefold(), ways=offered)
    )


def _several(row: ScopeRow) -> str:
    """What becomes of the other parts of the same finding."""
    others = row.parts_of_finding - 1
    if others < 1:
        return _("{finding} is overruled; the rule's proposal stays on record.").format(
            finding=row.finding
        )
    return ngettext(
        "{finding} speaks of {n} other part, which keeps its own; this one gets a finding of"
        " its own.",
        "{finding} speaks of {n} other parts, which keep their own; this one gets a finding of"
        " its own.",
        others,
    ).format(finding=row.finding, n=others)
