"""Entries of the history in words: what was done, by whom, and what changed from what to what."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, date, datetime
from decimal import Decimal

from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _, ngettext
from estimator.desktop.trade_words import role_word
from estimator.desktop.variation_words import cause_words, end_words, state_words
from estimator.domain.contract.changes import Changed
from estimator.domain.money import Money, minor_digits
from estimator.services.history import HistoryEntry

ARROW = "\u2192"
_SUM = re.compile(r"(-?[\d,]+(?:\.\d+)?) ([A-Z]{3})")
_LIMITS = re.compile(r"(.+) for one, (.+) in all")
_RANGE = re.compile(r"(.+ [A-Z]{3}) to (.+ [A-Z]{3}), no price yet")
_READING = re.compile(r"-?\d+\.\d+")
_VARIATION = re.compile(r"(V\d+) (.+)")
_PLACED = re.compile(r"(part|line|authority of|days waited on) (.+)")
_BREAKS = re.compile(r"[ \t\r\n]+")
STATE, SUMS = "state", ("current sum", "contingency left")


def event_words() -> dict[str, str]:
    """What an event of a contract is called, by its name."""
    return {
        "Accepted": _("Accepted"),
        "AuthorityGiven": _("Limits given"),
        "OrderChanged": _("Order changed"),
        "Received": _("Machine received"),
        "Opened": _("Component opened"),
        "Raised": _("Variation raised"),
        "Revised": _("Variation written anew"),
        "Waited": _("Days waited"),
        "MadeSafe": _("Made safe"),
        "ContingencyReturned": _("Contingency given back"),
        "StagePaid": _("Stage paid"),
        "ExchangeSettled": _("Exchange units settled"),
        "StopDecided": _("Stopped"),
        "Tested": _("Tested"),
        "HandedOver": _("Handed over"),
        "AccountClosed": _("Account closed"),
    }


def act_words() -> dict[str, str]:
    """What the program's own acts on a job are called."""
    return {
        "begun": _("Job begun"),
        "taken in": _("Job taken in"),
        "findings added": _("Findings added"),
        "caption": _("Caption of a photograph"),
        "photograph": _("Photograph"),
        "proposed for release": _("Proposed for release"),
        "withdrawn": _("Proposal taken back"),
        "issued": _("Issued"),
        "revised": _("Next revision begun"),
        "paper issued": _("Paper kept as it went out"),
    }


def what_words() -> dict[str, str]:
    """What changed, by its name in the record."""
    return {
        "state": _("State"),
        "current sum": _("Current sum"),
        "contingency left": _("Contingency left"),
        "revision": _("Revision"),
        "sum": _("Sum"),
        "made safe": _("Made safe"),
        "agreed by": _("Agreed by"),
        "component": _("Component"),
        "location": _("Where on the machine"),
        "title": _("What was found"),
        "cause": _("Cause"),
        "end": _("Funded by"),
        "priced by": _("Priced by"),
        "measured": _("Reading against limit"),
        "photographs": _("Photographs"),
        "not seen before": _("Not seen before"),
        "parts": _("Parts"),
        "chosen": _("Way chosen"),
        "days": _("Working days"),
        "activity": _("Activity"),
        "consequence": _("If declined"),
        "cannot be declined": _("Cannot be declined"),
        "safety": _("Safety"),
        "answer by": _("Answer by"),
        "waiting from": _("Waiting costs from"),
        "waiting per day": _("Waiting costs a day"),
        "workshop cost": _("Borne by us"),
        "making safe cost": _("Cost of making safe"),
        "together on its component": _("Together on its component"),
        "purchase order": _("Purchase order"),
        "limit of the order": _("Limit of the order"),
        "deposit": _("Deposit"),
        "net": _("Price, before tax"),
        "pdf sha256": _("Hash of the PDF"),
        "chain head": _("Chain head on the paper"),
        "paper": _("Which paper"),
        "place": _("Its number among the papers kept"),
        "day": _("Date on the paper"),
        "locale": _("Language and formats"),
        "events": _("Events it tells of"),
    }


def done_words(one: HistoryEntry) -> str:
    """What was done."""
    if one.kind in ("Moved", "Decided"):
        state = next((c.after for c in one.changes if c.what == f"{one.variation} {STATE}"), "")
        return state_words().get(state, _("Passed on"))
    known = event_words().get(one.kind) or (act_words().get(one.act) if not one.kind else None)
    return known or one.act[:1].upper() + one.act[1:]


def second_words(one: HistoryEntry) -> str:
    """What it was done to, and by which way it came in."""
    return "  \u00b7  ".join(word for word in (one.variation, one.channel) if word)


def side_words(one: HistoryEntry) -> str:
    """In which capacity, and on whose side."""
    side = {"customer": _("customer"), "workshop": _("workshop")}.get(one.side, one.side)
    return ", ".join(word for word in (role_word(one.capacity), side) if word)


def when_words(one: HistoryEntry, say: Formats) -> tuple[str, str]:
    """Day and time of day in the workshop's zone."""
    at = one.at.astimezone()
    return say.day(at.date()), say.clock(at)


