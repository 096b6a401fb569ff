"""The first stage of a reckoning: findings to scope to priced lines and their sums.

It knows nothing of contingency, tax and dates, and takes some tens of milliseconds, so that the
firm and provisional sums can move while somebody types. `held` is the second stage: what must be
held for parts found worn, without its shares. `estimator.domain.priced_job` goes on from here.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.exposure.contingency import Contingency, held_only
from estimator.domain.exposure.cost_when_worn import ExposedPart, exposed_parts, firm_by_chance
from estimator.domain.exposure.distribution import Distribution
from estimator.domain.exposure.exposed_parts import Known, know
from estimator.domain.exposure.found_work import Found, found_work
from estimator.domain.finding_figures import note_findings
from estimator.domain.job import Job
from estimator.domain.money import Money
from estimator.domain.pricing import PricedLine, price_lines
from estimator.domain.reasons import Reasons
from estimator.domain.scope import PROVISIONAL, Scope, build_scope, called_parts, judge_all
from estimator.domain.totals import WorkSums, sum_work

Progress = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class PricedWork:
    """A job as far as its priced work: nothing held for what is open, no tax, no dates."""

    job: Job
    cat: ClassCatalogue
    scope: Scope
    lines: tuple[PricedLine, ...]
    known: Known
    exposed: tuple[ExposedPart, ...]
    firm_by_chance: Mapping[str, tuple[str, str]]  # part -> (way, reason)
    sums: WorkSums
    reasons: Reasons
    found: tuple[Found, ...] = ()  # work that may be found while working

    @property
    def firm(self) -> Money:
        """Everything that does not move, discount, freight and levies included."""
        return self.sums.firm

    @property
    def provisional(self) -> Money:
        """Provisional lines at their likely values."""
        return self.sums.provisional_lines

    @property
    def provisional_lines(self) -> tuple[PricedLine, ...]:
        """The lines whose extent is still to be measured."""
        return tuple(one for one in self.lines if one.line.certainty == PROVISIONAL)


def unheard(_: str) -> None:
    """Progress that nobody listens to."""


def priced_work(
    job: Job,
    cat: ClassCatalogue,
    progress: Progress = unheard,
    before: Distribution | None = None,
) -> PricedWork:
    """The first stage of a checked job. `before` is the distribution of a job much like this one:
    what it knows of circuits that have not changed is taken over, and the figures are the same
    without it. Raises NoRate and ValueError where its inputs cannot be reckoned with; what
    `progress` raises passes through."""
    reasons = Reasons()
    progress("scope")
    judgements = judge_all(job, cat)
    called = called_parts(judgements, cat)
    note_findings(judgements, reasons)
    progress("chances")
    known = know(job, cat, judgements, called, before.model if before else None)
    firm = firm_by_chance(known, cat, job.ways or {})
    scope = build_scope(job, cat, judgements, called, firm)
    lines = price_lines(job, cat, scope, reasons)
    exposed = exposed_parts(job, cat, known, scope, firm)
    sums = sum_work(job, cat, lines, reasons)
    found = found_work(job, cat)
    return PricedWork(job, cat, scope, lines, known, exposed, firm, sums, reasons, found)


def held(
    work: PricedWork, progress: Progress = unheard, before: Distribution | None = None
) -> Contingency:
    """The second stage: the contingency with its curve, its shares left empty. `before` as in
    `priced_work`. What `progress` raises passes through."""
    terms = work.job.terms
    return held_only(
        work.known,
        work.exposed,
        work.provisional_lines,
        terms.confidence,
        terms.currency,
        terms.quoting_unit,
        lambda: progress("contingency"),
        found=work.found,
        before=before,
    )
