"""Checks across the rows of a catalogue: every fault, each with its place."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import fields
from decimal import Decimal
from graphlib import CycleError, TopologicalSorter

from estimator.domain.catalogue import rows, work_rows
from estimator.domain.catalogue.catalogue import TABLES, Catalogue, fits
from estimator.domain.catalogue.column import Limits
from estimator.domain.catalogue.rows import LEVELS, MachineClass, Row
from estimator.domain.problem import Place, Problem
from estimator.domain.units import kind_of

CODE = re.compile(r"[A-Z0-9][A-Za-z0-9-]{0,23}\Z")
CLEANLINESS = re.compile(r"\d{1,2}/\d{1,2}/\d{1,2}\Z")
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
    problems += _clause_faults(catalogue)
    if problems:
        return problems
    for machine_class in catalogue.table("classes", MachineClass):
        problems += _class_faults(catalogue, machine_class)
    return problems


def _fault(row: Row, column: str, code: str, message: str, remedy: str = "") -> Problem:
    return Problem(code, Place(row.place.file, row.place.row, column), message, remedy)


def _code_faults(found: Iterable[Row]) -> Iterator[Problem]:
    for row in found:
        code = getattr(row, "id", None)
        if code is not None and not CODE.match(code):
            yield _fault(
                row, "id", "bad-code", f"holds {code[:40]!r}.",
                "A code is up to 24 letters, digits and hyphens, and starts with a capital.",
            )  # fmt: skip


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
        elif isinstance(row, work_rows.CalledRow):
            yield from _call_faults(row)
        elif isinstance(row, work_rows.Loading) and row.life**2 + row.circuit**2 >= 1:
            yield _fault(
                row, "circuit", "loadings-too-high",
                "life and circuit squared add up to one or more.", "Lower one of them.",
            )  # fmt: skip


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
            if values[1] is not None and low.startswith(("hours", "quantity")) and (
                (values[0] is None) != (values[2] is None)
            ):
                yield _fault(row, low, "half-range", "low and high go together.", "Fill both.")
            continue
        if not values[0] <= values[1] <= values[2]:  # type: ignore[operator]
            message = f"{values[0]}, {values[1]}, {values[2]} do not rise from low to high."
            yield _fault(row, low, "range-order", message, "Put them in order.")


def _wear_faults(row: work_rows.WearOut) -> Iterator[Problem]:
    by_scale = row.scale_hours is not None
    by_chance = row.starting_chance is not None and row.at_hours is not None
    if by_scale == by_chance:
        yield _fault(
            row, "scale_hours", "wear-basis",
            "needs either a scale, or a starting chance with its hours.", "Fill one of the two.",
        )  # fmt: skip
    if row.starting_chance is not None and row.starting_chance >= 1:
        yield _fault(row, "starting_chance", "wear-chance", "a chance lies below 1.", "Check it.")


def _measure_faults(row: work_rows.Measure) -> Iterator[Problem]:
    limits = (row.new, row.rebuild_limit, row.service_limit)
    if any(one is not None for one in limits) and None in limits:
        yield _fault(
            row, "new", "limits-incomplete", "new, rebuild and service limit go together.",
            "Fill all three, or none.",
        )  # fmt: skip
    elif row.new is not None and row.rebuild_limit is not None and row.service_limit is not None:
        yield from wrong_side(row, row.new, row.rebuild_limit, row.service_limit)
    wanted = {"pressure": "pressure", "flow": "flow", "drift": "length"}.get(row.kind)
    if wanted and kind_of(row.unit) != wanted:
        yield _fault(
            row, "unit", "wrong-unit", f"a {row.kind} is not measured in {row.unit}.",
            f"Use a unit of {wanted}.",
        )  # fmt: skip


def wrong_side(row: Row, new: Decimal, rebuild: Decimal, service: Decimal) -> Iterator[Problem]:
    """A limit on the wrong side: from new, the rebuild limit comes before the service limit."""
    if new == service:
        yield _fault(
            row, "service_limit", "limit-equals-new",
            f"the service limit equals the new value, {new}.", "One of the two is wrong.",
        )  # fmt: skip
    elif not min(new, service) <= rebuild <= max(new, service):
        yield _fault(
            row, "rebuild_limit", "limit-wrong-side",
            f"the rebuild limit {rebuild} does not lie between new {new} "
            f"and the service limit {service}.",
            "Check the three values and the direction of wear.",
        )  # fmt: skip


def _test_faults(row: work_rows.ConditionTest) -> Iterator[Problem]:
    if row.sensitivity + row.specificity <= 1:
        yield _fault(
            row, "sensitivity", "test-says-nothing",
            "sensitivity and specificity add up to one or less: an alarm would speak for sound.",
            "Check both, or leave the test out.",
        )  # fmt: skip
    if row.cleanliness and not CLEANLINESS.match(row.cleanliness):
        yield _fault(row, "cleanliness", "bad-cleanliness", "is no code like 18/16/13.", "")
    for metal in row.metals:
        if not METAL.match(metal):
            yield _fault(row, "metals", "bad-metal", f"{metal!r} is not like 'Fe 100'.", "")


def _call_faults(row: work_rows.CalledRow) -> Iterator[Problem]:
    called_by = getattr(row, "called_by", "")
    if called_by == "follows" and not row.follows:
        yield _fault(row, "follows", "no-call", "names no part to follow.", "Name the part.")
    if called_by == "hand" and not row.hand_reason:
        yield _fault(
            row, "hand_reason", "no-call", "no rule reaches this row and no reason is stated.",
            "State when an estimator adds it by hand.",
        )  # fmt: skip
    if not row.levels:
        yield _fault(row, "levels", "no-level", "belongs to no rebuild level.", "Name one.")


def _reference_faults(catalogue: Catalogue) -> Iterator[Problem]:
    """Cells that name a row which no table has."""
    ids = {
        name: {getattr(row, "id", "") for row in catalogue.table(name, kind)}
        for name, kind in TABLES.items()
    }
    crews = {row.people for row in catalogue.table("crews", rows.Crew)}
    for name, kind in TABLES.items():
        for row in catalogue.table(name, kind):
            for one in fields(row):
                limits = one.metadata.get("limits")
                if isinstance(limits, Limits) and limits.refers in ids:
                    yield from _unknown(row, one.name, ids[limits.refers], limits.refers)
            if isinstance(row, work_rows.Operation) and row.crew not in crews:
                yield _fault(row, "crew", "unknown-crew", f"no crew of {row.crew} is known.", "")
            if isinstance(row, work_rows.ConditionTest):
                yield from _unknown(row, "target", ids["circuits" if row.on == "circuit" else "parts"],
                                    "circuits" if row.on == "circuit" else "parts")  # fmt: skip
    if catalogue.settings.reference_class not in ids["classes"]:
        yield Problem(
            "unknown-class", Place("catalogue.toml", None, "[workshop] reference_class"),
            f"{catalogue.settings.reference_class!r} is not in classes.csv.", "Name a class.",
        )  # fmt: skip


def _unknown(row: Row, name: str, known: set[str], table: str) -> Iterator[Problem]:
    value = getattr(row, name)
    for code in value if isinstance(value, tuple) else (value,):
        if code and code not in known:
            yield _fault(
                row, name, "unknown-code", f"{code[:40]!r} is not in {table}.csv.",
                "Mend the code, or add the row.",
            )  # fmt: skip


def _clause_faults(catalogue: Catalogue) -> Iterator[Problem]:
    english = {clause.id for clause in catalogue.clauses.get("en", ())}
    if not english:
        yield Problem("no-clauses", Place("clauses/en.csv"), "holds no clause.", "Add them.")
    for language, clauses in catalogue.clauses.items():
        seen: set[tuple[str, tuple[str, ...]]] = set()
        for clause in clauses:
            if (clause.id, clause.needs) in seen:
                yield _fault(clause, "id", "code-twice", f"{clause.id} stands twice.", "")
            seen.add((clause.id, clause.needs))
            if clause.id not in english:
                yield _fault(
                    clause, "id", "unknown-clause",
                    f"{clause.id} has no English text, which {language} is a translation of.", "",
                )  # fmt: skip


def _class_faults(catalogue: Catalogue, machine_class: MachineClass) -> Iterator[Problem]:
    """Faults that show only when the catalogue is seen as one class sees it."""
    traits = machine_class.all_traits
    fitting: dict[str, dict[str, Row]] = {}
    for name, kind in TABLES.items():
        fitting[name] = {}
        for row in catalogue.table(name, kind):
            code = getattr(row, "id", None) or (
                getattr(row, "part", "") if name == "wear" else getattr(row, "group", "")
                if name in ("loadings", "warranty") else None
            )  # fmt: skip
            if code is None or not fits(row, traits):
                continue
            if code in fitting[name]:
                yield _fault(
                    row, "needs", "code-twice",
                    f"{code} fits {machine_class.id} twice (also row "
                    f"{fitting[name][code].place.row}).",
                    "Give the rows traits of which a class has only one.",
                )  # fmt: skip
            fitting[name][code] = row
    yield from _missing_for_class(fitting, machine_class)
    yield from _cycles(fitting, machine_class)
    yield from _unreached(catalogue, fitting, machine_class)
    if len(fitting["groups"]) != 18:
        yield _fault(
            machine_class, "traits", "groups",
            f"{machine_class.id} has {len(fitting['groups'])} component groups, not 18.",
            "Every class has G00 to G17, once each.",
        )  # fmt: skip


def _missing_for_class(
    fitting: dict[str, dict[str, Row]], machine_class: MachineClass
) -> Iterator[Problem]:
    """Rows that fit the class but lean on rows that do not. Predecessors and what an operation
    includes may be absent (no tracks on wheels), as may the targets of a test or measure."""
    may_be_absent = {"after", "includes", "sign_of", "target", "at_class"}
    for found in fitting.values():
        for code, row in found.items():
            for one in fields(row):
                limits = one.metadata.get("limits")
                if not isinstance(limits, Limits) or one.name in may_be_absent:
                    continue
                if limits.refers not in fitting:
                    continue
                value = getattr(row, one.name)
                for named in value if isinstance(value, tuple) else (value,):
                    if named and named not in fitting[limits.refers]:
                        yield _fault(
                            row, one.name, "not-on-class",
                            f"{code} fits {machine_class.id}, but {named} does not.",
                            "Give both rows the same needs.",
                        )  # fmt: skip


def _cycles(fitting: dict[str, dict[str, Row]], machine_class: MachineClass) -> Iterator[Problem]:
    for table in ("operations", "activities"):
        graph = {
            code: [before for before in getattr(row, "after") if before in fitting[table]]  # noqa: B009
            for code, row in fitting[table].items()
        }
        try:
            TopologicalSorter(graph).prepare()
        except CycleError as error:
            ring = error.args[1]
            yield _fault(
                fitting[table][ring[0]], "after", "cycle",
                f"for {machine_class.id} these wait for each other: {' < '.join(ring)}.",
                "Take one of them out of the other's predecessors.",
            )  # fmt: skip


def _unreached(
    catalogue: Catalogue, fitting: dict[str, dict[str, Row]], machine_class: MachineClass
) -> Iterator[Problem]:
    """Parts that nothing can call in: exposed by `condition` but neither measured, worn out by
    a stated chance, nor followed."""
    measured = {m.part for m in fitting["measures"].values() if isinstance(m, work_rows.Measure)}
    for code, row in fitting["parts"].items():
        called = isinstance(row, work_rows.PartsGroup) and row.called_by in ("condition", "carrier")
        if called and code not in measured and code not in fitting["wear"]:
            yield _fault(
                row, "called_by", "unreached",
                f"no measure and no wear-out row of {machine_class.id} can call {code} in.",
                "Add a measure that settles it, or its wear-out.",
            )  # fmt: skip
    remedied = {
        remedy.part for remedy in catalogue.table("remedies", work_rows.Remedy)
        if fits(remedy, machine_class.all_traits)
    }  # fmt: skip
    for code, row in fitting["wear"].items():
        parts_row = fitting["parts"].get(code)
        exposed = isinstance(parts_row, work_rows.PartsGroup) and parts_row.called_by == "condition"
        if exposed and code not in remedied and code not in measured:
            yield _fault(
                row, "part", "no-remedy", f"{code} may be worn but has no cost if it is.",
                "Add it to remedies.csv.",
            )  # fmt: skip


def has_level(row: work_rows.CalledRow, level: str) -> bool:
    """Whether a row belongs to a rebuild level; raises ValueError on an unknown level."""
    if level not in LEVELS:
        raise ValueError(f"{level!r} is no rebuild level")
    return level in row.levels
