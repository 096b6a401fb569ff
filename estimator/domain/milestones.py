"""The days of a quote that a customer plans by, each by a fixed key."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from estimator.domain.quote import Quote

MACHINE_IN, REPORTED, ANSWERS_BY = "machine in", "opened and reported", "answers by"
READY_LIKELY, READY_PLANNED, VALID_UNTIL = "ready likely", "ready planned", "valid until"
MILESTONES = (MACHINE_IN, REPORTED, ANSWERS_BY, READY_LIKELY, READY_PLANNED, VALID_UNTIL)


@dataclass(frozen=True, slots=True)
class Milestone:
    """One day of a quote; `key` is one of `MILESTONES`."""

    key: str
    day: date


def milestones(quote: Quote) -> tuple[Milestone, ...]:
    """Every milestone of a quote, in the order of `MILESTONES`."""
    days = {
        MACHINE_IN: quote.priced.job.start,
        REPORTED: quote.teardown.report_day,
        ANSWERS_BY: _answers_by(quote),
        READY_LIKELY: quote.ready_likely,
        READY_PLANNED: quote.ready_covered,
        VALID_UNTIL: quote.valid_until,
    }
    return tuple(Milestone(key, days[key]) for key in MILESTONES)


def _answers_by(quote: Quote) -> date:
    """So many working days after the report as the customer has to answer a finding.

    Raises BeyondCalendar where that lies further away than any rebuild takes.
    """
    time, terms = quote.priced.programme.time, quote.priced.job.terms
    reported = time.open_days_before(quote.teardown.report_day)
    return time.open_day(reported + terms.answer_days)
