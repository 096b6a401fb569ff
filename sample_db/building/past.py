"""Past work of the sample workshop: what teardowns showed, and what jobs came to in the end.

Machines are drawn by the wear process (`wear_path`), stripped once, and part of what lay open was
written down. A closed job's final sum is its base, give or take, and what its strip found.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from random import Random

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.exposure.cost_when_worn import chosen_remedy
from estimator.domain.past_work import ClosedJob, TeardownOutcome

from .inspection import Seen, see_machine
from .wear_path import PartProcess, is_worn

MACHINES, CLOSED_JOBS = 52, 40
BESIDE_POOLS = 3  # parts without a pool written down from each strip
CLASS_WEIGHTS = {"WL28": 0.45, "CE36": 0.33, "LC36": 0.22}
BASE_SHARE = {"full": (0.42, 0.56), "driveline": (0.22, 0.32)}  # of a new machine's price
HELD_SHARE = (0.09, 0.16)  # of base: by rule of thumb, as it was done before
SEEN_BEFORE = 0.7  # share of worn parts that the inspection had found, so that the base held them


@dataclass(frozen=True, slots=True)
class Strip:
    """A machine that was stripped on a day."""

    seen: Seen
    day: datetime.date
    level: str


def strips(
    catalogues: Mapping[str, ClassCatalogue],
    processes: Mapping[str, PartProcess],
    first: datetime.date,
    last: datetime.date,
    seed: str,
) -> list[Strip]:
    """Every machine that was stripped between two days, oldest first."""
    found = []
    for number in range(MACHINES):
        random = Random(f"{seed}/strip {number}")
        cat = catalogues[random.choices(list(CLASS_WEIGHTS), list(CLASS_WEIGHTS.values()))[0]]
        hours = 10 * round(min(max(random.lognormvariate(9.5, 0.3), 6000), 22000) / 10)
        duty = round(random.uniform(0.85, 1.3) * 20) / 20
        seen = see_machine(cat, processes, hours, duty, (), random)
        days = (last - first).days * (number + random.random()) / MACHINES
        level = "full" if random.random() < 0.6 else "driveline"  # noqa: PLR2004
        found.append(Strip(seen, _weekday(first + datetime.timedelta(days=int(days))), level))
    return found


def _weekday(day: datetime.date) -> datetime.date:
    return day - datetime.timedelta(days=max(0, day.weekday() - 4))


def teardown_outcomes(
    strip: Strip, processes: Mapping[str, PartProcess], seed: str
) -> Iterator[TeardownOutcome]:
    """What was written down of one strip: every part of a pool, and some others."""
    cat, machine = strip.seen.cat, strip.seen.machine
    random = Random(f"{seed}/outcomes {strip.day} {machine.hours} {machine.class_id}")
    lasting = [p for p in cat.wear if p in processes and not processes[p].renewed_every]
    pooled = [part for part in lasting if cat.wear[part].pool]
    others = [part for part in lasting if part not in pooled]
    for part in (*pooled, *random.sample(others, BESIDE_POOLS)):
        worn = is_worn(strip.seen.wear[part])
        remedy = chosen_remedy(part, cat, {})
        cost = days = None
        if worn and remedy is not None:
            cost = Decimal(round(float(remedy.likely) * random.lognormvariate(0, 0.18)))
            days = Decimal(max(1, round(float(remedy.added_days) * random.uniform(0.7, 1.6))))
        yield TeardownOutcome(
            pool=cat.wear[part].pool or cat.parts[part].name.lower()[:80],
            machine_class=machine.class_id,
            component=part,
            hours=Decimal(round(machine.hours)),
            duty=Decimal(str(machine.duty)),
            life_basis="since new",
            disposition=(remedy.way if remedy else "replace") if worn else "reuse",
            worn=worn,
            cost=cost,
            currency=remedy.currency if cost is not None and remedy else "",
            days=days,
            found_on=strip.day,
        )


def closed_job(strip: Strip, number: str, seed: str) -> ClosedJob:
    """What the job of a strip was quoted at, and what it came to."""
    cat, machine = strip.seen.cat, strip.seen.machine
    random = Random(f"{seed}/closed {number}")
    price = float(cat.machine_class.new_price_likely)
    age = 0.85 + 0.3 * (machine.hours - 6000) / 16000
    base = price * random.uniform(*BASE_SHARE[strip.level]) * age
    held = base * random.uniform(*HELD_SHARE)
    found = 0.0
    for part, row in cat.parts.items():
        remedy = chosen_remedy(part, cat, {}) if part in cat.wear else None
        if remedy is None or row.called_by != "condition" or strip.level not in row.levels:
            continue
        if is_worn(strip.seen.wear[part]) and random.random() > SEEN_BEFORE:
            found += float(remedy.likely) * random.lognormvariate(0, 0.18)
    final = base * random.lognormvariate(0, 0.02) + found
    return ClosedJob(
        number=number,
        machine_class=machine.class_id,
        hours=Decimal(round(machine.hours)),
        currency=cat.machine_class.currency,
        quoted_base=Decimal(round(base)),
        quoted_contingency=Decimal(round(held / 100) * 100),
        final_less_requests=Decimal(round(final)),
        closed_on=strip.day + datetime.timedelta(days=random.randint(35, 80)),
    )
