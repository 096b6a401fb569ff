"""Options of a scope side by side, as a screen shows them: ways of putting a part right, and how
far to go with the machine."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.rows import WORN
from estimator.domain.catalogue.work_rows import CalledRow, Operation, Outwork
from estimator.domain.money import Money
from estimator.domain.options import LevelOption, WayOption, level_option, priced_levels
from estimator.domain.priced_job import PricedJob, Progress
from estimator.services.compare_options import compare_ways
from estimator.services.price_job import quiet

EXCHANGE, RECONDITION = "exchange", "recondition"
SAFETY = "safety"


@dataclass(frozen=True, slots=True)
class WayColumn:
    """One way of putting a part right. `hours` are charged here (None where the catalogue only
    states the whole cost), `lead_weeks` is how long a unit takes to come, `turn_days` how long
    outwork keeps it, `core` what is charged until the old unit is accepted, `open_chance` the
    chance of being worn of a part that stays open."""

    option: WayOption
    hours: Decimal | None
    lead_weeks: Decimal | None
    turn_days: Decimal | None
    core: Money | None
    keeps_old: bool
    warranty_months: int | None
    warranty_hours: int | None
    open_chance: Decimal | None
    open_parts: int


@dataclass(frozen=True, slots=True)
class LevelColumn:
    """One rebuild level: its figures, and what of the machine's safety it puts right."""

    option: LevelOption
    chosen: bool
    confidence: Decimal
    life_wanted: Decimal
    new_price: Money
    safety_done: tuple[str, ...]
    safety_left: tuple[str, ...]

    @property
    def whole(self) -> int:
        """Length of its bar in minor units."""
        option = self.option
        return option.firm.minor + option.provisional.minor + option.contingency.minor


def ways_side_by_side(
    priced: PricedJob, part: str, progress: Progress = quiet
) -> tuple[WayColumn, ...]:
    """Every way of putting a part right. Raises NotFound where none is offered or the part is not
    part of the job; what `progress` raises ends it."""
    return tuple(_way_column(priced, one) for one in compare_ways(priced, part, progress))


def _way_column(priced: PricedJob, option: WayOption) -> WayColumn:
    cat, part = priced.cat, option.part
    row = cat.parts[part]
    calls = _called_by(cat, part, option.way)
    hours = [
        one.hours * cat.difficulty[one.difficulty].factor
        for one in calls
        if isinstance(one, Operation)
    ]
    turns = [one.turn_round_days for one in calls if isinstance(one, Outwork)]
    exchange = option.way == EXCHANGE
    warranty = cat.warranty.get(cat.group_of(row.component))
    chance = next((one.chance.after for one in priced.exposed if one.part == part), None)
    core = Money(0, cat.catalogue.settings.currency)
    if exchange and row.exchange_charge:
        core = _money(row.exchange_charge * row.quantity, cat.catalogue.settings.currency)
    return WayColumn(
        option=option,
        hours=sum(hours, Decimal(0)) if hours else None,
        lead_weeks=None if option.way == RECONDITION else row.lead_weeks,
        turn_days=max(turns) if turns else None,
        core=core if core.minor else None,
        keeps_old=not exchange,
        warranty_months=warranty.months if warranty is not None else None,
        warranty_hours=warranty.hours if warranty is not None else None,
        open_chance=None if chance is None else Decimal(repr(chance)).quantize(Decimal("0.01")),
        open_parts=len(priced.exposed),
    )


def _money(amount: Decimal, currency: str) -> Money:
    from estimator.domain.money import money_half_up

    return money_half_up(amount, currency)


def _called_by(cat: ClassCatalogue, part: str, way: str) -> list[CalledRow]:
    """Operations and outwork that follow a part which is put right in this way."""
    rows: list[CalledRow] = [*cat.operations.values(), *cat.outwork.values()]
    return [one for one in rows if part in one.follows and (not one.ways or way in one.ways)]


def levels_side_by_side(priced: PricedJob, progress: Progress = quiet) -> tuple[LevelColumn, ...]:
    """Every rebuild level of the job, the least first; the ones it is not at are reckoned, which
    takes a second or two. What `progress` raises ends it."""
    columns = [_level_column(one, priced) for one in priced_levels(priced, progress)]
    return tuple(sorted(columns, key=lambda one: one.option.net.minor))


def _level_column(one: PricedJob, priced: PricedJob) -> LevelColumn:
    done, left = _safety(one)
    machine = one.cat.machine_class
    return LevelColumn(
        option=level_option(one),
        chosen=one.job.level == priced.job.level,
        confidence=one.job.terms.confidence,
        life_wanted=one.job.machine.life_wanted,
        new_price=_money(machine.new_price_likely, machine.currency),
        safety_done=done,
        safety_left=left,
    )


def _safety(priced: PricedJob) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """(what safety findings call for and the scope does, what it leaves), by component."""
    in_scope = {code for one in priced.lines for code in one.line.because}
    done: dict[str, None] = {}
    left: dict[str, None] = {}
    for code, judged in priced.scope.judgements.items():
        if judged.kind != SAFETY or judged.disposition not in WORN:
            continue
        component = priced.cat.components.get(judged.component)
        name = component.name if component is not None else judged.what
        (done if code in in_scope else left)[name] = None
    return tuple(done), tuple(left)
