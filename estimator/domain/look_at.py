"""What an estimator should look at before a quote goes out: nothing here stops the work."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.exposure.cost_when_worn import ExposedPart
from estimator.domain.job import Job
from estimator.domain.job_check import check_job
from estimator.domain.money import Money, money_half_up, money_sum
from estimator.domain.price_age import GOOD_FOR_DAYS, expired_prices
from estimator.domain.pricing import PricedLine, exchange_rate
from estimator.domain.problem import Place, Problem
from estimator.domain.programme.programme import Programme
from estimator.domain.repair import repairs_nothing
from estimator.domain.scope import Scope
from estimator.domain.wording import worded, worded_count

OLD_INSPECTION_DAYS = 120


def things_to_look_at(
    job: Job,
    cat: ClassCatalogue,
    scope: Scope,
    lines: tuple[PricedLine, ...],
    exposed: tuple[ExposedPart, ...],
    share_of_new: Decimal,
    programme: Programme,
) -> Iterator[Problem]:
    """Warnings about a priced job: its inspection, its scope, its price, its dates."""
    yield from (problem for problem in check_job(job, cat) if problem.warning)
    yield from _about_scope(job, cat, scope, lines)
    yield from _about_price(job, cat, exposed, share_of_new)
    yield from _about_old_prices(job, lines)
    yield from _about_dates(job, cat, programme)


def _warn(job: Job, code: str, message: str, remedy: str = "") -> Problem:
    return Problem(code, Place(job.title), message, remedy, warning=True)


def _about_scope(
    job: Job, cat: ClassCatalogue, scope: Scope, lines: tuple[PricedLine, ...]
) -> Iterator[Problem]:
    if repairs_nothing(job):
        yield _warn(
            job,
            "repairs-nothing",
            worded("this repair has no component to put right."),
            worded("Choose its components on the Enquiry page, or another level."),
        )
    if not job.findings:
        yield _warn(
            job,
            "no-findings",
            worded("there is no finding at all."),
            worded("Inspect the machine first."),
        )
    for double, included in scope.doubles:
        yield _warn(
            job,
            "counted-twice",
            worded("{double} already includes {included}.", double=double, included=included),
            worded("Keep one, or both."),
        )
    for row_id in scope.idle_typed:
        yield _warn(
            job,
            "idle-change",
            worded("{row_id} was typed over though it is not in the scope.", row_id=row_id),
            worded("Take the change out."),
        )
    for row_id in scope.idle_kept:
        yield _warn(
            job,
            "idle-change",
            worded(
                "{row_id} and {included} were both kept though not both are in the scope.",
                row_id=row_id.partition("+")[0],
                included=row_id.partition("+")[2],
            ),
            worded("Take the change out."),
        )
    for row_id in scope.idle_changes:
        yield _warn(
            job,
            "idle-change",
            worded(
                "{row_id} was added though it is in the scope, or removed though it is not.",
                row_id=row_id,
            ),
            worded("Take the change out."),
        )
    if scope.not_looked_at:
        names = ", ".join(cat.parts[part].name for part in scope.not_looked_at)
        yield _warn(
            job,
            "not-looked-at",
            worded("nobody looked at, so nothing is priced for: {names}.", names=names),
            worded("Add a finding for each."),
        )
    for part, rows, low in _thin(job, cat, scope, lines):
        yield _warn(
            job,
            "priced-thin",
            worded(
                "{name} ({part}) is priced at {rows}, below the least its remedy is said "
                "to cost, {low}.",
                name=cat.parts[part].name,
                part=part,
                rows=rows,
                low=low,
            ),
            worded("Add the operations it takes to the catalogue, or by hand."),
        )


def _thin(
    job: Job, cat: ClassCatalogue, scope: Scope, lines: tuple[PricedLine, ...]
) -> Iterator[tuple[str, Money, Money]]:
    """Parts put right whose lines come to less than the low end of their remedy."""
    currency = job.terms.currency
    for part, state in scope.parts.items():
        remedy = next((r for r in cat.remedies.get(part, ()) if r.way == state.disposition), None)
        counted = state.by is not None and state.by.finding.quantity is not None
        if remedy is None or counted or not job.takes(cat.parts[part]):
            continue  # a counted quantity may be less than the whole set the remedy is for
        own = [one for one in lines if one.id == part or part in one.line.row.follows]
        if any(one.line.typed is not None for one in own):
            continue  # somebody has looked at these lines, and said why
        rows = money_sum((one.amount for one in own), currency)
        low = money_half_up(remedy.low * exchange_rate(job, remedy.currency), currency)
        if rows < low:
            yield part, rows, low


def _about_price(
    job: Job, cat: ClassCatalogue, exposed: tuple[ExposedPart, ...], share: Decimal
) -> Iterator[Problem]:
    row = cat.machine_class
    low, high = row.usual_band(job.level)
    where = worded(
        "{share:.1%} of a new {type}, usual {low:.0%} to {high:.0%}",
        share=share,
        type=row.type,
        low=low,
        high=high,
    )
    if share > high:
        yield _warn(
            job,
            "above-band",
            worded("above the usual band: {where}.", where=where),
            worded("Compare with buying new."),
        )
    elif share < low:
        yield _warn(
            job,
            "below-band",
            worded("below the usual band: {where}.", where=where),
            worded("Look for what was left out."),
        )
    starting = [one.part for one in exposed if one.chance.rests_on == "starting value"]
    if starting:
        yield _warn(
            job,
            "starting-values",
            worded_count(
                "{n} chance behind the contingency rests on starting values.",
                "{n} chances behind the contingency rest on starting values.",
                len(starting),
            ),
            worded("Release only after someone has adopted them."),
        )


def _about_old_prices(job: Job, lines: tuple[PricedLine, ...]) -> Iterator[Problem]:
    if old := expired_prices(lines, job.date):
        yield _warn(
            job,
            "old-price",
            worded_count(
                "{n} price is older than {days} days: {old}.",
                "{n} prices are older than {days} days: {old}.",
                len(old),
                days=GOOD_FOR_DAYS,
                old=", ".join(old),
            ),
            worded("Ask the suppliers again, or type the cost over."),
        )


def _about_dates(job: Job, cat: ClassCatalogue, programme: Programme) -> Iterator[Problem]:
    if (job.date - job.inspected).days > OLD_INSPECTION_DAYS:
        yield _warn(
            job,
            "old-inspection",
            worded_count(
                "the inspection was {n} day before the quote.",
                "the inspection was {n} days before the quote.",
                (job.date - job.inspected).days,
            ),
            worded("Look at the machine again."),
        )
    if job.start < job.date:
        yield _warn(
            job,
            "start-past",
            worded(
                "the machine is to come in on {start}, before the quote's own date.",
                start=job.start,
            ),
            worded("Agree another day."),
        )
    if not programme.time.is_open(job.start):
        yield _warn(
            job,
            "start-closed",
            worded(
                "the workshop is closed on {start}, when the machine is to come in.",
                start=job.start,
            ),
            worded("Choose a working day."),
        )
    valid_until = job.date + timedelta(days=job.terms.valid_days)
    if valid_until > job.start:
        yield _warn(
            job,
            "valid-past-start",
            worded(
                "the quote stands until {valid_until}, after the machine is to come in "
                "({start}): the dates hold only for an order before that.",
                valid_until=valid_until,
                start=job.start,
            ),
            worded("Shorten the validity, or start later."),
        )
    last = max((closure.date for closure in cat.closures), default=None)
    if last is None or last < programme.finish_day:
        until = worded("{day}", day=last) if last else worded("the start")
        yield _warn(
            job,
            "calendar-ends",
            worded("the calendar lists no closed day after {until}.", until=until),
            worded("Add the coming holidays."),
        )
