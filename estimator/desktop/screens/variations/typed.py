"""What is typed into the form of a variation, and the variation it makes. No Qt."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from typing import TypeVar

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.variations.typed_lines import (
    LineText,
    MeasureText,
    WayText,
    is_blank,
    line_of,
    measure_of,
)
from estimator.desktop.telling import told_of
from estimator.domain.contract.contract import Case
from estimator.domain.contract.variation import (
    CHARGED_TO_NOBODY,
    CONTINGENCY,
    HIDDEN,
    REMEASURED,
    Range,
    Remeasured,
    Variation,
    VariationLine,
    WayOffered,
    variation_faults,
)
from estimator.domain.money import Money, money_half_up
from estimator.domain.people import Person
from estimator.services.write_contract import Here

PRICE, RANGE = "price", "range"
Text = TypeVar("Text", LineText, MeasureText)
Value = TypeVar("Value")


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """The whole form as typed. Texts of figures and days are in the user's own locale."""

    title: str = ""
    component: str = ""
    location: str = ""
    cause: str = HIDDEN
    end: str = CONTINGENCY
    measured: str = ""
    not_seen: str = ""
    consequence: str = ""
    cannot: str = ""
    safety: bool = False
    answer_by: str = ""
    waiting_from: str = ""
    waiting_per_day: str = ""
    days: str = ""
    activity: str = ""
    money: str = PRICE
    low: str = ""
    likely: str = ""
    high: str = ""
    own_cost: str = ""
    parts: tuple[str, ...] = ()
    photographs: tuple[str, ...] = ()
    chosen: str = ""
    lines: tuple[LineText, ...] = ()
    measures: tuple[MeasureText, ...] = ()
    ways: tuple[WayText, ...] = ()


@dataclass(slots=True)
class Reading:
    """Reads texts one by one and keeps what is wrong with each, by field."""

    say: Formats
    currency: str
    faults: dict[str, str] = field(default_factory=dict)

    def number(self, key: str, text: str) -> Decimal | None:
        """A number; None where there is none, or it is not valid."""
        if not text.strip():
            return None
        try:
            value = self.say.read_number(text)
        except ValueError as error:
            self.faults[key] = told_of(error)
            return None
        if value < 0:
            self.faults[key] = _("Nought or more.")
            return None
        return value

    def money(self, key: str, text: str) -> Money | None:
        """An amount in the contract's currency."""
        value = self.number(key, text)
        return None if value is None else money_half_up(value, self.currency)

    def day(self, key: str, text: str) -> date | None:
        """A day."""
        if not text.strip():
            return None
        try:
            return self.say.read_day(text)
        except ValueError as error:
            self.faults[key] = told_of(error)
            return None


def variation_of(
    typed: Typed, here: Here, case: Case | None, say: Formats, who: Person, now: datetime
) -> tuple[Variation | None, dict[str, str]]:
    """The variation that the form makes, or what is wrong with it by field ("" for the whole)."""
    read = Reading(say, here.contract.currency)
    lines, measures, range_, own = _money(typed, here, read)
    variation = Variation(
        number=case.variation.number if case else here.contract.next_number,
        revision=case.variation.revision if case else 0,
        found_at=case.variation.found_at if case else now,
        finder=case.variation.finder if case else who.name,
        component=typed.component,
        location=_plain(typed.location),
        title=_plain(typed.title),
        cause=typed.cause,
        end=typed.end,
        priced_by=who.name if lines or measures else "",
        measured=_plain(typed.measured),
        photographs=typed.photographs,
        not_seen_before=_plain(typed.not_seen),
        parts=typed.parts,
        lines=lines,
        remeasured=measures,
        range=range_,
        ways=_ways(typed, here, read),
        chosen=typed.chosen,
        days=read.number("days", typed.days) or Decimal(0),
        activity=typed.activity,
        consequence=_plain(typed.consequence),
        cannot_be_declined=_plain(typed.cannot),
        safety=typed.safety or bool(typed.cannot.strip()),
        answer_by=read.day("answer_by", typed.answer_by),
        waiting_from=read.day("waiting_from", typed.waiting_from),
        waiting_per_day=read.money("waiting_per_day", typed.waiting_per_day),
        workshop_cost=own,
    )
    if not read.faults:
        _note_faults(variation, case, read)
    return (None if read.faults else variation), read.faults


def _plain(text: str) -> str:
    return " ".join(text.split())


def _note_faults(variation: Variation, case: Case | None, read: Reading) -> None:
    """What the domain finds wrong, at the field where it is mended."""
    if not variation.title:
        read.faults["title"] = _("Say in a few words what was found.")
    if not variation.location:
        read.faults["location"] = _("Say where on the machine.")
    if variation.days and not variation.activity:
        read.faults["activity"] = _("Choose the activity that takes longer.")
    if case is not None and not variation.is_priced:
        read.faults["money"] = _("A price is needed here; leave its range as it is until then.")
    if not read.faults and (rest := variation_faults(variation)):
        read.faults[""] = _("It {faults}.").format(faults="; ".join(rest))


_Money = tuple[
    tuple[VariationLine, ...], tuple[Remeasured, ...], Range | None, Money | None
]  # fmt: skip


def _money(typed: Typed, here: Here, read: Reading) -> _Money:
    """Lines, lines measured again, range, own cost: by who pays and how."""
    if typed.end in CHARGED_TO_NOBODY:
        return (), (), None, read.money("own_cost", typed.own_cost)
    if typed.end == REMEASURED:
        return (), _each(typed.measures, lambda t: measure_of(t, here, read.say), read), None, None
    if typed.money == RANGE:
        return (), (), _range(typed, read), None
    lines = _each(typed.lines, lambda text: line_of(text, here, read.say), read)
    if not lines and "money" not in read.faults:
        read.faults["money"] = _("Give a line with its price, or a range.")
    return lines, (), None, None


def _each(
    texts: Iterable[Text], of: Callable[[Text], tuple[Value | None, str]], read: Reading
) -> tuple[Value, ...]:
    found = []
    for number, text in enumerate(texts, start=1):
        if is_blank(text):
            continue
        value, reason = of(text)
        if value is None:
            read.faults.setdefault("money", _("Line {n}: {reason}").format(n=number, reason=reason))
        else:
            found.append(value)
    return tuple(found)


def _range(typed: Typed, read: Reading) -> Range | None:
    low, likely, high = (
        read.money(key, text)
        for key, text in (("low", typed.low), ("likely", typed.likely), ("high", typed.high))
    )
    if low is None or likely is None or high is None:
        for key, value in (("low", low), ("likely", likely), ("high", high)):
            if value is None:
                read.faults.setdefault(key, _("Give low, likely and high."))
        return None
    try:
        return Range(low, likely, high)
    except ValueError:
        read.faults["likely"] = _("Low, likely and high must rise.")
        return None


def _ways(typed: Typed, here: Here, read: Reading) -> tuple[WayOffered, ...]:
    found = []
    currency = here.contract.currency
    for number, text in enumerate(typed.ways, start=1):
        if is_blank(text):
            continue
        price = read.money("ways", text.price)
        days = read.number("ways", text.days)
        if not text.what.strip():
            read.faults.setdefault("ways", _("Way {n}: say what is done.").format(n=number))
        found.append(
            WayOffered(
                text.way, _plain(text.what), price or Money(0, currency), days or Decimal(0),
                _plain(text.warranty), _plain(text.note),
            )
        )  # fmt: skip
    return tuple(found)
