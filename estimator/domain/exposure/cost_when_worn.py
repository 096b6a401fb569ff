"""What it costs if an open part is found worn, and which open parts are priced as firm at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import Remedy
from estimator.domain.exposure.exposed_parts import Chance, Known
from estimator.domain.exposure.pert import Pert
from estimator.domain.exposure.ways_when_worn import WayWhenWorn, WornCost, worn_cost
from estimator.domain.job import Job
from estimator.domain.pricing import exchange_rate, unit_price
from estimator.domain.scope import Scope, part_quantity


def firm_by_chance(
    known: Known, cat: ClassCatalogue, ways: Mapping[str, str]
) -> dict[str, tuple[str, str]]:
    """Parts so likely to be worn that they are priced as firm: part -> (way, reason)."""
    threshold = float(cat.settings.firm_chance)
    found = {}
    for part, chance in known.chances.items():
        if chance.state is None and chance.after >= threshold:
            remedy = chosen_remedy(part, cat, ways)
            way = remedy.way if remedy else "replace"
            found[part] = (way, f"chance of wear {chance.after:.3f}, at or above {threshold:.2f}")
    return found


def chosen_remedy(part: str, cat: ClassCatalogue, ways: Mapping[str, str]) -> Remedy | None:
    """The way of putting a worn part right that is priced: chosen for the job, else usual."""
    offered = cat.remedies.get(part, ())
    for remedy in offered:
        if remedy.way == ways.get(part):
            return remedy
    usual = [remedy for remedy in offered if remedy.usual]
    best = usual or list(offered)
    return best[0] if best else None


@dataclass(frozen=True, slots=True)
class ExposedPart:
    """An open part with what it costs if it is found worn, in the quote's currency.

    `ways` holds the usual way first, or the one chosen for the job, alone.
    """

    part: str
    group: str
    component: str
    name: str
    chance: Chance
    ways: tuple[WayWhenWorn, ...]

    @property
    def cost(self) -> WornCost:
        """What it costs at selling price: a mixture where several ways may come about."""
        return worn_cost(tuple((one.share, one.cost) for one in self.ways))

    @property
    def workshop_cost(self) -> WornCost:
        """What the workshop itself pays for it."""
        return worn_cost(tuple((one.share, one.workshop_cost) for one in self.ways))

    @property
    def way(self) -> str:
        """The usual way, or the one chosen."""
        return self.ways[0].way

    @property
    def added_days(self) -> float:
        """Working days that the usual or chosen way adds."""
        return self.ways[0].added_days

    @property
    def activity(self) -> str:
        """Step of the programme that waits for the usual or chosen way."""
        return self.ways[0].activity

    @property
    def cost_rests_on(self) -> str:
        """Origin of the usual or chosen way's cost."""
        return self.ways[0].rests_on


def exposed_parts(
    job: Job, cat: ClassCatalogue, known: Known, scope: Scope, firm: Mapping[str, tuple[str, str]]
) -> tuple[ExposedPart, ...]:
    """Every open part that is not priced as firm, in the order of the breakdown."""
    found = []
    for part, chance in known.chances.items():
        if chance.state is not None or part in firm:
            continue
        row = cat.parts[part]
        found.append(
            ExposedPart(
                part,
                cat.group_of(row.component),
                row.component,
                row.name,
                chance,
                ways_when_worn(part, job, cat, scope),
            )
        )
    return tuple(sorted(found, key=lambda one: (one.group, one.component, one.part)))


def ways_when_worn(
    part: str, job: Job, cat: ClassCatalogue, scope: Scope
) -> tuple[WayWhenWorn, ...]:
    """The ways in which a worn part may be put right, with their chances given that it is worn.

    The way chosen for the job counts alone; so does the usual one where the catalogue states no
    chances. Where it states no remedy at all (a part that is usually measured), the part's own row
    at selling price is taken as likely, 0.9 and 1.3 times it as low and high (judged).
    """
    usual = chosen_remedy(part, cat, job.ways or {})
    if usual is None:
        return (_own_row(part, job, cat, scope),)
    if usual.share is None or usual.way == (job.ways or {}).get(part):
        return (_way(usual, 1.0, job, cat),)
    offered = [usual, *(one for one in cat.remedies[part] if one is not usual)]
    return tuple(
        _way(one, float(one.share), job, cat)
        for one in offered
        if one.share is not None and (one.share > 0 or one is usual)
    )


def _way(remedy: Remedy, share: float, job: Job, cat: ClassCatalogue) -> WayWhenWorn:
    rate = float(exchange_rate(job, remedy.currency))
    own = remedy.workshop_share
    paid = float(cat.settings.workshop_cost_share if own is None else own)
    sums = [float(one) * rate for one in (remedy.low, remedy.likely, remedy.high)]
    return WayWhenWorn(
        remedy.way,
        share,
        Pert(*sums),
        Pert(*(one * paid for one in sums)),
        float(remedy.added_days),
        remedy.activity,
        remedy.origin,
    )


def _own_row(part: str, job: Job, cat: ClassCatalogue, scope: Scope) -> WayWhenWorn:
    row = cat.parts[part]
    unit, quantity = unit_price(row, job, cat), part_quantity(row, scope.parts)[0]
    likely, paid = float(unit.price * quantity), float(unit.cost * quantity)
    return WayWhenWorn(
        "replace",
        1.0,
        Pert(0.9 * likely, likely, 1.3 * likely),
        Pert(0.9 * paid, paid, 1.3 * paid),
        0.0,
        row.activity,
        "own row, judged",
    )
