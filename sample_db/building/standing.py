"""Figures for the list without the whole reckoning.

A list shows price, contingency and dates of a job, not what each part puts into its contingency:
those shares take most of a reckoning's time, and no other figure rests on them. The figures here
are the very ones of `reckon`, to the minor unit.
"""

from __future__ import annotations

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.job import Job
from estimator.domain.priced_job import PricedJob, reckon


def priced_for_list(job: Job, cat: ClassCatalogue) -> PricedJob:
    """A checked job priced, without the shares of its contingency."""
    return reckon(job, cat, shares=False)