def ordered(one: HistoryEntry) -> list[Changed]:
    """What changed: states first, then the two sums of the ledger, then prices, then the rest."""

    def rank(change: Changed) -> int:
        last = change.what.rpartition(" ")[2]
        if last == STATE:
            return 0
        if change.what in SUMS:
            return 1
        return {"sum": 2, "revision": 4}.get(last, 3)

    return sorted(one.changes, key=rank)


def change_name(change: Changed, of: str = "") -> str:
    """What changed, in words; the number of the variation `of` need not be said."""
    known = what_words()
    if change.what in known:
        return known[change.what]
    if (found := _VARIATION.fullmatch(change.what)) and found[2] in known:
        name = known[found[2]]
        return name if found[1] == of else f"{found[1]}, {name}"
    if found := _PLACED.fullmatch(change.what):
        named = {
            "part": _("Part {name}"), "line": _("Line {name}"),
            "authority of": _("Limits of {name}"), "days waited on": _("Days waited on {name}"),
        }  # fmt: skip
        return named[found[1]].format(name=found[2])
    return change.what[:1].upper() + change.what[1:]


def change_sides(change: Changed, say: Formats) -> tuple[str, str]:
    """Before and after as the locale writes them; an en dash for nothing."""
    words = _coded(change.what)
    return tuple(  # type: ignore[return-value]
        words.get(text) or _written(text, say) or DASH for text in (change.before, change.after)
    )


def change_line(change: Changed, say: Formats, of: str = "") -> str:
    """All of one change on a line."""
    before, after = change_sides(change, say)
    said = _("{what}: {before} \u2192 {after}").format(
        what=change_name(change, of), before=before, after=after
    )
    return _on_a_line(said)


def changes_lines(one: HistoryEntry, say: Formats) -> tuple[str, str]:
    """What changed, on the two lines of a row; what was said where nothing did."""
    changes = ordered(one)
    if not changes:
        return _on_a_line(said_words(one)), ""
    first, second = ([change_line(c, say, one.variation) for c in changes[:2]] + [""])[:2]
    rest = len(changes) - 2
    if rest > 0:
        more = ngettext("and {n} more", "and {n} more", rest).format(n=say.number(rest))
        second += f"; {more}"
    return first, second


def said_words(one: HistoryEntry) -> str:
    """What was said with it: the words, the reason, the note."""
    quoted = f"\u201c{one.words}\u201d" if one.words else ""
    return "  \u00b7  ".join(text for text in (quoted, one.reason, one.note) if text)


def everything_said(one: HistoryEntry, say: Formats) -> str:
    """All that a row and its side show, for the filter."""
    return " ".join(_everything(one, say))


def _everything(one: HistoryEntry, say: Formats) -> Iterator[str]:
    yield from when_words(one, say)
    yield from (one.who, side_words(one), done_words(one), second_words(one), said_words(one))
    for change in one.changes:
        yield change_line(change, say)


def _on_a_line(text: str) -> str:
    """On one line; spaces that do not break stay."""
    return _BREAKS.sub(" ", text)


def _coded(what: str) -> dict[str, str]:
    """Words that a value may be one of."""
    last = what.rpartition(" ")[2]
    if last == "state":
        jobs = {
            "accepted": _("Accepted"), "stopped": _("Stopped"), "handed over": _("Handed over"),
        }  # fmt: skip
        return {**state_words(), **jobs}
    return {"end": end_words(), "cause": cause_words()}.get(
        last, {"yes": _("yes"), "worn": _("worn"), "sound": _("sound")}
    )


def _written(text: str, say: Formats) -> str:
    """A sum, a day, a limit or a reading as the locale writes it; other text as it is."""
    if found := _SUM.fullmatch(text):
        money = _money(found[1], found[2])
        return say.money(money) if money.minor else say.number(0)
    if found := _LIMITS.fullmatch(text):
        each, total = (_limit(part, say) for part in found.groups())
        return _("{each} for one, {total} in all").format(each=each, total=total)
    if found := _RANGE.fullmatch(text):
        low, high = (_written(part, say) for part in found.groups())
        return _("{low} to {high}, no price yet").format(low=low, high=high)
    if _READING.fullmatch(text):
        return say.number(Decimal(text), len(text.partition(".")[2]))
    return _day(text, say) or text


def _limit(text: str, say: Formats) -> str:
    return _("no limit") if text == "no limit" else _written(text, say)


def _money(amount: str, currency: str) -> Money:
    digits = minor_digits(currency)
    return Money(int(Decimal(amount.replace(",", "")).scaleb(digits)), currency)


def _day(text: str, say: Formats) -> str:
    """A day, or a moment to the minute in UTC; "" for other text."""
    try:
        if len(text) == len("2027-03-05"):
            return say.day(date.fromisoformat(text))
        at = datetime.strptime(text, "%Y-%m-%d %H:%M").replace(tzinfo=UTC).astimezone()
    except ValueError:
        return ""
    return f"{say.day(at.date())} {say.clock(at)}"
