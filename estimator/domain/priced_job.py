"""One job reckoned through: findings to scope to price to exposure to finish date, in one pass.

The one place where the steps are joined. Nothing is read or written here; the same job and the
same catalogue give the same figures to the minor unit.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
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
from estimator.domain.money import Money, money_half_up, money_sum
from estimator.domain.pricing import PricedLine, exchange_rate, price_lines
from estimator.domain.problem import Place, Problem
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
    progress("done")
    return PricedJob(
        job,
        cat,
        scope,
        lines,
        known,
        exposed,
        firm,
        held,
        price,
        programme,
        finish,
        share,
        reasons,
        tuple(_warnings(job, cat, scope, share, programme, known, lines)),
    )


def _warnings(
    job: Job,
    cat: ClassCatalogue,
    scope: Scope,
    share: Decimal,
    programme: Programme,
    known: Known,
    lines: tuple[PricedLine, ...],
) -> list[Problem]:
    """What an estimator should look at before the quote goes out."""
    found: list[Problem] = []

    def warn(code: str, message: str, remedy: str = "") -> None:
        found.append(Problem(code, Place(job.title), message, remedy, warning=True))

    row = cat.machine_class
    band = (
        (row.full_band_low, row.full_band_high)
        if job.level == "full"
        else (row.driveline_band_low, row.driveline_band_high)
    )
    where = f"{share:.1%} of a new {row.type}, usual {band[0]:.0%} to {band[1]:.0%}"
    if share > band[1]:
        warn("above-band", f"above the usual band: {where}.", "Compare with buying new.")
    elif share < band[0]:
        warn("below-band", f"below the usual band: {where}.", "Look for what was left out.")
    for double, included in scope.doubles:
        warn("counted-twice", f"{double} already includes {included}.", "Keep one, or both.")
    if scope.not_looked_at:
        names = ", ".join(cat.parts[part].name for part in scope.not_looked_at)
        warn("not-looked-at", f"nobody looked at: {names}.", "Add a finding, or 'not seen'.")
    for part, rows, low in _thin(job, cat, scope, lines):
        warn(
            "priced-thin",
            f"{cat.parts[part].name} ({part}) is priced at {rows}, below the least its remedy "
            f"is said to cost, {low}.",
            "Add the operations it takes to the catalogue, or by hand.",
        )
    starting = [c.part for c in known.chances.values() if c.rests_on == "starting value"]
    if starting:
        warn(
            "starting-values",
            f"{len(starting)} chances rest on starting values.",
            "Release only after someone has adopted them.",
        )
    last = max((closure.date for closure in cat.closures), default=None)
    if last is None or last < programme.finish_day:
        warn(
            "calendar-ends",
            f"the calendar lists no closed day after {last.isoformat() if last else 'the start'}.",
            "Add the coming holidays.",
        )
    return found


def _thin(
    job: Job, cat: ClassCatalogue, scope: Scope, lines: tuple[PricedLine, ...]
) -> Iterator[tuple[str, Money, Money]]:
    """Parts put right whose lines come to less than the low end of their remedy."""
    currency = job.terms.currency
    for part, state in scope.parts.items():
        remedy = next((r for r in cat.remedies.get(part, ()) if r.way == state.disposition), None)
        counted = state.by is not None and state.by.finding.quantity is not None
        if remedy is None or counted or job.level not in cat.parts[part].levels:
            continue  # a counted quantity may be less than the whole set the remedy is for
        rows = money_sum(
            (one.amount for one in lines if one.id == part or part in one.line.row.follows),
            currency,
        )
        low = money_half_up(remedy.low * exchange_rate(job, remedy.currency), currency)
        if rows < low:
            yield part, rows, low
