"""From what is typed into a cell of the price to the job it makes. No Qt."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

from estimator.desktop.formats import Formats
from estimator.desktop.language import _, ngettext
from estimator.desktop.widgets.columns import CellEdit, NotValid
from estimator.domain.by_hand_check import MOST_TYPED
from estimator.domain.job import Job
from estimator.domain.scope_edits import as_worked_out, typed_change, with_line_typed, with_own_line
from estimator.services.show_price import PriceRow

QUANTITY, HOURS, UNIT_COST, REASON = "quantity", "hours", "unit_cost", "rests"
LONGEST_REASON = 500
MOST_PLACES = 6


@dataclass(frozen=True, slots=True)
class WhoTypes:
    """Whose name and day a change carries."""

    name: str
    day: date

    @property
    def reason(self) -> str:
        """The reason a change carries until a better one is typed."""
        return _("typed by {name}").format(name=self.name)


def read_quantity(row: PriceRow, text: str, say: Formats) -> Decimal | None:
    """Hours or units as typed; None, for blank text, means as it was worked out."""
    if not text:
        _allow_blank(row)
        return None
    value = _number(text, say)
    if value <= 0:
        raise NotValid(_("Above zero. Del brings back what was worked out; lines go on Scope."))
    return value


def read_cost(row: PriceRow, text: str, say: Formats) -> Decimal | None:
    """The cost of one as typed; None, for blank text, means the catalogue's."""
    if not text:
        _allow_blank(row)
        return None
    value = _number(text, say)
    if value < 0:
        raise NotValid(_("Not below zero. Check the sign."))
    return value


def read_reason(_row: PriceRow, text: str) -> str:
    """Why a line was typed over."""
    words = " ".join(text.split())
    if not words:
        raise NotValid(_("Say why; it stays on record."))
    if len(words) > LONGEST_REASON:
        raise NotValid(_("Too long: {n} characters at most.").format(n=LONGEST_REASON))
    return words


def _allow_blank(row: PriceRow) -> None:
    if row.own:
        raise NotValid(_("A line of your own needs it. Del on its name takes the line out."))


def _number(text: str, say: Formats) -> Decimal:
    value = say.read_number(text)
    exponent = value.as_tuple().exponent
    if isinstance(exponent, int) and -exponent > MOST_PLACES:
        raise NotValid(_("Too many places after the decimal mark."))
    if abs(value) > MOST_TYPED:
        raise NotValid(_("Too large. Check the digits."))
    return value


def job_with(job: Job, row: PriceRow, key: str, value: Any, who: WhoTypes) -> Job:
    """The job with one cell typed over. Raises NotValid where a range forbids it."""
    if row.own:
        return _own_with(job, row, key, value)
    if key == REASON:
        return _with_reason(job, row.id, value)
    what = UNIT_COST if key == UNIT_COST else QUANTITY
    if value is None:
        return as_worked_out(job, row.id, quantity=what == QUANTITY, unit_cost=what == UNIT_COST)
    known = typed_change(job, row.id)
    reason = known.reason if known is not None else who.reason
    return with_line_typed(job, row.id, reason, who.name, who.day, **{what: value})


def _with_reason(job: Job, row_id: str, reason: str) -> Job:
    return replace(
        job,
        changed=tuple(
            replace(one, reason=reason) if one.row_id == row_id else one for one in job.changed
        ),
    )


def _own_with(job: Job, row: PriceRow, key: str, value: Any) -> Job:
    line = next((one for one in job.own if one.id == row.id), None)
    if line is None:
        return job
    if key == REASON:
        return with_own_line(job, replace(line, reason=value))
    if key == UNIT_COST:
        return with_own_line(job, replace(line, unit_cost=value))
    if line.quantity_low == line.quantity_high:
        changed = replace(line, quantity=value, quantity_low=value, quantity_high=value)
        return with_own_line(job, changed)
    if not line.quantity_low <= value <= line.quantity_high:
        raise NotValid(_("Outside its range. Enter on the line's name changes the range."))
    return with_own_line(job, replace(line, quantity=value))


def job_with_all(job: Job, edits: Iterable[CellEdit], who: WhoTypes) -> Job:
    """The job with a whole act of the user made: a typed cell, a paste, a fill."""
    for edit in edits:
        job = job_with(job, edit.row, edit.key, edit.value, who)
    return job


def act_name(edits: list[CellEdit]) -> str:
    """What undo says of an act."""
    first = edits[0]
    if len(edits) > 1:
        return ngettext("{n} cell of the price", "{n} cells of the price", len(edits)).format(
            n=len(edits)
        )
    what = {
        HOURS: _("hours of {line}"),
        QUANTITY: _("quantity of {line}"),
        UNIT_COST: _("cost of {line}"),
        REASON: _("reason of {line}"),
    }[first.key]
    return what.format(line=first.row.id)


def place_of(row: PriceRow, key: str) -> str:
    """Where a text that is not valid yet is kept."""
    section = "own" if row.own else "changed"
    field = {HOURS: QUANTITY, REASON: "reason"}.get(key, key)
    return f"{section}/{row.id}/{field}"
