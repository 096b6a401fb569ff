"""What a job comes to when the machine lies open, beside what the program had quoted for it.

The machine wears by `wear_path`, is inspected as in `inspection` (what can be reached; the inside
is not seen), and is priced by the program. Then every part that the price left open is looked at as
it truly is. A worn part costs what another law than the estimator's gives:

* the way of putting it right is the usual one, unless the part is worn so deep (`TOO_DEEP`) that
  only the dearest will do: cost and wear go together, which the estimator does not know of;
* the cost is log-normal about the likely cost, and the catalogue's low and high hold it in 8 jobs
  of 10 only, where the estimator takes them for its ends.

Work found while working comes as often as the machine's site is rough: one gamma frailty for all
kinds of it and for what wears outside, where the estimator lets each kind spread by itself and
apart from all wear. Each kind is besides more or less frequent here than the catalogue says.

Provisional lines move by the same law as costs. Firm lines stay as quoted, and what an inspection
settles is so: it overlooks nothing (`inspection`), which is kinder than life.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from math import exp, log
from random import Random

from estimator.domain.exposure.contingency import CURVE
from estimator.domain.exposure.cost_when_worn import ExposedPart, chosen_remedy
from estimator.domain.exposure.found_work import Found
from estimator.domain.job import Event, Job, Party
from estimator.domain.new_job import JobDefaults, new_job, new_machine
from estimator.domain.priced_work import held, priced_work
from estimator.domain.pricing import PricedLine, exchange_rate

from .inspection import WHOLE, Look, Seen, findings_of
from .wear_path import is_worn

FOUND_ERROR = 0.3  # spread of ln(how often a kind of work is found, against the catalogue)
TOO_DEEP = 1.7  # wear beyond which the dearest way is taken
HELD_IN = 2 * 1.2815515655446004  # standard deviations between low and high: 8 in 10 lie between
CUSTOMER, INSPECTOR = Party("Sample customer"), "A. Rowe"


@dataclass(frozen=True, slots=True)
class QuotedAndFinal:
    """Sums before tax in the quote's currency: what was quoted, and what it came to."""

    class_id: str
    level: str
    currency: str
    base: float
    contingency: float
    percentiles: Mapping[float, float]  # share of outcomes -> final sum
    mean: float
    final: float
    below: float  # share of outcomes that were to come to no more than `final`
    open_parts: int
    worn_parts: int


def job_of(
    seen: Seen,
    level: str,
    history: tuple[Event, ...],
    number: str,
    day: datetime.date,
    defaults: JobDefaults,
    random: Random,
) -> Job:
    """The job of a machine as it was inspected from outside."""
    worn = seen.machine
    machine = new_machine(
        worn.class_id, "", Decimal(round(worn.hours)), defaults, Decimal(str(worn.duty))
    )
    job = new_job(
        number, replace(machine, history=history), CUSTOMER, INSPECTOR, day, defaults, level=level
    )
    look = Look(WHOLE, INSPECTOR, day)
    return replace(job, findings=findings_of(seen, look, random))


def quoted_and_final(seen: Seen, job: Job, random: Random) -> QuotedAndFinal:
    """What the program quotes for a job, and what it comes to."""
    cat = seen.cat
    work = priced_work(job, cat)
    kept = held(work)
    base = float((work.firm + work.provisional).amount)
    worn = [part for part in work.exposed if is_worn(seen.wear[part.part])]
    found = sum(_cost(part, seen, job, random) for part in worn)
    found += sum(_moved(line, random) for line in work.provisional_lines)
    found += sum(_found_while_working(one, seen, random) for one in work.found)
    return QuotedAndFinal(
        class_id=cat.machine_class.id,
        level=job.level,
        currency=job.terms.currency,
        base=base,
        contingency=float(kept.amount.amount),
        percentiles={share: base + kept.percentiles[share] for share in CURVE},
        mean=base + kept.mean,
        final=base + found,
        below=kept.share_below(found),
        open_parts=len(work.exposed),
        worn_parts=len(worn),
    )


def _cost(part: ExposedPart, seen: Seen, job: Job, random: Random) -> float:
    """What putting a worn part right came to; as its own row costs where it has no remedy."""
    offered, usual = seen.cat.remedies.get(part.part, ()), chosen_remedy(part.part, seen.cat, {})
    if usual is None:
        return drawn(part.cost.low, part.cost.mean, part.cost.high, random)
    rates = {one.way: float(exchange_rate(job, one.currency)) for one in offered}
    taken = usual
    if seen.wear[part.part] > TOO_DEEP:
        taken = max(offered, key=lambda one: float(one.likely) * rates[one.way])
    low, likely, high = (float(one) for one in (taken.low, taken.likely, taken.high))
    return drawn(low, likely, high, random) * rates[taken.way]


def _found_while_working(found: Found, seen: Seen, random: Random) -> float:
    """What all that was found of one kind came to."""
    often = Random(f"how often {found.id}").lognormvariate(0.0, FOUND_ERROR)
    each = found.cost.each
    count = _poisson(found.expected * often * seen.machine.site, random)
    return sum(drawn(each.low, each.likely, each.high, random) for _ in range(count))


def _poisson(mean: float, random: Random) -> int:
    """How many arrivals a mean of so many brings: gaps between them are exponential."""
    count, at = 0, random.expovariate(1.0)
    while at < mean:
        count += 1
        at += random.expovariate(1.0)
    return count


def _moved(line: PricedLine, random: Random) -> float:
    """How far a provisional line moved from its likely amount."""
    low, likely, high = (float(one.amount) for one in (line.low, line.amount, line.high))
    return drawn(low, likely, high, random) - likely if high > low else 0.0


def drawn(low: float, likely: float, high: float, random: Random) -> float:
    """Log-normal, its median at likely, as wide as holds 8 in 10 between low and high."""
    least = max(low, likely / 20)
    return likely * exp(random.gauss(0, 1) * log(high / least) / HELD_IN) if likely > 0 else 0.0
