"""The worked job as if all of it, or all but one part, had been opened and measured."""

from __future__ import annotations

from dataclasses import replace

from estimator.domain.priced_job import PricedJob, reckon_on
from estimator.domain.priced_work import priced_work


def only_open(priced: PricedJob, *parts: str) -> PricedJob:
    """The job reckoned with these parts alone still open and no line still to be measured."""
    work = priced_work(priced.job, priced.cat)
    lines = tuple(replace(one, low=one.amount, high=one.amount) for one in work.lines)
    exposed = tuple(one for one in work.exposed if one.part in parts)
    return reckon_on(replace(work, lines=lines, exposed=exposed, found=()))
