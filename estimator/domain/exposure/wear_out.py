"""Chance that a part nobody has measured is worn: Weibull in hours x duty.

F(h) = 1 - exp(-(h / scale) ** shape). A part seen sound at h0 is worn by h with probability
1 - exp(-((h / scale) ** shape - (h0 / scale) ** shape)) (conditional Weibull; reliability
handbooks, e.g. NIST/SEMATECH e-Handbook 8.1).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import expm1, log

from estimator.domain.catalogue.work_rows import WearOut
from estimator.domain.job import Job


class WearOutError(ValueError):
    """A chance, scale, shape or age that cannot be."""


@dataclass(frozen=True, slots=True)
class Age:
    """How long a part has worn, in hours x duty: `now`, and `sound` when last seen sound."""

    now: float
    sound: float
    counted_from: str


def scale_from_chance(chance: float, at_hours: float, shape: float) -> float:
    """Weibull scale for which F(at_hours) = chance at duty 1. Raises WearOutError."""
    if not 0 < chance < 1:
        raise WearOutError(f"a starting chance lies between 0 and 1, not {chance}")
    if at_hours <= 0 or shape <= 0:
        raise WearOutError(f"hours ({at_hours}) and shape ({shape}) must be above zero")
    return float(at_hours / (-log(1 - chance)) ** (1 / shape))


def chance_worn(age: Age, scale: float, shape: float) -> float:
    """Chance of being worn at `age`. Raises WearOutError on an age before it was seen sound."""
    if scale <= 0 or shape <= 0:
        raise WearOutError(f"scale ({scale}) and shape ({shape}) must be above zero")
    if age.sound > age.now:
        raise WearOutError(f"seen sound at {age.sound} h, after the {age.now} h now")
    return -expm1(-((age.now / scale) ** shape - (age.sound / scale) ** shape))


def scale_of(row: WearOut) -> float:
    """Weibull scale of a catalogue row, from its scale or its starting chance."""
    if row.scale_hours is not None:
        return float(row.scale_hours)
    assert row.starting_chance is not None  # one of the two: checked with the catalogue
    assert row.at_hours is not None
    return scale_from_chance(float(row.starting_chance), float(row.at_hours), float(row.shape))


def age_of(part: str, job: Job) -> Age:
    """Age of a part on this machine, from new, from its renewal, or given sound when last seen."""
    hours, duty = float(job.machine.hours), float(job.machine.duty)
    renewed = [float(e.hours) for e in job.machine.history if part in e.renewed]
    base = max(renewed, default=0.0)
    looks = [float(e.hours) for e in job.machine.history if part in e.seen_sound]
    seen = max((look for look in looks if look >= base), default=base)
    told = [f"renewed at {base:,.0f} h"] if renewed else []
    if seen > base:
        told.append(f"seen sound at {seen:,.0f} h")
    return Age((hours - base) * duty, (seen - base) * duty, ", ".join(told) or "machine hours")
