"""Lines of the estimator's own, for which the catalogue has no row.

A row is made for each, so that pricing, levies, programme and print treat it like any other:

* labour is charged hours as typed: no difficulty, no scaling, one person at it;
* parts and outwork cost what was typed, in the quote's currency, at the markup named; parts carry
  no freight of their own, since no supplier is named (outwork shares the carriage of all outwork);
* in the programme its hours are added to the step where most of the work on its component is done
  (else on its group, else of the whole scope); parts and outwork of its own are expected to come
  within that step and take no time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import CalledRow, Operation, Outwork, PartsGroup
from estimator.domain.job import Job, OwnLine
from estimator.domain.problem import Place
from estimator.domain.scope_line import FIRM, LABOUR, PARTS, PROVISIONAL, ScopeLine

OWN = "own"
SOURCE = "typed with the job"


def own_scope_lines(
    job: Job, cat: ClassCatalogue, lines: Iterable[ScopeLine]
) -> Iterator[ScopeLine]:
    """A scope line for each of the job's own, given the lines of the catalogue beside them."""
    known = tuple(lines)
    for own in job.own:
        activity = step_for(own.component, job, cat, known)
        ranged = own.quantity_low != own.quantity_high
        yield ScopeLine(
            id=own.id,
            row=_row(own, job, activity),
            kind=own.kind,
            group=cat.group_of(own.component),
            certainty=PROVISIONAL if ranged else FIRM,
            quantity=own.quantity,
            low=own.quantity_low,
            high=own.quantity_high,
            unit=own.unit,
            why=own.reason,
            rule=OWN,
            because=(),
            own=own,
        )


def _row(own: OwnLine, job: Job, activity: str) -> CalledRow:
    if own.kind == LABOUR:
        return Operation(
            id=own.id,
            component=own.component,
            name=own.name,
            scaling="",
            levels=(job.level,),
            activity=activity,
            called_by="hand",
            trade=own.trade,
            hours=own.quantity,
            hours_low=own.quantity_low,
            hours_high=own.quantity_high,
            crew=1,
            difficulty="",
            origin=OWN,
            place=_place(own),
        )
    if own.kind == PARTS:
        return PartsGroup(
            id=own.id,
            component=own.component,
            name=own.name,
            scaling="",
            levels=(job.level,),
            activity=activity,
            called_by="hand",
            quantity=own.quantity,
            unit=own.unit,
            unit_cost=own.unit_cost,
            currency=job.terms.currency,
            price_date=job.date,
            supplier="",
            lead_weeks=Decimal(0),
            markup=own.markup,
            origin=OWN,
            place=_place(own),
        )
    return Outwork(
        id=own.id,
        component=own.component,
        name=own.name,
        scaling="",
        levels=(job.level,),
        activity=activity,
        called_by="hand",
        vendor="",
        quantity=own.quantity,
        unit=own.unit,
        cost_each=own.unit_cost,
        currency=job.terms.currency,
        price_date=job.date,
        markup=own.markup,
        turn_round_days=Decimal(0),
        origin=OWN,
        place=_place(own),
    )


def _place(own: OwnLine) -> Place:
    return Place(f"{SOURCE} ({own.id})")


def step_for(component: str, job: Job, cat: ClassCatalogue, lines: Iterable[ScopeLine]) -> str:
    """The step of the programme in which a piece of work on a component is done.

    The step with most charged hours in the scope on the component; else by the catalogue's hours
    on it at the job's level; else likewise on its group; else the step with most hours in the
    scope.
    "" where there is no step at all.
    """
    group = cat.group_of(component)
    in_scope = [
        (line.row, line.quantity)
        for line in lines
        if isinstance(line.row, Operation) and line.own is None
    ]
    possible = [(row, row.hours) for row in cat.operations.values() if job.takes(row)]
    tests: tuple[Callable[[CalledRow], bool], ...] = (
        lambda row: row.component == component,
        lambda row: cat.group_of(row.component) == group,
    )
    for wanted in tests:
        for work in (in_scope, possible):
            if step := _busiest(((row, hours) for row, hours in work if wanted(row)), cat):
                return step
    return _busiest(in_scope, cat)


def _busiest(work: Iterable[tuple[Operation, Decimal]], cat: ClassCatalogue) -> str:
    hours: dict[str, Decimal] = {}
    for row, charged in work:
        if row.activity in cat.activities and cat.activities[row.activity].kind == "work":
            hours[row.activity] = hours.get(row.activity, Decimal(0)) + charged
    return min(hours, key=lambda step: (-hours[step], step), default="")
