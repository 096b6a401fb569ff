"""Checks across the rows of a catalogue: every fault, each with its place."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from decimal import Decimal
from typing import Any, cast

from estimator.domain.catalogue import rows, work_rows
from estimator.domain.catalogue.catalogue import TABLES, Catalogue
from estimator.domain.catalogue.check_class import class_faults
from estimator.domain.catalogue.check_when_worn import coarse_counts, fault_at, found_work_faults
from estimator.domain.catalogue.column import referring
from estimator.domain.catalogue.rows import MachineClass, Row
from estimator.domain.cleanliness import CleanlinessError, parsed
from estimator.domain.problem import Place, Problem
from estimator.domain.units import kind_of

CODE = re.compile(r"[A-Z0-9][A-Za-z0-9-]{0,23}\Z")
MOST_SHARED = Decimal("0.98")  # what the nodes of the factors bear (exposure/nodes.py)
METAL = re.compile(r"[A-Z][a-z]? \d+(\.\d+)?\Z")


def check_catalogue(catalogue: Catalogue, *, complete: bool = True) -> list[Problem]:
    """Every fault across rows. With `complete` false (rows are missing because they could not be
    read) the checks that need all rows are left out, so that one fault is not reported as ten.
    """
    problems: list[Problem] = []
    for name, row_class in TABLES.items():
        found = catalogue.table(name, row_class)
        problems += _code_faults(found)
        problems += _own_faults(found)
    if not complete:
        return problems
    problems += _reference_faults(catalogue)
    problems += _setting_faults(catalogue)
    problems += _pool_faults(catalogue)
    problems += coarse_counts(catalogue)
    problems += _crew_faults(catalogue)
    problems += _clause_faults(catalogue)
    if problems:
        return problems
    for machine_class in catalogue.table("classes", MachineClass):
        problems += class_faults(catalogue, machine_class)
    return problems


def _code_faults(found: Iterable[Row]) -> Iterator[Problem]:
    for row in found:
        code = getattr(row, "id", None)
        if code is not None and not CODE.match(code):
            yield fault_at(
                row,
                "id",
                "bad-code",
                f"holds {code[:40]!r}.",
                "A code is up to 24 letters, digits and hyphens, and starts with a capital.",
            )


def _own_faults(found: Iterable[Row]) -> Iterator[Problem]:
    """Faults that show within one row."""
    for row in found:
        yield from _range_faults(row)
        if isinstance(row, work_rows.WearOut):
            yield from _wear_faults(row)
        elif isinstance(row, work_rows.Measure):
            yield from _measure_faults(row)
        elif isinstance(row, work_rows.ConditionTest):
            yield from _test_faults(row)
        elif isinstance(row, work_rows.FoundWork):
            yield from found_work_faults(row)
        elif isinstance(row, rows.Supplier) and row.kind == "outwork" and row.freight:
            yield fault_at(
                row,
                "freight",
                "freight-unused",
                "carriage of outwork is charged by the rows of kind carriage.",
                "Move it there.",
            )
        elif isinstance(row, work_rows.CalledRow):
            yield from _call_faults(row)
        elif isinstance(row, work_rows.Loading) and row.life**2 + row.circuit**2 > MOST_SHARED:
            yield fault_at(
                row,
                "circuit",
                "loadings-too-high",
                f"life and circuit squared add up to more than {MOST_SHARED}.",
                "Lower one of them.",
            )


def _range_faults(row: Row) -> Iterator[Problem]:
    """Low <= likely <= high, wherever a row has such a trio."""
    trios = (
        ("hours_low", "hours", "hours_high"),
        ("quantity_low", "quantity", "quantity_high"),
        ("low", "likely", "high"),
        ("new_price_low", "new_price_likely", "new_price_high"),
        ("mass_from_kg", "operating_mass_kg", "mass_to_kg"),
        ("full_band_low", "full_band_low", "full_band_high"),
        ("driveline_band_low", "driveline_band_low", "driveline_band_high"),
    )
    for low, likely, high in trios:
        values = [getattr(row, name, None) for name in (low, likely, high)]
        if None in values:
            if (
                values[1] is not None
                and low.startswith(("hours", "quantity"))
                and ((values[0] is None) != (values[2] is None))
            ):
                yield fault_at(row, low, "half-range", "low and high go together.", "Fill both.")
            continue
        if not values[0] <= values[1] <= values[2]:  # type: ignore[operator]
            message = f"{values[0]}, {values[1]}, {values[2]} do not rise from low to high."
            yield fault_at(row, low, "range-order", message, "Put them in order.")


def _wear_faults(row: work_rows.WearOut) -> Iterator[Problem]:
    by_scale = row.scale_hours is not None
    by_chance = row.starting_chance is not None and row.at_hours is not None
    if by_scale == by_chance:
        yield fault_at(
            row,
            "scale_hours",
            "wear-basis",
            "needs either a scale, or a starting chance with its hours.",
            "Fill one of the two.",
        )
    if row.starting_chance is not None and row.starting_chance >= 1:
        yield fault_at(row, "starting_chance", "wear-chance", "a chance lies below 1.", "Check it.")


def _measure_faults(row: work_rows.Measure) -> Iterator[Problem]:
    limits = (row.new, row.rebuild_limit, row.service_limit)
    if any(one is not None for one in limits) and None in limits:
        yield fault_at(
            row,
            "new",
            "limits-incomplete",
            "new, rebuild and service limit go together.",
            "Fill all three, or none.",
        )
    elif row.new is not None and row.rebuild_limit is not None and row.service_limit is not None:
        yield from wrong_side(row, row.new, row.rebuild_limit, row.service_limit)
    wanted = {"pressure": "pressure", "flow": "flow", "drift": "length"}.get(row.kind)
    if wanted and kind_of(row.unit) != wanted:
        yield fault_at(
            row,
            "unit",
            "wrong-unit",
            f"a {row.kind} is not measured in {row.unit}.",
            f"Use a unit of {wanted}.",
        )


def wrong_side(row: Row, new: Decimal, rebuild: Decimal, service: Decimal) -> Iterator[Problem]:
    """A limit on the wrong side: from new, the rebuild limit comes before the service limit."""
    if new == service:
        yield fault_at(
            row,
            "service_limit",
            "limit-equals-new",
            f"the service limit equals the new value, {new}.",
            "One of the two is wrong.",
        )
    elif not min(new, service) <= rebuild <= max(new, service):
        yield fault_at(
            row,
            "rebuild_limit",
            "limit-wrong-side",
            f"the rebuild limit {rebuild} does not lie between new {new} "
            f"and the service limit {service}.",
            "Check the three values and the direction of wear.",
        )


def _test_faults(row: work_rows.ConditionTest) -> Iterator[Problem]:
    if row.sensitivity + row.specificity <= 1:
        yield fault_at(
            row,
            "sensitivity",
            "test-says-nothing",
            "sensitivity and specificity add up to one or less: an alarm would speak for sound.",
            "Check both, or leave the test out.",
        )
    if row.cleanliness and not _is_code(row.cleanliness):
        yield fault_at(row, "cleanliness", "bad-cleanliness", "is no code like 18/16/13.", "")
    for metal in row.metals:
        if not METAL.match(metal):
            yield fault_at(row, "metals", "bad-metal", f"{metal!r} is not like 'Fe 100'.", "")


def _is_code(code: str) -> bool:
    try:
        parsed(code)
    except CleanlinessError:
        return False
    return True


def _call_faults(row: work_rows.CalledRow) -> Iterator[Problem]:
    called_by = getattr(row, "called_by", "")
    if called_by == "follows" and not row.follows:
        yield fault_at(row, "follows", "no-call", "names no part to follow.", "Name the part.")
    if called_by == "hand" and not row.hand_reason:
        yield fault_at(
            row,
            "hand_reason",
            "no-call",
            "no rule reaches this row and no reason is stated.",
            "State when an estimator adds it by hand.",
        )
    if len(set(row.follows)) < len(row.follows):
        yield fault_at(
            row, "follows", "follows-twice", "names a part twice.", "Each part counts once."
        )
    if not row.levels:
        yield fault_at(row, "levels", "no-level", "belongs to no rebuild level.", "Name one.")


def _reference_faults(catalogue: Catalogue) -> Iterator[Problem]:
    """Cells that name a row which no table has."""
    ids = {
        name: {getattr(row, "id", "") for row in catalogue.table(name, kind)}
        for name, kind in TABLES.items()
    }
    crews = {row.people for row in catalogue.table("crews", rows.Crew)}
    for name, kind in TABLES.items():
        for row in catalogue.table(name, kind):
            for column, named in referring(cast(Any, kind)):
                if named in ids:
                    yield from _unknown(row, column, ids[named], named)
            if isinstance(row, work_rows.Operation) and row.crew not in crews:
                yield fault_at(row, "crew", "unknown-crew", f"no crew of {row.crew} is known.", "")
            if isinstance(row, work_rows.ConditionTest):
                yield from _unknown(
                    row,
                    "target",
                    ids["circuits" if row.on == "circuit" else "parts"],
                    "circuits" if row.on == "circuit" else "parts",
                )
    if catalogue.settings.reference_class not in ids["classes"]:
        yield Problem(
            "unknown-class",
            Place("catalogue.toml", None, "[workshop] reference_class"),
            f"{catalogue.settings.reference_class!r} is not in classes.csv.",
            "Name a class.",
        )


def _setting_faults(catalogue: Catalogue) -> Iterator[Problem]:
    settings = catalogue.settings
    if settings.reuse_percent > settings.recondition_percent:
        yield Problem(
            "percents-crossed",
            Place("catalogue.toml", None, "[condition] reuse_percent"),
            f"{settings.reuse_percent} lies above recondition_percent, "
            f"{settings.recondition_percent}.",
            "Lower it.",
        )


def _pool_faults(catalogue: Catalogue) -> Iterator[Problem]:
    """Parts of a pool share one shape and chance; a case belongs to a pool that some part is in,
    or to a part without one."""
    first: dict[str, work_rows.WearOut] = {}
    for row in catalogue.table("wear", work_rows.WearOut):
        known = first.setdefault(row.pool, row) if row.pool else row
        if (known.shape, known.scale_hours, known.starting_chance, known.at_hours) != (
            row.shape,
            row.scale_hours,
            row.starting_chance,
            row.at_hours,
        ):
            yield fault_at(
                row,
                "shape",
                "pool-differs",
                f"differs from row {known.place.row} of the same pool.",
                "Parts of a pool share shape and chance: make them equal, or part the pool.",
            )
    alone = {row.part for row in catalogue.table("wear", work_rows.WearOut) if not row.pool}
    for case in catalogue.table("own_cases", work_rows.OwnCase):
        if case.pool not in first and case.pool not in alone:
            yield fault_at(
                case,
                "pool",
                "unknown-pool",
                f"no part of wear.csv belongs to {case.pool[:40]!r}.",
                "Mend the name.",
            )


def _crew_faults(catalogue: Catalogue) -> Iterator[Problem]:
    seen: dict[int, Row] = {}
    for row in catalogue.table("crews", rows.Crew):
        if row.people in seen:
            yield fault_at(
                row,
                "people",
                "code-twice",
                f"{row.people} people stand twice (also row {seen[row.people].place.row}).",
                "Keep one.",
            )
        seen[row.people] = row


def _unknown(row: Row, name: str, known: set[str], table: str) -> Iterator[Problem]:
    value = getattr(row, name)
    for code in value if isinstance(value, tuple) else (value,):
        if code and code not in known:
            yield fault_at(
                row,
                name,
                "unknown-code",
                f"{code[:40]!r} is not in {table}.csv.",
                "Mend the code, or add the row.",
            )


def _clause_faults(catalogue: Catalogue) -> Iterator[Problem]:
    english = {clause.id for clause in catalogue.clauses.get("en", ())}
    if not english:
        yield Problem("no-clauses", Place("clauses/en.csv"), "holds no clause.", "Add them.")
    for language, clauses in catalogue.clauses.items():
        seen: set[str] = set()  # by its code alone: translations are found by it
        for clause in clauses:
            if clause.id in seen:
                yield fault_at(clause, "id", "code-twice", f"{clause.id} stands twice.", "")
            seen.add(clause.id)
            if clause.id not in english:
                yield fault_at(
                    clause,
                    "id",
                    "unknown-clause",
                    f"{clause.id} has no English text, which {language} is a translation of.",
                    "",
                )
