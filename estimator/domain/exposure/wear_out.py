"""Chance that a part nobody has measured is worn: Weibull in hours x duty.

F(h) = 1 - exp(-(h / scale) ** shape). A part seen sound at h0 is worn by h with probability
1 - exp(-((h / scale) ** shape - (h0 / scale) ** shape)) (conditional Weibull; reliability
handbooks, e.g. NIST/SEMATECH e-Handbook 8.1).

Where the meter is doubted (replaced, or its history not known) the hours run since the part was
last new, renewed or seen sound are log-normal around the meter's, and the chance is averaged over
them: it moves towards the middle, and the interval around it grows. What was renewed or seen at
known hours is doubted only for the hours since. Each part is averaged by itself; that one meter
misleads about all of them together is not counted again, since what makes parts of a machine go
together is carried by the life factor.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import exp, expm1, log

from estimator.domain.catalogue.work_rows import WearOut
from estimator.domain.job import Job
from estimator.domain.wording import joined, worded

DOUBT_NODES, DOUBT_REACH = 13, 4.0  # evenly spaced, in standard deviations of ln hours


class WearOutError(ValueError):
    """A chance, scale, shape or age that cannot be."""


@dataclass(frozen=True, slots=True)
class Age:
    """How long a part has worn, in hours x duty: `now`, and `sound` when last seen sound.

    `doubt` is the standard deviation of the logarithm of the hours between the two.
    """

    now: float
    sound: float
    counted_from: str
    doubt: float = 0.0

    @property
    def spread(self) -> tuple[tuple[float, float], ...]:
        """(age now, weight) over the doubt; the weights add up to one. The meter's alone where
        there is no doubt."""
        if self.doubt <= 0:
            return ((self.now, 1.0),)
        since = self.now - self.sound
        return tuple(
            (self.sound + since * exp(self.doubt * node), weight) for node, weight in _nodes()
        )


@cache
def _nodes() -> tuple[tuple[float, float], ...]:
    """Evenly spaced nodes with standard-normal weights that add up to one."""
    step = 2 * DOUBT_REACH / (DOUBT_NODES - 1)
    nodes = [place * step - DOUBT_REACH for place in range(DOUBT_NODES)]
    weights = [exp(-0.5 * node * node) for node in nodes]
    total = sum(weights)
    return tuple((node, weight / total) for node, weight in zip(nodes, weights, strict=True))


def scale_from_chance(chance: float, at_hours: float, shape: float) -> float:
    """Weibull scale for which F(at_hours) = chance at duty 1: how a starting chance becomes one.

    at_hours / (-ln(1 - chance)) ** (1 / shape). Raises WearOutError.
    """
    if not 0 < chance < 1:
        raise WearOutError(f"a starting chance lies between 0 and 1, not {chance}")
    if at_hours <= 0 or shape <= 0:
        raise WearOutError(f"hours ({at_hours}) and shape ({shape}) must be above zero")
    return float(at_hours / (-log(1 - chance)) ** (1 / shape))


def chance_worn(age: Age, scale: float, shape: float) -> float:
    """Chance of being worn at `age`, averaged over its doubt. Raises WearOutError on an age before
    it was seen sound."""
    if scale <= 0 or shape <= 0:
        raise WearOutError(f"scale ({scale}) and shape ({shape}) must be above zero")
    if age.sound > age.now:
        raise WearOutError(f"seen sound at {age.sound} h, after the {age.now} h now")
    before = (age.sound / scale) ** shape
    return sum(
        -weight * expm1(-((now / scale) ** shape - before)) for now, weight in age.spread
    )  # fmt: skip


def scale_of(row: WearOut) -> float:
    """Weibull scale of a catalogue row, from its scale or its starting chance."""
    if row.scale_hours is not None:
        return float(row.scale_hours)
    assert row.starting_chance is not None  # one of the two: checked with the catalogue
    assert row.at_hours is not None
    return scale_from_chance(float(row.starting_chance), float(row.at_hours), float(row.shape))


def pool_of(row: WearOut) -> str:
    """The pool of like parts whose cases speak for a part; a part without one is its own."""
    return row.pool or row.part


def age_of(part: str, job: Job) -> Age:
    """Age of a part on this machine, from new, from its renewal, or given sound when last seen."""
    machine = job.machine
    hours, duty = float(machine.hours), float(machine.duty)
    renewed = [float(e.hours) for e in machine.history if part in e.renewed]
    base = max(renewed, default=0.0)
    looks = [float(e.hours) for e in machine.history if part in e.seen_sound]
    seen = max((look for look in looks if look >= base), default=base)
    told = [worded("renewed at {hours:,.0f} h", hours=base)] if renewed else []
    if seen > base:
        told.append(worded("seen sound at {hours:,.0f} h", hours=seen))
    return Age(
        (hours - base) * duty,
        (seen - base) * duty,
        joined(told) or worded("machine hours"),
        float(machine.hours_doubt),
    )
