"""Lines the estimator typed over: another quantity, another cost, with the reason on record.

A typed quantity is the estimator's word on the extent, so it has no range and the line becomes
firm, also where the reading was doubtful: whoever still doubts it types a finding with a range
instead. A typed cost alone says nothing of the extent and leaves the certainty as it was. What is
counted from another row (hours for each hose) follows the finding, not the typed line.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from estimator.domain.catalogue.work_rows import CalledRow, Outwork, PartsGroup
from estimator.domain.job import LineChange
from estimator.domain.scope_line import FIRM, ScopeLine
from estimator.domain.wording import worded

TYPED = "typed"


def typed_over(
    lines: Iterable[ScopeLine], changes: Iterable[LineChange]
) -> tuple[list[ScopeLine], list[str]]:
    """(lines with the changes made, rows that were changed but are not in the scope)."""
    waiting = {change.row_id: change for change in changes}
    done = [_changed(line, waiting.pop(line.id, None)) for line in lines]
    return done, sorted(waiting)


def _changed(line: ScopeLine, change: LineChange | None) -> ScopeLine:
    if change is None:
        return line
    changed = replace(line, row=_with_cost(line.row, change), typed=change, worked_out=line)
    if change.quantity is None:
        return changed
    return replace(
        changed,
        certainty=FIRM,
        quantity=change.quantity,
        low=change.quantity,
        high=change.quantity,
        why=worded("typed over by {by}: {reason}", by=change.by, reason=change.reason),
        rule=TYPED,
    )


def _with_cost(row: CalledRow, change: LineChange) -> CalledRow:
    """The row at the typed cost, which is as old as the change."""
    if change.unit_cost is None:
        return row
    if isinstance(row, PartsGroup):
        return replace(row, unit_cost=change.unit_cost, price_date=change.date, origin=TYPED)
    if isinstance(row, Outwork):
        return replace(row, cost_each=change.unit_cost, price_date=change.date, origin=TYPED)
    return row  # hours have no cost of their own: refused with the job
