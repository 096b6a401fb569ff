"""The whole catalogue, and the one a given class of machine sees."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any, Protocol, TypeVar, cast

from estimator.domain.catalogue import rows, work_rows
from estimator.domain.catalogue.name_rows import CatalogueName
from estimator.domain.catalogue.rows import MachineClass, Row, Scaling
from estimator.domain.money import round_half_up

R = TypeVar("R", bound=Row)

TABLES: dict[str, type[Row]] = {
    "classes": rows.MachineClass,
    "class_masses": rows.ClassMass,
    "groups": rows.Group,
    "circuits": rows.Circuit,
    "components": rows.Component,
    "scaling": rows.Scaling,
    "trades": rows.Trade,
    "crews": rows.Crew,
    "difficulty": rows.Difficulty,
    "suppliers": rows.Supplier,
    "markups": rows.Markup,
    "levies": rows.Levy,
    "tax": rows.TaxCategory,
    "cautions": rows.Caution,
    "activities": rows.Activity,
    "closures": rows.Closure,
    "warranty": rows.Warranty,
    "operations": work_rows.Operation,
    "parts": work_rows.PartsGroup,
    "outwork": work_rows.Outwork,
    "wear": work_rows.WearOut,
    "remedies": work_rows.Remedy,
    "found_work": work_rows.FoundWork,
    "tests": work_rows.ConditionTest,
    "measures": work_rows.Measure,
    "loadings": work_rows.Loading,
    "own_cases": work_rows.OwnCase,
}
"""File name (without .csv) of each table and the row class it is read into."""


WORKSHOP_COST_SHARE = Decimal("0.80")
"""Taken where `catalogue.toml` states none; the one that is shipped says how it is derived."""


class UnknownClass(KeyError):
    """No machine class of that code in the catalogue."""


class SeenAtTeardown(Protocol):
    """What a catalogue needs to know of a teardown's outcome, to learn from it."""

    @property
    def pool(self) -> str:
        """Pool of like parts, or a part."""

    @property
    def component(self) -> str:
        """Component or part."""

    @property
    def machine_class(self) -> str:
        """Class of the machine, or its kind in words."""

    @property
    def hours(self) -> Decimal:
        """Hours the part had run."""

    @property
    def duty(self) -> Decimal:
        """Duty factor."""

    @property
    def life_basis(self) -> str:
        """From when the hours count."""

    @property
    def worn(self) -> bool:
        """Whether it was worn."""

    @property
    def found_on(self) -> datetime.date:
        """Day it was seen."""


@dataclass(frozen=True, slots=True)
class Settings:
    """Figures of the workshop that are no row: from `catalogue.toml`."""

    currency: str
    reference_class: str
    firm_chance: Decimal  # at or above, a part is priced as firm scope
    reuse_percent: Decimal  # worn percent up to which a part is reused
    recondition_percent: Decimal  # worn percent above which it is reconditioned
    circuit_test_centre: Decimal  # centre of a circuit test's response, standard deviations
    circuit_test_width: Decimal
    scale_spread: Decimal  # prior spread of ln(scale) where own cases exist
    shape_spread: Decimal
    productivity: Decimal  # sold hours per hour of attendance
    hours_per_day: Decimal
    scenarios: int
    scenario_seed: int
    work_spread: tuple[Decimal, Decimal, Decimal]  # low, likely, high multiples
    outwork_spread: tuple[Decimal, Decimal, Decimal]
    lead_spread: tuple[Decimal, Decimal, Decimal]
    workshop_cost_share: Decimal = WORKSHOP_COST_SHARE  # of the selling price, of a worn part


