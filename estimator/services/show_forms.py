"""The commercial forms side by side, and what certainty costs, for a page or a script to show."""

from __future__ import annotations

from estimator.domain.commercial_forms import (
    CUSTOMER,
    FIXED,
    FORMS,
    NAMED,
    NOT_TO_EXCEED,
    NOTHING_HELD,
    PROVISIONAL_SUMS,
    SCHEDULE_OF_RATES,
    TO_THE_CAP,
    WORKSHOP,
    CertaintyRow,
    FormRow,
    commercial_forms,
    price_of_certainty,
)
from estimator.domain.priced_job import PricedJob

__all__ = [
    "CUSTOMER", "FIXED", "FORMS", "NAMED", "NOTHING_HELD", "NOT_TO_EXCEED", "PROVISIONAL_SUMS",
    "SCHEDULE_OF_RATES", "TO_THE_CAP", "WORKSHOP", "CertaintyRow", "FormRow", "show_certainty",
    "show_forms",
]  # fmt: skip


def show_forms(priced: PricedJob) -> tuple[FormRow, ...]:
    """Every commercial form for a priced job, in the order of FORMS."""
    return commercial_forms(priced)


def show_certainty(priced: PricedJob) -> tuple[CertaintyRow, ...]:
    """What a fixed price costs above the mean of the work, at 50 to 95 in steps of five percent."""
    return price_of_certainty(priced)
