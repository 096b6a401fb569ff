"""One job reckoned through: findings to scope to price to exposure to finish date, in one pass.

The one place where the steps are joined. Nothing is read or written here; the same job and the
same catalogue give the same figures to the minor unit.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.exposure.contingency import Contingency, contingency
from estimator.domain.exposure.exposed_parts import (
    ExposedPart,
    Known,
    exposed_parts,
    firm_by_chance,
    know,
)
from estimator.domain.figures import (
    note_contingency,
    note_exposed,
    note_findings,
    note_finish,
    note_share_of_new,
)
from estimator.domain.job import Job
from estimator.domain.look_at import things_to_look_at
from estimator.domain.pricing import PricedLine, price_lines
from estimator.domain.problem import Problem
from estimator.domain.programme.programme import Programme, build_programme
from estimator.domain.programme.scenarios import Finish, finish_dates
from estimator.domain.reasons import Reasons
from estimator.domain.scope import PROVISIONAL, Scope, build_scope, called_parts, judge_all
from estimator.domain.totals import Price, total_up

Progress = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class PricedJob:
    """Everything a quote, a screen or a file may want to show of a job at one rebuild level."""

    job: Job
    cat: ClassCatalogue
    scope: Scope
    lines: tuple[PricedLine, ...]
    known: Known
    exposed: tuple[ExposedPart, ...]
    firm_by_chance: Mapping[str, tuple[str, str]]  # part -> (way, reason)
    contingency: Contingency
    price: Price
    programme: Programme
    finish: Finish
    share_of_new: Decimal
    reasons: Reasons
    warnings: tuple[Problem, ...]


def reckon(job: Job, cat: ClassCatalogue, progress: Progress = lambda _: None) -> PricedJob:
    """Price a checked job. Raises NoRate, NetworkCycle, BeyondCalendar and ValueError where its
    inputs cannot be reckoned with (each says why); `progress` is told what is being done."""
    reasons = Reasons()
    progress("scope")
    judgements = judge_all(job, cat)
    called = called_parts(judgements, cat)
    note_findings(judgements, reasons)
    progress("chances")
    known = know(job, cat, judgements, called)
    firm = firm_by_chance(known, cat, job.ways or {})
    scope = build_scope(job, cat, judgements, called, firm)
    lines = price_lines(job, cat, scope, reasons)
    exposed = exposed_parts(job, cat, known, scope, firm)
    progress("contingency")
    provisional = tuple(one for one in lines if one.line.certainty == PROVISIONAL)
    held = contingency(
        known,
        exposed,
        provisional,
        job.terms.confidence,
        job.terms.currency,
        job.terms.quoting_unit,
    )
    note_exposed(known, exposed, held, cat, job, reasons)
    note_contingency(held, cat, job.terms.currency, reasons)
    price = total_up(job, cat, lines, held.amount, held.group_amounts(job.terms.currency), reasons)
    progress("programme")
    programme = build_programme(job, cat, scope)
    finish = finish_dates(programme, exposed, known, cat.settings, job.terms.confidence)
    note_finish(programme, finish, job, cat, reasons)
    share = note_share_of_new(price, job, cat, reasons)
    warnings = things_to_look_at(job, cat, scope, lines, exposed, share, programme)
    progress("done")
    return PricedJob(
        job=job,
        cat=cat,
        scope=scope,
        lines=lines,
        known=known,
        exposed=exposed,
        firm_by_chance=firm,
        contingency=held,
        price=price,
        programme=programme,
        finish=finish,
        share_of_new=share,
        reasons=reasons,
        warnings=tuple(warnings),
    )
