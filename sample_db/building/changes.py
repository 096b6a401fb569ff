"""What an estimator changes on a job of the scenario before it has a price."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator
from dataclasses import replace
from decimal import Decimal
from random import Random
from typing import Any

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.job import Event, Job, LineChange, OwnLine, ScopeChange

Change = tuple[str, Callable[[Job], Job]]  # (name, what it does)
HISTORY_ABOVE_HOURS = 9500
RENEWED = ("P-LIN", "P-INJ", "P-HED", "P-FIP")
SEEN_SOUND = ("P-CRK", "P-BLK", "P-TGS")
ENGINE = ("C01A", "C01B", "C01C", "C01D")


def history_of(cat: ClassCatalogue, hours: Decimal, random: Random) -> tuple[Event, ...]:
    """An engine overhaul half-way, on every other machine old enough for it."""
    if hours < HISTORY_ABOVE_HOURS or random.random() < 0.5:  # noqa: PLR2004
        return ()
    at = Decimal(100 * round(float(hours) * random.uniform(0.45, 0.65) / 100))
    return (
        Event(
            at,
            "engine overhauled",
            tuple(one for one in ENGINE if one in cat.components),
            tuple(one for one in RENEWED if one in cat.parts),
            tuple(one for one in SEEN_SOUND if one in cat.parts),
        ),
    )


def priced_changes(
    job: Job, cat: ClassCatalogue, by: str, day: datetime.date, random: Random
) -> Iterator[Change]:
    """Some of what is changed while a job is priced, each an edit of its own."""
    if random.random() < 0.5:  # noqa: PLR2004
        share = random.choice(("0.02", "0.03", "0.05"))
        yield f"discount {Decimal(share):.0%} on parts", _terms(discount_share=Decimal(share))
    if random.random() < 0.2:  # noqa: PLR2004
        yield "confidence 9 in 10", _terms(confidence=Decimal("0.9"))
    if random.random() < 0.35:  # noqa: PLR2004
        change = ScopeChange("O1504", "the customer puts on their own decals", by)
        yield "decals taken out", lambda here: replace(here, removed=(*here.removed, change))
    if random.random() < 0.4:  # noqa: PLR2004
        yield _way(cat, random)
    if random.random() < 0.3:  # noqa: PLR2004
        yield _own_line(by)
    if random.random() < 0.3:  # noqa: PLR2004
        yield _hours(cat, job, by, day, random)


def _terms(**changes: Any) -> Callable[[Job], Job]:
    return lambda job: replace(job, terms=replace(job.terms, **changes))


def _way(cat: ClassCatalogue, random: Random) -> Change:
    """Another way than the usual one for a part that has several."""
    several = [part for part in cat.wear if len(cat.remedies.get(part, ())) > 1]
    part = random.choice(several)
    way = next(one.way for one in cat.remedies[part] if not one.usual)
    name = f"{cat.parts[part].name}: {way}"
    return name, lambda job: replace(job, ways={**(job.ways or {}), part: way})


def _own_line(by: str) -> Change:
    line = OwnLine(
        id="X01",
        component="C13B",
        name="Reversing camera of the customer's own choice",
        kind="parts",
        quantity=Decimal(1),
        quantity_low=Decimal(1),
        quantity_high=Decimal(1),
        unit="set",
        trade="",
        unit_cost=Decimal(640),
        markup="A",
        reason="asked for by the customer's safety officer",
        by=by,
    )
    return "line X01 added", lambda job: replace(job, own=(*job.own, line))


def _hours(cat: ClassCatalogue, job: Job, by: str, day: datetime.date, random: Random) -> Change:
    """Hours of one operation of the level typed over."""
    rows = [
        row
        for row in cat.operations.values()
        if row.called_by == "level" and job.level in row.levels and row.hours_low is None
    ]
    row = random.choice(rows)
    hours = (row.hours * Decimal("1.25")).quantize(Decimal("0.5"))
    change = LineChange(row.id, hours, None, "took longer on the last machine like it", by, day)
    return f"hours of {row.id}", lambda here: replace(here, changed=(*here.changed, change))
