"""What the Price page says in words, from rows of figures. No Qt."""

from __future__ import annotations

from decimal import Decimal

from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _, ngettext
from estimator.desktop.trade_words import looked_word
from estimator.domain.money import Money
from estimator.services.show_price import GroupRow, PriceRow, Rests, TotalRow

FIRM, PROVISIONAL = "firm", "provisional"


def certainty_word(certainty: str) -> str:
    """Firm, provisional or exposed in the language in use."""
    return {
        "firm": _("firm"),
        "provisional": _("provisional"),
        "exposed": _("exposed"),
    }.get(certainty, certainty)


def kind_word(kind: str) -> str:
    """Labour, parts or outwork in the language in use."""
    return {"labour": _("Labour"), "parts": _("Parts"), "outwork": _("Outwork")}.get(kind, kind)


def rests_words(rests: Rests, say: Formats) -> str:
    """What a row rests on, in a few words."""
    share = say.percent(rests.share) if rests.share is not None else ""
    if rests.how in ("typed", "own", "hand"):
        return rests.words
    if rests.how == "finding":
        kinds = ", ".join(looked_word(one) for one in rests.words.split(", "))
        return f"{', '.join(rests.findings)}, {kinds}"
    if rests.how == "chance":
        return _("by hours, {share}").format(share=share) if share else rests.words
    if rests.how == "found" and rests.count is not None:
        return _("{n} expected").format(n=say.number(rests.count))
    if rests.how == "open":
        return _("not seen, {share} ({on})").format(share=share, on=looked_word(rests.words))
    return ""


def group_rests(head: GroupRow) -> str:
    """How many parts of a group are not seen, or how many of its lines may move."""
    if head.open_parts:
        return ngettext("{n} not seen", "{n} not seen", head.open_parts).format(n=head.open_parts)
    if head.moving:
        return ngettext("{n} may move", "{n} may move", head.moving).format(n=head.moving)
    return ""


def certainty_words(row: PriceRow | GroupRow, say: Formats) -> str:
    """What the certainty bar shows, for those who cannot see it and for the clipboard."""
    parts = (
        (_("firm"), row.firm),
        (_("provisional"), row.provisional),
        (_("exposed"), row.contingency),
    )
    shown = [f"{word} {say.sum(sum_)}" for word, sum_ in parts if sum_ is not None and sum_.minor]
    return ", ".join(shown) or DASH


def range_words(row: PriceRow, currency: str, say: Formats) -> str:
    """Low, likely and high of a line."""
    if row.low == row.high:
        return ""
    sums = (Money(one, currency) for one in (row.low, row.likely, row.high))
    return f" {DASH} ".join(say.sum(one) for one in sums)


def total_title(row: TotalRow, say: Formats) -> str:
    """What a total is."""
    share = say.percent(row.share, _places(row.share)) if row.share is not None else ""
    return {
        "work": _("Priced work"),
        "discount": _("Discount, {share} of firm parts").format(share=share),
        "freight": _("Carriage in"),
        "levies": _("Levies"),
        "contingency": _("Contingency, {share}").format(share=share),
        "net": _("Price, before tax"),
        "tax": f"{row.words}, {share}",
        "gross": _("Price, with tax"),
    }[row.key]


def _places(share: Decimal) -> int:
    """A whole per cent is written whole."""
    return 0 if (share * 100) % 1 == 0 else 1


def total_words(row: TotalRow, fresh: bool) -> str:
    """What a total rests on: which bound rules, names of levies."""
    if row.key == "contingency" and not fresh:
        return _("from before, working out")
    if row.key == "contingency":
        return {
            "percentile": _("percentile rules"),
            "mean": _("mean rules"),
            "nothing": _("nothing is open"),
        }.get(row.words, row.words)
    return row.words if row.key == "levies" else ""


def plain(value: Decimal | Money | None, say: Formats) -> str:
    """A figure as a spreadsheet takes it: the locale's decimal mark, no grouping, blank for
    nothing."""
    if value is None:
        return ""
    amount = value.amount if isinstance(value, Money) else value
    text = f"{amount:f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return text.replace(".", say.decimal)