@dataclass(frozen=True, slots=True)
class Catalogue:
    """Every row of every table, as read, with the version that names this edition."""

    version: str
    fingerprint: str  # sha256 over the files it was read from
    settings: Settings
    tables: Mapping[str, tuple[Row, ...]]
    clauses: Mapping[str, tuple[rows.Clause, ...]]  # by language
    # What teardowns showed, from the workshop's record: no part of the edition. How many of them
    # count for a job, its `learnt_until` says (`estimator.domain.learning`).
    outcomes: tuple[SeenAtTeardown, ...] = ()
    names: Mapping[str, tuple[CatalogueName, ...]] = field(default_factory=dict)  # by language

    def table(self, name: str, kind: type[R]) -> tuple[R, ...]:
        """Rows of a table; `kind` is its row class, for the type checker."""
        rows = self.tables.get(name, ())
        if TABLES.get(name) is kind:  # as every table is read
            return cast("tuple[R, ...]", rows)
        return tuple(row for row in rows if isinstance(row, kind))

    @property
    def classes(self) -> dict[str, MachineClass]:
        """The machine classes by code."""
        return {row.id: row for row in self.table("classes", MachineClass)}

    def machine_class(self, class_id: str) -> MachineClass:
        """The class of that code. Raises UnknownClass."""
        for row in self.table("classes", MachineClass):
            if row.id == class_id:
                return row
        raise UnknownClass(class_id)


def fits(row: Row, traits: frozenset[str]) -> bool:
    """Whether a class with these traits has what the row needs."""
    for need in row.needs:  # asked a hundred thousand times: nothing is made on the way
        if need[0] == "!":
            if need[1:] in traits:
                return False
        elif need not in traits:
            return False
    return True


@dataclass(frozen=True, slots=True)
class ClassCatalogue:
    """The catalogue as one class of machine sees it: rows that fit, scaled to its size."""

    catalogue: Catalogue
    machine_class: MachineClass
    groups: Mapping[str, rows.Group]
    circuits: Mapping[str, rows.Circuit]
    components: Mapping[str, rows.Component]
    trades: Mapping[str, rows.Trade]
    crews: Mapping[int, rows.Crew]
    difficulty: Mapping[str, rows.Difficulty]
    suppliers: Mapping[str, rows.Supplier]
    markups: Mapping[str, rows.Markup]
    levies: Mapping[str, rows.Levy]
    tax: Mapping[str, rows.TaxCategory]
    cautions: Mapping[str, rows.Caution]
    activities: Mapping[str, rows.Activity]
    closures: tuple[rows.Closure, ...]
    warranty: Mapping[str, rows.Warranty]
    masses: tuple[rows.ClassMass, ...]
    operations: Mapping[str, work_rows.Operation]
    parts: Mapping[str, work_rows.PartsGroup]
    outwork: Mapping[str, work_rows.Outwork]
    wear: Mapping[str, work_rows.WearOut]
    remedies: Mapping[str, tuple[work_rows.Remedy, ...]]
    found_work: Mapping[str, work_rows.FoundWork]
    tests: Mapping[str, work_rows.ConditionTest]
    measures: Mapping[str, work_rows.Measure]
    loadings: Mapping[str, work_rows.Loading]
    own_cases: Mapping[str, tuple[work_rows.OwnCase, ...]]
    scale_factors: Mapping[tuple[str, str], Decimal]  # (scaling id, at_class) -> factor

    @property
    def settings(self) -> Settings:
        """The workshop's settings."""
        return self.catalogue.settings

    def group_of(self, component: str) -> str:
        """Group code of a component code."""
        return self.components[component].group

    def circuit_of(self, part: str) -> str:
        """Fluid circuit of a part, or "" where it lives in none."""
        return self.components[self.parts[part].component].circuit


