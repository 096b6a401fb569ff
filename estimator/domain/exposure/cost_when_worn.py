"""What it costs if an open part is found worn, and which open parts are priced as firm at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import Remedy
from estimator.domain.exposure.exposed_parts import Chance, Known
from estimator.domain.exposure.pert import Pert
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
    """An open part with what it costs if it is found worn, in the quote's currency."""

    part: str
    group: str
    component: str
    name: str
    way: str
    chance: Chance
    cost: Pert
    added_days: float
    activity: str
    cost_rests_on: str


def exposed_parts(
    job: Job, cat: ClassCatalogue, known: Known, scope: Scope, firm: Mapping[str, tuple[str, str]]
) -> tuple[ExposedPart, ...]:
    """Every open part that is not priced as firm, in the order of the breakdown."""
    found = []
    for part, chance in known.chances.items():
        if chance.state is not None or part in firm:
            continue
        row = cat.parts[part]
        remedy = chosen_remedy(part, cat, job.ways or {})
        way, cost, days, activity, rests = _cost_if_worn(part, remedy, job, cat, scope)
        found.append(
            ExposedPart(
                part,
                cat.group_of(row.component),
                row.component,
                row.name,
                way,
                chance,
                cost,
                days,
                activity,
                rests,
            )
        )
    return tuple(sorted(found, key=lambda one: (one.group, one.component, one.part)))


def _cost_if_worn(
    part: str, remedy: Remedy | None, job: Job, cat: ClassCatalogue, scope: Scope
) -> tuple[str, Pert, float, str, str]:
    """(way, cost, added days, activity, what it rests on).

    Where the catalogue states no remedy (a part that is usually measured), the part's own row at
    selling price is taken as likely, 0.9 and 1.3 times it as low and high (judged).
    """
    if remedy is not None:
        rate = float(exchange_rate(job, remedy.currency))
        cost = Pert(*(float(one) * rate for one in (remedy.low, remedy.likely, remedy.high)))
        return remedy.way, cost, float(remedy.added_days), remedy.activity, remedy.origin
    row = cat.parts[part]
    likely = float(unit_price(row, job, cat).price * part_quantity(row, scope.parts)[0])
    return "replace", Pert(0.9 * likely, likely, 1.3 * likely), 0.0, row.activity, "own row, judged"
