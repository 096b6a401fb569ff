"""Figures for the list without the whole reckoning.

A list shows price, contingency and dates of a job, not what each part puts into its contingency:
those shares take most of a reckoning's time, and no other figure rests on them. The figures here
are the very ones of `reckon`, to the minor unit.
"""

from __future__ import annotations

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.figures import note_share_of_new
from estimator.domain.job import Job
from estimator.domain.priced_job import PricedJob
from estimator.domain.priced_work import held, priced_work
from estimator.domain.programme.programme import build_programme
from estimator.domain.programme.scenarios import finish_dates
from estimator.domain.totals import total_up


def priced_for_list(job: Job, cat: ClassCatalogue) -> PricedJob:
    """A checked job priced, without the shares of its contingency and things to look at."""
    work = priced_work(job, cat)
    kept = held(work)
    price = total_up(job, cat, work.lines, kept.amount, {}, work.reasons, work.sums)
    programme = build_programme(job, cat, work.scope)
    finish = finish_dates(programme, work.exposed, work.known, cat.settings, job.terms.confidence)
    return PricedJob(
        job=job,
        cat=cat,
        scope=work.scope,
        lines=work.lines,
        known=work.known,
        exposed=work.exposed,
        firm_by_chance=work.firm_by_chance,
        contingency=kept,
        price=price,
        programme=programme,
        finish=finish,
        share_of_new=note_share_of_new(price, job, cat, work.reasons),
        reasons=work.reasons,
        warnings=(),
    )
