"""Rows of the catalogue that are called into a scope: operations, parts, outwork, and wear.

`called_by` says what brings a row in: `level` = always at its rebuild levels; `condition` = the
finding or chance of the part itself (parts only); `follows` = a part named in `follows` is put
right in one of the row's `ways` (blank: any), once for each such part; `safety` = a safety finding
on the component; `hand` = added by the estimator, for the reason in `hand_reason`; `carrier` = a
part that is never bought but whose disposition other rows follow; `excluded` = outside the scope
whatever is found.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimator.domain.catalogue.column import column
from estimator.domain.catalogue.rows import JOB_LEVELS, LEVELS, WAYS, Row

CALLS = ("level", "follows", "safety", "hand")
FINDING_KINDS = (
    "measure",
    "pressure",
    "flow",
    "drift",
    "leak-down",
    "oil",
    "crack",
    "hose",
    "count",
    "visual",
    "safety",
    "test",
    "not seen",
    "not tested",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class CalledRow(Row):
    """What operations, parts and outwork share."""

    id: str = column("short code")
    component: str = column("component", refers="components")
    name: str = column("name as printed")
    at_class: str = column("class the row's values stand for", refers="classes", default="")
    scaling: str = column("how values move with size", refers="scaling")
    follows: tuple[str, ...] = column(
        "parts whose disposition calls the row, once for each", refers="parts", default=()
    )
    ways: tuple[str, ...] = column("ways of putting right it belongs to", choices=WAYS, default=())
    levels: tuple[str, ...] = column("rebuild levels it belongs to", choices=LEVELS)
    activity: str = column("step of the programme", refers="activities", default="")
    hand_reason: str = column("when an estimator adds it by hand", default="")
    range_reason: str = column("why the quantity may move", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation(CalledRow):
    """Work of one trade. Hours are man-hours at the row's class, before difficulty."""

    called_by: str = column("what brings it in", choices=CALLS)
    trade: str = column("trade", refers="trades")
    hours: Decimal = column("man-hours, likely; for each where hours_per is set", above="0")
    hours_low: Decimal | None = column("man-hours, low", low="0", default=None)
    hours_high: Decimal | None = column("man-hours, high", low="0", default=None)
    hours_per: str = column("hours are per unit of this part", refers="parts", default="")
    crew: int = column("people at it", low="1", high="12")
    difficulty: str = column("difficulty", refers="difficulty")
    after: tuple[str, ...] = column("operations done before", refers="operations", default=())
    includes: tuple[str, ...] = column("operations it includes", refers="operations", default=())
    cautions: tuple[str, ...] = column("cautions", refers="cautions", default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class PartsGroup(CalledRow):
    """Parts bought together. Cost is what the workshop pays for one unit."""

    called_by: str = column(
        "what brings it in",
        choices=("level", "condition", "follows", "hand", "excluded", "carrier"),
    )
    quantity: Decimal = column("quantity, likely", above="0")
    quantity_low: Decimal | None = column("equivalent quantity, low", low="0", default=None)
    quantity_high: Decimal | None = column("equivalent quantity, high", low="0", default=None)
    unit: str = column("unit of quantity", refers="unit")
    unit_cost: Decimal = column("cost of one unit", low="0")
    currency: str = column("currency of the cost", refers="currency")
    price_date: date = column("date of the cost")
    supplier: str = column("supplier", refers="suppliers")
    lead_weeks: Decimal = column("lead time", low="0", high="104")
    exchange_charge: Decimal = column(
        "charge on each exchange unit until the old one is accepted, in the catalogue's currency",
        low="0",
        default=Decimal(0),
    )
    markup: str = column("markup class", refers="markups")
    needed_at: str = column(
        "when in its activity it is needed", choices=("start", "during"), default="during"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Outwork(CalledRow):
    """Work done by someone else."""

    called_by: str = column("what brings it in", choices=CALLS)
    vendor: str = column("vendor", refers="suppliers")
    quantity: Decimal = column("quantity, likely", above="0")
    quantity_low: Decimal | None = column("equivalent quantity, low", low="0", default=None)
    quantity_high: Decimal | None = column("equivalent quantity, high", low="0", default=None)
    unit: str = column("unit of quantity", refers="unit")
    cost_each: Decimal = column("cost of one unit", low="0")
    currency: str = column("currency of the cost", refers="currency")
    price_date: date = column("date of the cost")
    markup: str = column("markup class", refers="markups")
    turn_round_days: Decimal = column("working days away or on site", low="0", high="365")
    away: str = column("outwork step of the programme it occupies", refers="activities", default="")
    certificate: str = column("paper that comes back with it", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class WearOut(Row):
    """Chance of being worn: Weibull shape with a scale, or with a starting chance at some hours.

    Parts with the same `pool` share their parameters and the workshop's own cases.
    """

    part: str = column("parts group", refers="parts")
    shape: Decimal = column("Weibull shape", low="0.3", high="10")
    scale_hours: Decimal | None = column("Weibull scale", above="0", default=None)
    starting_chance: Decimal | None = column("starting chance", above="0", default=None)
    at_hours: Decimal | None = column("hours the chance stands for", above="0", default=None)
    pool: str = column("parts that share parameters", default="")
    rests_on: str = column("what it rests on", choices=("starting value", "judged", "own"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy(Row):
    """Cost of putting one worn part right in one way: selling price, labour and outwork in."""

    part: str = column("parts group", refers="parts")
    way: str = column("way of putting it right", choices=WAYS)
    usual: bool = column("the way priced unless another is chosen", default=False)
    share: Decimal | None = column(
        "chance that a worn part is put right this way; blank for all: the usual way has it all",
        low="0",
        high="1",
        default=None,
    )
    low: Decimal = column("low", low="0")
    likely: Decimal = column("likely", low="0")
    high: Decimal = column("high", low="0")
    currency: str = column("currency", refers="currency")
    added_days: Decimal = column("working days added, the answer included", low="0", high="250")
    at_class: str = column("class the values stand for", refers="classes", default="")
    scaling: str = column("how the cost moves with size", refers="scaling")
    activity: str = column("step of the programme that waits", refers="activities")
    workshop_share: Decimal | None = column(
        "what the workshop pays, as a share of the selling price; blank: workshop_cost_share",
        low="0",
        high="1",
        default=None,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundWork(Row):
    """Work found while working: how many of them to expect, and what each takes.

    Hours are man-hours of one, before difficulty; only the count moves with size.
    """

    id: str = column("short code, of no operation, part or outwork")
    component: str = column("component it is found on", refers="components")
    name: str = column("name as printed")
    levels: tuple[str, ...] = column("rebuild levels it belongs to", choices=JOB_LEVELS)
    per: str = column(
        "what the count goes by: hours since the component's last overhaul, or the job",
        choices=("1000 h", "job"),
    )
    count: Decimal = column("expected count", low="0", high="1000")
    at_class: str = column("class the count stands for", refers="classes", default="")
    scaling: str = column("how the count moves with size", refers="scaling")
    overdispersion: Decimal = column(
        "how much more the count spreads than by chance: variance = mean + this x mean squared",
        low="0",
        high="10",
        default=Decimal(0),
    )
    trade: str = column("trade", refers="trades")
    hours_low: Decimal = column("man-hours of one, low", low="0")
    hours: Decimal = column("man-hours of one, likely", above="0")
    hours_high: Decimal = column("man-hours of one, high", low="0")
    difficulty: str = column("difficulty", refers="difficulty")
    parts_cost: Decimal = column(
        "what the workshop pays for the parts of one", low="0", default=Decimal(0)
    )
    currency: str = column("currency of the parts", refers="currency")
    markup: str = column("markup class of the parts", refers="markups", default="")
    added_days: Decimal = column(
        "working days that each adds to its step", low="0", high="20", default=Decimal(0)
    )
    activity: str = column("step of the programme that waits", refers="activities")
    cautions: tuple[str, ...] = column("cautions", refers="cautions", default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class ConditionTest(Row):
    """A test or look: what it detects, how well, and what it costs."""

    id: str = column("short code")
    on: str = column("what it speaks of", choices=("part", "circuit"))
    target: tuple[str, ...] = column("parts or circuit")
    name: str = column("test")
    family: str = column("signs of one family count once")
    sensitivity: Decimal = column("chance of an alarm if worn", above="0", high="1")
    specificity: Decimal = column("chance of no alarm if sound", above="0", high="1")
    when: str = column(
        "part of the inspection, or a look before the strip", choices=("test", "look")
    )
    cost: Decimal = column("cost of laboratory or hire", low="0")
    currency: str = column("currency", refers="currency")
    hours: Decimal = column("man-hours", low="0")
    trade: str = column("trade", refers="trades")
    days: Decimal = column("working days until the result", low="0", default=Decimal(0))
    cautions: tuple[str, ...] = column("cautions", refers="cautions", default=())
    alarm: str = column("what counts as an alarm")
    metals: tuple[str, ...] = column("metal limits, ppm, like 'Fe 100'", default=())
    cleanliness: str = column("ISO 4406 target code", default="")
    cleanliness_over: int | None = column("codes over target that alarm", low="1", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure(Row):
    """Something an inspection measures: its limits, and what the result settles or signs."""

    id: str = column("short code")
    component: str = column("component", refers="components")
    kind: str = column("kind of finding", choices=FINDING_KINDS)
    name: str = column("what is measured, where and how")
    part: str = column("part that it settles", refers="parts", default="")
    test: str = column("test that it is a reading of", refers="tests", default="")
    sign_of: tuple[str, ...] = column("parts it is a sign of", refers="parts", default=())
    unit: str = column("unit", refers="unit")
    new: Decimal | None = column("value when new", default=None)
    rebuild_limit: Decimal | None = column("rebuild limit", default=None)
    service_limit: Decimal | None = column("service limit", default=None)
    gauge_error: Decimal | None = column("error of the gauge", low="0", default=None)
    band_low: Decimal | None = column("lower end of the band", default=None)
    band_high: Decimal | None = column("upper end of the band", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Loading(Row):
    """How strongly the parts of a group follow the machine's life and their circuit."""

    group: str = column("component group", refers="groups")
    life: Decimal = column("loading on life and care", low="0", high="0.99")
    circuit: Decimal = column("loading on the fluid circuit", low="0", high="0.99")
    why: str = column("why", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnCase(Row):
    """One teardown outcome of the workshop: worn or not at known hours."""

    pool: str = column("pool of parts")
    machine_class: str = column("machine it was found on")
    hours: Decimal = column("hours at teardown", above="0")
    duty: Decimal = column("duty factor", above="0", high="5")
    worn: bool = column("1 worn, 0 sound")
