"""Checks of what it takes when a part is worn: chances of its ways, work found while working."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from estimator.domain.catalogue import rows, work_rows
from estimator.domain.catalogue.catalogue import Catalogue, fits
from estimator.domain.catalogue.rows import MachineClass, Row
from estimator.domain.problem import Place, Problem

FINE = 20  # a count that moves with size is rounded to no more than this part of itself


def fault_at(row: Row, column: str, code: str, message: str, remedy: str = "") -> Problem:
    """A fault at one column of a row."""
    return Problem(code, Place(row.place.file, row.place.row, column), message, remedy)


def found_work_faults(row: work_rows.FoundWork) -> Iterator[Problem]:
    """Faults that show within one row of found work."""
    if row.count < 0:
        yield fault_at(row, "count", "count-below-zero", f"{row.count} cannot be.", "Check it.")
    if not row.levels:
        yield fault_at(row, "levels", "no-level", "belongs to no rebuild level.", "Name one.")
    if row.parts_cost and not row.markup:
        yield fault_at(
            row, "markup", "no-markup", "its parts have a cost but no markup.", "Name the markup."
        )


def coarse_counts(catalogue: Catalogue) -> Iterator[Problem]:
    """Counts that scaling would round away: 0.4 by whole ones is nothing, or one."""
    steps = {row.id: row for row in catalogue.table("scaling", rows.Scaling)}
    for row in catalogue.table("found_work", work_rows.FoundWork):
        scaling = steps.get(row.scaling)
        if scaling is None or scaling.driver == "none" or scaling.step * FINE <= row.count:
            continue
        if row.count > 0:
            yield fault_at(
                row,
                "scaling",
                "coarse-step",
                f"{row.scaling} rounds to {scaling.step}, too coarse for a count of {row.count}.",
                "Name a scaling with a finer step.",
            )


def when_worn_faults(catalogue: Catalogue, machine_class: MachineClass) -> Iterator[Problem]:
    """Faults that show only as one class sees the catalogue: chances of ways that are no whole,
    found work with the code of a line."""
    traits = machine_class.all_traits
    by_part: dict[str, list[work_rows.Remedy]] = {}
    for remedy in catalogue.table("remedies", work_rows.Remedy):
        if fits(remedy, traits):
            by_part.setdefault(remedy.part, []).append(remedy)
    for part, ways in by_part.items():
        yield from _share_faults(part, ways, machine_class)
    taken = {
        row.id: row
        for name in ("operations", "parts", "outwork")
        for row in catalogue.table(name, work_rows.CalledRow)
        if fits(row, traits)
    }
    for found in catalogue.table("found_work", work_rows.FoundWork):
        if fits(found, traits) and (other := taken.get(found.id)) is not None:
            yield fault_at(
                found,
                "id",
                "code-taken",
                f"{found.id} is also row {other.place.row} of {other.place.file}.",
                "A row is taken out by its code: give it one of its own.",
            )


def _share_faults(
    part: str, ways: list[work_rows.Remedy], machine_class: MachineClass
) -> Iterator[Problem]:
    """The chances of a part's ways are all blank, or all filled and one together."""
    filled = [row for row in ways if row.share is not None]
    if not filled:
        return
    for row in ways:
        if row.share is None:
            yield fault_at(
                row,
                "share",
                "share-blank",
                f"{part} by {row.way} has no chance, other ways of it for {machine_class.id} do.",
                "Fill it, 0 where it never comes about, or blank them all.",
            )
        elif not 0 <= row.share <= 1:
            yield fault_at(row, "share", "bad-share", f"{row.share} is no chance.", "From 0 to 1.")
    total = sum((row.share for row in filled if row.share is not None), Decimal(0))
    if total != 1 and len(filled) == len(ways):
        yield fault_at(
            filled[0],
            "share",
            "shares-no-whole",
            f"the chances of {part}'s ways for {machine_class.id} add up to {total}, not to 1.",
            f"Mend one of {', '.join(f'row {row.place.row}' for row in filled)}.",
        )
