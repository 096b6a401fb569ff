"""Rows of the catalogue that say what a machine is and what work costs: one class per table.

Hours and costs of a row stand for the class named in `at_class` (the catalogue's reference class
where blank); `scaling` carries them to another class. `needs` lists the traits a class must have
("tracks;slew"), or must not have ("!tyres"); a class's id, family and type are traits too. One id
may stand in several rows as long as no class fits two of them.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.catalogue.column import column
from estimator.domain.problem import Place

ORIGINS = ("own", "supplier", "starting value")
FULL, DRIVELINE, REPAIR = "full", "driveline", "repair"
REBUILD_LEVELS = (FULL, DRIVELINE)  # of the whole machine
JOB_LEVELS = (*REBUILD_LEVELS, REPAIR)
TEARDOWN, BOXED_RETURN, REASSEMBLY = "teardown", "boxed return", "reassembly"
LEVELS = (*JOB_LEVELS, TEARDOWN, BOXED_RETURN, REASSEMBLY)
WAYS = ("recondition", "exchange", "replace")
WORN = ("recondition", "exchange", "replace")  # dispositions under which a part is put right


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """What every row carries: where it stands, where it comes from, which classes it fits."""

    origin: str = column("own, supplier or starting value", choices=ORIGINS)
    source: str = column("published source, quotation or reason", default="")
    needs: tuple[str, ...] = column("traits a class must have", default=())
    place: Place = Place()


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineClass(Row):
    """A class of machine. Mass per ISO 6016, net power per ISO 9249, terms per ISO 6165."""

    id: str = column("short code")
    family: str = column("ISO 6165 family")
    type: str = column("ISO 6165 term with its configuration")
    traits: tuple[str, ...] = column("what the class has", default=())
    mass_from_kg: Decimal = column("lower end of the mass band", above="0")
    mass_to_kg: Decimal = column("upper end of the mass band", above="0")
    operating_mass_kg: Decimal = column("operating mass the rows are scaled to", above="0")
    net_power_kw: Decimal = column("net engine power", above="0")
    new_price_low: Decimal = column("new machine, low", above="0")
    new_price_likely: Decimal = column("new machine, likely", above="0")
    new_price_high: Decimal = column("new machine, high", above="0")
    currency: str = column("currency of the new price", refers="currency")
    price_date: datetime.date = column("date of the new price")
    new_lead_weeks: Decimal = column("weeks until a new one is delivered", low="0")
    full_band_low: Decimal = column("usual full rebuild, share of new, low", low="0", high="1")
    full_band_high: Decimal = column("usual full rebuild, share of new, high", low="0", high="1")
    driveline_band_low: Decimal = column("usual driveline rebuild, low", low="0", high="1")
    driveline_band_high: Decimal = column("usual driveline rebuild, high", low="0", high="1")

    def usual_band(self, level: str) -> tuple[Decimal, Decimal]:
        """(low, high) share of a new machine that a job of this level usually comes to. A repair
        stays below a driveline rebuild (common practice, no source)."""
        if level == FULL:
            return self.full_band_low, self.full_band_high
        if level == DRIVELINE:
            return self.driveline_band_low, self.driveline_band_high
        return Decimal(0), self.driveline_band_low

    @property
    def all_traits(self) -> frozenset[str]:
        """Traits, with the id, family and type of the class itself."""
        return frozenset((*self.traits, self.id, self.family, self.type))


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassMass(Row):
    """Mass of one large piece of a class, for lifting."""

    class_id: str = column("machine class", refers="classes")
    piece: str = column("what is lifted")
    mass_kg: Decimal = column("its mass, dry and bare", above="0")


@dataclass(frozen=True, slots=True, kw_only=True)
class Group(Row):
    """One of the 18 component groups."""

    id: str = column("G00 to G17")
    name: str = column("name as printed")
    summary: str = column("one line of what is done at a full rebuild", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Circuit(Row):
    """A fluid circuit: parts that share its oil go bad together."""

    id: str = column("short code")
    name: str = column("name as printed")


@dataclass(frozen=True, slots=True, kw_only=True)
class Component(Row):
    """A component of a group, with the fluid circuit its parts live in."""

    id: str = column("group number and a letter")
    group: str = column("component group", refers="groups")
    name: str = column("name as printed")
    circuit: str = column("fluid circuit", refers="circuits", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Scaling(Row):
    """How hours or cost move with size: (driver / driver at the row's class) ** exponent."""

    id: str = column("short code")
    driver: str = column(
        "what size is measured by", choices=("operating_mass_kg", "net_power_kw", "none")
    )
    exponent: Decimal = column("power of the ratio", low="0", high="2")
    step: Decimal = column("scaled value is rounded half-up to this", above="0")


@dataclass(frozen=True, slots=True, kw_only=True)
class Trade(Row):
    """A trade, with what its charge rate is built up from."""

    id: str = column("short code")
    name: str = column("name as printed")
    wage_per_hour: Decimal = column("wage, per paid hour", above="0")
    paid_hours: Decimal = column("paid hours a year and person", above="0")
    on_cost: Decimal = column("on-cost, share of wage", low="0", high="2")
    sold_hours: Decimal = column("sold hours a year and person", above="0")
    overhead_per_hour: Decimal = column("overhead, per sold hour", low="0")
    margin: Decimal = column("margin wanted, share of the rate", low="0", high="0.9")
    rate_step: Decimal = column("charge rate is rounded half-up to this", above="0")
    currency: str = column("currency of wage and overhead", refers="currency")


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew(Row):
    """How much less each of a crew gets done: crew changes elapsed time, never charged hours."""

    people: int = column("people at one job", low="1", high="12")
    factor: Decimal = column("output of each, share of working alone", above="0", high="1")


@dataclass(frozen=True, slots=True, kw_only=True)
class Difficulty(Row):
    """A multiplier on hours for dirt, corrosion and the like."""

    id: str = column("short code")
    factor: Decimal = column("hours are multiplied by this", above="0", high="5")
    when: str = column("when it applies")


@dataclass(frozen=True, slots=True, kw_only=True)
class Supplier(Row):
    """Who parts or outwork come from. Freight is charged once a job that buys from them."""

    id: str = column("short code")
    supplies: str = column("what they supply")
    kind: str = column("kind of supplier", choices=("parts", "outwork", "carriage"))
    currency: str = column("currency of the freight", refers="currency")
    freight: Decimal = column("carriage in, per job", low="0")


@dataclass(frozen=True, slots=True, kw_only=True)
class Markup(Row):
    """A markup on cost. Margin on price is markup / (1 + markup)."""

    id: str = column("short code")
    name: str = column("class of parts")
    share: Decimal = column("markup, share of cost", low="0", high="5")


@dataclass(frozen=True, slots=True, kw_only=True)
class Levy(Row):
    """Consumables and environmental levies."""

    id: str = column("short code")
    name: str = column("name as printed")
    basis: str = column("what it is taken on", choices=("labour", "part quantity", "job"))
    part: str = column("parts group whose quantity counts", refers="parts", default="")
    rate: Decimal = column("share of labour, or sum per unit or job", low="0")
    cap: Decimal | None = column("not above this", low="0", default=None)
    currency: str = column("currency of rate and cap", refers="currency")


@dataclass(frozen=True, slots=True, kw_only=True)
class TaxCategory(Row):
    """A tax category with its EN 16931 (UNCL 5305) code."""

    id: str = column("short code")
    name: str = column("name as printed")
    code: str = column("EN 16931 code", choices=("S", "Z", "E", "AE", "K", "G", "O"))
    rate_percent: Decimal = column("rate", low="0", high="100")
    exemption: str = column("reason printed where no tax is charged", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution(Row):
    """A safety caution with the family of standards it comes from."""

    id: str = column("short code")
    hazard: str = column("hazard")
    caution: str = column("what to do")
    family: str = column("standard family")
    defers_to: str = column("what comes before this text")


@dataclass(frozen=True, slots=True, kw_only=True)
class Activity(Row):
    """A step of the programme; its hours are those of the operations that name it."""

    id: str = column("short code")
    name: str = column("name as printed")
    bay: str = column("bay, bench, or away")
    after: tuple[str, ...] = column("activities to finish first", refers="activities", default=())
    teams: int = column("crews that work side by side", low="1", high="8", default=1)
    kind: str = column("who does it", choices=("work", "outwork"), default="work")


@dataclass(frozen=True, slots=True, kw_only=True)
class Closure(Row):
    """A day on which the workshop is closed."""

    date: datetime.date = column("day closed")
    why: str = column("why")


@dataclass(frozen=True, slots=True, kw_only=True)
class Warranty(Row):
    """Warranty of a component group: months or hours, whichever comes first."""

    group: str = column("component group", refers="groups")
    months: int = column("months", low="0", high="60")
    hours: int | None = column("machine hours", low="0", default=None)
    note: str = column("limits of it", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Clause(Row):
    """Text for print, by language. `when` names levels it is for; blank is always."""

    id: str = column("stable code, the same in every language")
    section: str = column("place in the document")
    order: int = column("order within the section", low="0")
    levels: tuple[str, ...] = column("rebuild levels", choices=LEVELS, default=())
    when: str = column(
        "condition beyond level and traits",
        choices=("", "contingency", "provisional", "exchange units", "starting values"),
        default="",
    )
    rows: tuple[str, ...] = column(
        "rows that must be in the scope, those the class has", default=()
    )
    text: str = column("the clause; {name} is filled in")
    confirmed_by: str = column(
        "who at the workshop has confirmed a translation; English needs nobody", default=""
    )

    def is_for(self, level: str) -> bool:
        """Whether it is printed at a level. What a full rebuild promises of rows, a repair
        promises where it has them in its scope."""
        if not self.levels or level in self.levels:
            return True
        return level == REPAIR and FULL in self.levels and bool(self.rows)
