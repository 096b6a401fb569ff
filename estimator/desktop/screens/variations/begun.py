"""What the form of a variation begins with: nothing yet, or the variation as it stands. No Qt."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from estimator.desktop.formats import Formats
from estimator.desktop.screens.variations.typed import PRICE, Typed
from estimator.desktop.screens.variations.typed_lines import LineText, MeasureText, WayText
from estimator.domain.contract.contract import Case
from estimator.domain.contract.remeasure import remeasured_line
from estimator.domain.contract.variation import Remeasured
from estimator.domain.money import Money
from estimator.domain.scope_line import LABOUR
from estimator.services.write_contract import Here


def begun(here: Here) -> Typed:
    """A new variation: one empty price line."""
    return Typed(lines=(LineText("1", currency=here.contract.currency),))


def typed_of(case: Case, here: Here, say: Formats) -> Typed:
    """A variation as the form shows it, to price it or write it anew."""
    one, currency = case.variation, here.contract.currency

    def money(sum_: Money | None) -> str:
        return "" if sum_ is None else say.number(sum_.amount)

    def day(value: date | None) -> str:
        return "" if value is None else value.isoformat()

    lines = tuple(
        LineText(
            str(n), line.kind, line.what, say.number(line.quantity), line.trade,
            "" if line.kind == LABOUR else say.number(line.unit_cost), line.currency, line.markup,
            line.part, line.unit,
        )
        for n, line in enumerate(one.lines, start=1)
    )  # fmt: skip
    part = one.parts[0] if len(one.parts) == 1 else ""
    return Typed(
        title=one.title, component=one.component, location=one.location, cause=one.cause,
        end=one.end, measured=one.measured, not_seen=one.not_seen_before,
        consequence=one.consequence, cannot=one.cannot_be_declined, safety=one.safety,
        answer_by=day(one.answer_by), waiting_from=day(one.waiting_from),
        waiting_per_day=money(one.waiting_per_day),
        days=say.number(one.days) if one.days else "", activity=one.activity, money=PRICE,
        own_cost=money(one.workshop_cost), parts=one.parts, photographs=one.photographs,
        chosen=one.chosen,
        lines=lines or (LineText("1", currency=currency, part=part),),
        measures=tuple(
            MeasureText(str(n), r.row_id, _measured_text(r, here, say))
            for n, r in enumerate(one.remeasured, start=1)
        ),
        ways=tuple(
            WayText(
                str(n), way.way, way.what, say.number(way.amount.amount), say.number(way.days),
                way.warranty, way.note,
            )
            for n, way in enumerate(one.ways, start=1)
        ),
    )  # fmt: skip


def _measured_text(one: Remeasured, here: Here, say: Formats) -> str:
    """The quantity as it is typed: before difficulty."""
    quoted = remeasured_line(here.work, one.row_id, by_factor=False, value=Decimal(1))
    return say.number(one.quantity / quoted.quantity if quoted.quantity else one.quantity)
