"""How quotes held over the closed jobs, as a screen and a script show it."""

from __future__ import annotations

from dataclasses import dataclass

from estimator.domain.calibration import (
    BETTER,
    BETTER_IN_HINDSIGHT,
    FLAT_AT,
    HOLDS,
    TOO_FEW,
    TOO_LOW,
    WORSE,
    Calibration,
    QuotedJob,
    calibrate,
    wilson,
)
from estimator.domain.past_work import ClosedJob
from estimator.domain.wording import worded, worded_count
from estimator.services.open_record import Record
from estimator.services.past_work import closed_jobs

SHARES = {"p10": 0.1, "p50": 0.5, "p80": 0.8, "p90": 0.9}


@dataclass(frozen=True, slots=True)
class Held:
    """Closed jobs that came to no more than base and contingency as quoted, however those were
    set; `low` to `high` is the interval (95 %) of the share that would in the long run."""

    inside: int
    jobs: int
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class CalibrationShown:
    """How quotes held. `flat_quotes` counts the closed jobs quoted with a flat percentage: they
    have no percentiles and take part in `held` alone."""

    calibration: Calibration
    flat_quotes: int
    held: Held | None


def show_calibration(record: Record) -> CalibrationShown:
    """How the quotes of the record's closed jobs held."""
    return calibration_of([kept.row for kept in closed_jobs(record)])


def calibration_of(closed: list[ClosedJob]) -> CalibrationShown:
    """How the quotes of some closed jobs held."""
    quoted = [quoted_job(one) for one in closed if one.has_distribution and one.quoted_base]
    inside = sum(
        one.final_less_requests <= one.quoted_base + one.quoted_contingency for one in closed
    )
    held = Held(inside, len(closed), *wilson(inside, len(closed))) if closed else None
    return CalibrationShown(calibrate(quoted), len(closed) - len(quoted), held)


def quoted_job(closed: ClosedJob) -> QuotedJob:
    """A closed job as the calibration takes it. Raises ValueError where it has no distribution."""
    if not closed.has_distribution:
        raise ValueError(f"{closed.number} was quoted without a distribution")
    return QuotedJob(
        float(closed.quoted_base),
        {share: float(getattr(closed, name)) for name, share in SHARES.items()},
        float(closed.mean or 0),
        float(closed.final_less_requests),
    )


def sentence(shown: CalibrationShown) -> str:
    """What may be said of the quotes, in plain words, and no more than so many jobs allow."""
    found, jobs = shown.calibration.verdict, shown.calibration.jobs
    counted = worded_count("{n} job", "{n} jobs", jobs)
    if not jobs:
        return worded("No closed job was quoted with a distribution yet.")
    if found.kind == TOO_FEW:
        return worded(
            "With {jobs} nothing can be said yet: nothing speaks against the quotes, "
            "and as little for them.",
            jobs=counted,
        )
    if found.kind == HOLDS or found.at is None:
        at = shown.calibration.at(FLAT_AT)
        assert at is not None
        return worded(
            "Over {jobs} nothing contradicts the quotes. What was quoted as 8 in 10 held in "
            "{inside} of {all}: in the long run {low:.0%} to {high:.0%}.",
            jobs=counted,
            inside=at.inside,
            all=jobs,
            low=at.low,
            high=at.high,
        )
    at, tenths = found.at, worded("{tenths:g} in 10", tenths=found.at.stated * 10)
    share = worded(
        "{inside} of {all}, in the long run {low:.0%} to {high:.0%}",
        inside=at.inside,
        all=jobs,
        low=at.low,
        high=at.high,
    )
    if found.kind == TOO_LOW:
        return worded(
            "Quotes were too low: what was quoted as {tenths} held in only {share}.",
            tenths=tenths,
            share=share,
        )
    return worded(
        "Quotes were higher than they said: what was quoted as {tenths} held in {share}.",
        tenths=tenths,
        share=share,
    )


def flat_sentence(shown: CalibrationShown) -> str:
    """What may be said of the quoted percentiles against a flat percentage."""
    kind = shown.calibration.flat
    if kind == BETTER_IN_HINDSIGHT:
        return worded(
            "At 8 in 10 the quotes missed by less than any flat percentage could have, even one "
            "chosen afterwards."
        )
    if kind == BETTER:
        return worded(
            "At 8 in 10 the quotes missed by less than the best flat percentage of the other jobs."
        )
    if kind == WORSE:
        return worded(
            "At 8 in 10 the quotes missed by more than the best flat percentage of the other jobs."
        )
    return worded("Whether a flat percentage would have done as well cannot be told yet.")
