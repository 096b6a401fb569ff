"""A job's exposure as text a person reads in a terminal. Sums are in the quote's currency."""

from __future__ import annotations

from estimator.command.columns import table
from estimator.command.text_output import amount, in_ten, percent
from estimator.domain.exposure_sheet import (
    FOUND,
    LINE,
    ExposureSheet,
    SheetRow,
    build_exposure_sheet,
)
from estimator.domain.priced_job import PricedJob


def exposure_text(priced: PricedJob) -> str:
    """What is open with its chance, what that rests on, cost, and share; then the distribution."""
    sheet = build_exposure_sheet(priced)
    rows = [
        (
            row.id,
            row.name,
            _ways(row),
            "" if row.chance is None else f"{row.chance:.3f}",
            _interval(row),
            "still to be measured" if row.kind == LINE else row.rests_on,
            f"{amount(row.low)} / {amount(row.likely)} / {amount(row.high)}",
            "" if row.workshop_cost is None else amount(row.workshop_cost),
            amount(row.amount),
        )
        for row in sheet.rows
    ]
    heads = ("Part", "What", "Way", "Chance", "Interval", "Rests on", "Low / likely / high",
             "Own cost", "Share")  # fmt: skip
    parts = [table(heads, rows, right=(3, 6, 7, 8))]
    firm = [f"  {part}: {reason}, {way}" for part, (way, reason) in priced.firm_by_chance.items()]
    return "\n\n".join([*parts, _groups(sheet), _held(sheet), _summary(sheet)]) + "\n".join(
        ["\nPriced as firm for its chance:", *(firm or ["  nothing"])]
    )


def _ways(row: SheetRow) -> str:
    if len(row.ways) == 1:
        return row.ways[0][0]
    return ", ".join(f"{way} {percent(share, 0)}" for way, share in row.ways) or row.kind


def _interval(row: SheetRow) -> str:
    if row.kind == FOUND and row.expected_count is not None:
        return f"{row.expected_count:.1f} expected"
    if row.chance_low is None or row.chance_high is None:
        return ""
    return f"{row.chance_low:.2f} to {row.chance_high:.2f}"


def _groups(sheet: ExposureSheet) -> str:
    rows = [(group.name, amount(group.amount)) for group in sheet.groups]
    rows.append(("Contingency", amount(sheet.priced.contingency.amount)))
    return table(("Group", "Share"), rows, right=(1,))


def _held(sheet: ExposureSheet) -> str:
    rows = [
        (in_ten(float(one.confidence)), amount(one.amount), amount(one.total), one.bound)
        for one in sheet.held
    ]
    return table(("Covered in", "Held", "Price", "Bound"), rows, right=(1, 2))


def _summary(sheet: ExposureSheet) -> str:
    held = sheet.priced.contingency
    starting = sheet.on_starting_values
    whole = [row for row in sheet.rows if row.rests_on]
    return (
        f"Mean above base {held.mean:,.0f}, standard deviation {held.deviation:,.0f}.\n"
        f"Contingency {amount(held.amount)} {held.amount.currency} "
        f"at {in_ten(float(held.confidence))}: the {held.bound} bound rules.\n"
        f"{len(starting)} of {len(whole)} chances and counts "
        f"({percent(len(starting) / len(whole) if whole else 0, 0)}) are starting values."
    )
