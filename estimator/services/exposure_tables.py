"""Tables of the exposure as a page shows them, in quoting units: the commercial forms with what
certainty costs, and which look to take first."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.domain.money import Money, money_half_up
from estimator.domain.priced_job import PricedJob
from estimator.services.show_forms import CertaintyRow, FormRow, show_certainty, show_forms
from estimator.services.show_open_first import OpenFirst, show_open_first


@dataclass(frozen=True, slots=True)
class FormTable:
    """Forms at the job's confidence, and fixed prices at others."""

    confidence: Decimal
    forms: tuple[FormRow, ...]
    fixed: tuple[CertaintyRow, ...]


def form_table(priced: PricedJob) -> FormTable:
    """Both tables of a priced job, each sum rounded half-up to the job's quoting unit."""
    unit = priced.job.terms.quoting_unit
    return FormTable(
        priced.contingency.confidence,
        tuple(_whole_form(row, unit) for row in show_forms(priced)),
        tuple(
            replace(row, price=_whole(row.price, unit), costs=_whole(row.costs, unit))
            for row in show_certainty(priced)
        ),
    )


def _whole_form(row: FormRow, unit: Decimal) -> FormRow:
    return replace(
        row,
        quoted=_whole(row.quoted, unit),
        pays=_whole(row.pays, unit),
        worst=_whole(row.worst, unit),
        workshop=_whole(row.workshop, unit),
        margin=_whole(row.margin, unit),
        overrun=_whole(row.overrun, unit),
    )


def _whole(sum_: Money, unit: Decimal) -> Money:
    return money_half_up(sum_.amount, sum_.currency, unit)


def look_table(priced: PricedJob, progress: Callable[[int, int], None]) -> OpenFirst:
    """Every look still possible, its sums rounded half-up to the job's quoting unit. `progress` as
    in `show_open_first`."""
    unit = priced.job.terms.quoting_unit
    found = show_open_first(priced, progress)
    rows = tuple(
        replace(
            row,
            fall=_whole(row.fall, unit),
            cost=None if row.cost is None else _whole(row.cost, unit),
        )
        for row in found.rows
    )
    return replace(found, spread=_whole(found.spread, unit), rows=rows)