def for_class(catalogue: Catalogue, class_id: str) -> ClassCatalogue:
    """The catalogue as class `class_id` sees it. Raises UnknownClass.

    Hours and costs are scaled by (driver of this class / driver of the row's class) ** exponent
    and rounded half-up to the scaling's step; at the row's own class they stay as written.
    """
    machine_class = catalogue.machine_class(class_id)
    traits = machine_class.all_traits
    factors = _scale_factors(catalogue, machine_class)

    def fitting(name: str, kind: type[R]) -> list[R]:
        return [row for row in catalogue.table(name, kind) if fits(row, traits)]

    def by_id(name: str, kind: type[R], key: str = "id") -> dict[Any, R]:
        return {getattr(row, key): row for row in fitting(name, kind)}

    remedies: dict[str, list[work_rows.Remedy]] = {}
    for remedy in fitting("remedies", work_rows.Remedy):
        scaled = _scaled(remedy, ("low", "likely", "high"), factors, catalogue)
        remedies.setdefault(remedy.part, []).append(scaled)
    own_cases: dict[str, list[work_rows.OwnCase]] = {}
    for case in catalogue.table("own_cases", work_rows.OwnCase):
        own_cases.setdefault(case.pool, []).append(case)
    return ClassCatalogue(
        catalogue=catalogue,
        machine_class=machine_class,
        groups=dict(sorted(by_id("groups", rows.Group).items())),
        circuits=by_id("circuits", rows.Circuit),
        components=by_id("components", rows.Component),
        trades=by_id("trades", rows.Trade),
        crews=by_id("crews", rows.Crew, "people"),
        difficulty=by_id("difficulty", rows.Difficulty),
        suppliers=by_id("suppliers", rows.Supplier),
        markups=by_id("markups", rows.Markup),
        levies=by_id("levies", rows.Levy),
        tax=by_id("tax", rows.TaxCategory),
        cautions=by_id("cautions", rows.Caution),
        activities=by_id("activities", rows.Activity),
        closures=tuple(fitting("closures", rows.Closure)),
        warranty=by_id("warranty", rows.Warranty, "group"),
        masses=tuple(m for m in fitting("class_masses", rows.ClassMass) if m.class_id == class_id),
        operations={
            row.id: _scaled(row, ("hours", "hours_low", "hours_high"), factors, catalogue)
            for row in fitting("operations", work_rows.Operation)
        },
        parts={
            row.id: _scaled(row, ("unit_cost", "exchange_charge"), factors, catalogue)
            for row in fitting("parts", work_rows.PartsGroup)
        },
        outwork={
            row.id: _scaled(row, ("cost_each",), factors, catalogue)
            for row in fitting("outwork", work_rows.Outwork)
        },
        wear=by_id("wear", work_rows.WearOut, "part"),
        remedies={part: tuple(found) for part, found in remedies.items()},
        found_work={
            row.id: _scaled(row, ("count",), factors, catalogue)
            for row in fitting("found_work", work_rows.FoundWork)
        },
        tests=by_id("tests", work_rows.ConditionTest),
        measures=by_id("measures", work_rows.Measure),
        loadings=by_id("loadings", work_rows.Loading, "group"),
        own_cases={pool: tuple(found) for pool, found in own_cases.items()},
        scale_factors=factors,
    )


def _scale_factors(
    catalogue: Catalogue, machine_class: MachineClass
) -> dict[tuple[str, str], Decimal]:
    """Factor of each scaling from each class to this one, to six places; exactly 1 at home."""
    factors: dict[tuple[str, str], Decimal] = {}
    for scaling in catalogue.table("scaling", Scaling):
        for home in catalogue.table("classes", MachineClass):
            if scaling.driver == "none" or home.id == machine_class.id:
                factors[scaling.id, home.id] = Decimal(1)
                continue
            ratio = getattr(machine_class, scaling.driver) / getattr(home, scaling.driver)
            factors[scaling.id, home.id] = round_half_up(
                ratio**scaling.exponent, Decimal("0.000001")
            )
    return factors


def _scaled(
    row: R,
    names: Iterable[str],
    factors: Mapping[tuple[str, str], Decimal],
    catalogue: Catalogue,
) -> R:
    """The row with the named values carried to the class; unchanged where the factor is 1."""
    scaling_id = getattr(row, "scaling")  # noqa: B009 - rows of several classes come here
    home = getattr(row, "at_class") or catalogue.settings.reference_class  # noqa: B009
    factor = factors.get((scaling_id, home), Decimal(1))
    if factor == 1:
        return row
    step = next(s.step for s in catalogue.table("scaling", Scaling) if s.id == scaling_id)
    changed = {
        name: max(round_half_up(value * factor, step), step)
        for name in names
        if (value := getattr(row, name)) is not None and value > 0
    }
    numeric: dict[str, Any] = dict(changed)
    return replace(row, **numeric)
