"""Columns of the tables that a contract takes in: openings, variations and answers."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.catalogue.column import column
from estimator.domain.contract.states import DECISIONS
from estimator.domain.contract.variation import AS_PRICED, CAUSES, ENDS, SOUND, WAYS, WORN
from estimator.domain.past_work import LARGEST_SUM
from estimator.domain.problem import Place
from estimator.domain.scope_line import KINDS

MOST_DAYS, MOST_QUANTITY = "500", "1000000"


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningRow:
    """A component that was opened: one part of it, one line of the quote measured again, or, with
    neither, nothing but that it is open."""

    component: str = column("component that was opened, like C05B")
    part: str = column("part that was looked at, like P-PLR", default="")
    state: str = column("what it was", choices=("", WORN, SOUND, AS_PRICED), default="")
    location: str = column("where exactly", default="")
    title: str = column("what was found, in a few words", default="")
    way: str = column("how the bench would put it right", choices=("", *WAYS), default="")
    reading: str = column("reading against its limit, in words", default="")
    measure: str = column("measure of the catalogue that was taken", default="")
    measured: Decimal | None = column("its reading", default=None)
    unit: str = column("unit of the reading", refers="unit", default="")
    photographs: tuple[str, ...] = column("photographs, several with ;", default=())
    consequence: str = column("what declining means", default="")
    cannot_be_declined: str = column("why it cannot be declined", default="")
    safety: bool = column("a safety matter", default=False)
    line: str = column("line of the quote measured again, like P-HOS", default="")
    quantity: Decimal | None = column(
        "hours before difficulty, or units", low="0", high=MOST_QUANTITY, default=None
    )
    factor: Decimal | None = column(
        "factor on what was quoted, instead of a quantity", low="0", high="100", default=None
    )
    cautions: tuple[str, ...] = column("cautions ticked, several with ;", default=())
    note: str = column("note", default="")
    place: Place = Place()


@dataclass(frozen=True, slots=True, kw_only=True)
class VariationRow:
    """A variation with its first line, or, under a `ref` that stood before, one more line of it."""

    ref: str = column("what keeps the rows of one variation together", default="")
    title: str = column("what it is, in a few words", default="")
    component: str = column("component, like C12A", default="")
    location: str = column("where exactly", default="")
    cause: str = column("cause", choices=("", *CAUSES), default="")
    end: str = column("who or what funds it", choices=("", *ENDS), default="")
    measured: str = column("reading against its limit, in words", default="")
    photographs: tuple[str, ...] = column("photographs, several with ;", default=())
    not_seen_before: str = column("why the inspection could not see it", default="")
    parts: tuple[str, ...] = column("parts that it puts right, several with ;", default=())
    low: Decimal | None = column("range: low", low="0", high=LARGEST_SUM, default=None)
    likely: Decimal | None = column("range: likely", low="0", high=LARGEST_SUM, default=None)
    high: Decimal | None = column("range: high", low="0", high=LARGEST_SUM, default=None)
    chosen: str = column("way that its lines price", choices=("", *WAYS), default="")
    days: Decimal | None = column("working days it adds", low="0", high=MOST_DAYS, default=None)
    activity: str = column("activity that takes longer, like A10", default="")
    consequence: str = column("what declining means", default="")
    cannot_be_declined: str = column("why it cannot be declined", default="")
    safety: bool | None = column("a safety matter", default=None)
    answer_by: datetime.date | None = column("day by which it is to be answered", default=None)
    waiting_from: datetime.date | None = column("day from which waiting costs", default=None)
    waiting_per_day: Decimal | None = column(
        "cost of a day's waiting", low="0", high=LARGEST_SUM, default=None
    )
    workshop_cost: Decimal | None = column(
        "the workshop's own cost", low="0", high=LARGEST_SUM, default=None
    )
    kind: str = column("kind of the line", choices=("", *KINDS), default="")
    what: str = column("what the line is", default="")
    quantity: Decimal | None = column(
        "charged hours, or units", low="0", high=MOST_QUANTITY, default=None
    )
    unit: str = column("unit of the quantity", default="")
    trade: str = column("trade of labour, like BW", default="")
    unit_cost: Decimal | None = column(
        "cost of a unit, before mark-up", low="0", high=LARGEST_SUM, default=None
    )
    currency: str = column(
        "currency of the cost, if not the quote's", refers="currency", default=""
    )
    markup: str = column("mark-up, like A", default="")
    part: str = column("part the line belongs to", default="")
    line: str = column("line of the quote measured again, like P-HOS", default="")
    factor: Decimal | None = column(
        "factor on what was quoted, instead of a quantity", low="0", high="100", default=None
    )
    place: Place = Place()


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerRow:
    """An answer to a variation. With `by` it is the customer's, given by that person through a
    channel in words; without, it is the workshop's own."""

    variation: str = column("variation, like V04")
    revision: int | None = column("revision that was looked at", low="0", default=None)
    act: str = column("answer", choices=DECISIONS)
    by: str = column("who of the customer answered", default="")
    channel: str = column("how the answer came", default="")
    words: str = column("what was said, exactly", default="")
    reason: str = column("reason", default="")
    lines: tuple[str, ...] = column("numbers of the lines agreed to, with ;", default=())
    waits_activity: str = column("activity that stood still meanwhile", default="")
    waits_days: Decimal | None = column(
        "working days it stood still", low="0", high=MOST_DAYS, default=None
    )
    place: Place = Place()
