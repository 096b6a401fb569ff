"""The blank inspection sheet of a class: all that the catalogue asks of such a machine.

Components stand in the order of the catalogue, which goes round the machine group by group.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.names import catalogue_in
from estimator.domain.catalogue.rows import Caution
from estimator.domain.catalogue.work_rows import ConditionTest, Measure
from estimator.domain.job import Job, Party
from estimator.domain.language import ENGLISH
from estimator.domain.workshop_papers.head import (
    PaperHead,
    cautions_named,
    head_of,
    head_of_class,
)

PAPER = "inspection sheet: "
CIRCUIT, LOOK = "circuit", "look"


@dataclass(frozen=True, slots=True)
class AskedMeasure:
    """A reading or look that is asked for; limits and band are in `unit`."""

    id: str
    name: str
    kind: str
    unit: str
    new: Decimal | None
    rebuild: Decimal | None
    service: Decimal | None
    band_low: Decimal | None
    band_high: Decimal | None
    gauge_error: Decimal | None


@dataclass(frozen=True, slots=True)
class AskedTest:
    """A test or a look before the strip: what counts as an alarm, on what it speaks, and the
    hazards in doing it. `look` where it is no part of the usual inspection."""

    id: str
    name: str
    on: tuple[str, ...]
    alarm: str
    look: bool
    hazards: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class AskedComponent:
    """A component with what is asked of it, and the hazards of working on it."""

    id: str
    name: str
    measures: tuple[AskedMeasure, ...]
    tests: tuple[AskedTest, ...]
    hazards: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class AskedGroup:
    """A component group."""

    id: str
    name: str
    components: tuple[AskedComponent, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class InspectionSheet:
    """The whole sheet; `samples` are tests of fluid circuits."""

    head: PaperHead
    groups: tuple[AskedGroup, ...]
    samples: tuple[AskedTest, ...]
    cautions: tuple[Caution, ...]
    measures: int
    tests: int


def sheet_of_class(
    cat: ClassCatalogue, workshop: Party, day: date, language: str = ENGLISH
) -> InspectionSheet:
    """The sheet of a class, with nothing filled in."""
    said = catalogue_in(cat, language)
    return _sheet(said, head_of_class(workshop, said, day, PAPER, language))


def sheet_of_job(
    job: Job, cat: ClassCatalogue, day: date, language: str = ENGLISH
) -> InspectionSheet:
    """The sheet of a job's class with the machine's details filled in."""
    said = catalogue_in(cat, language)
    return _sheet(said, head_of(job, said, day, PAPER, language))


def _sheet(cat: ClassCatalogue, head: PaperHead) -> InspectionSheet:
    on_part: dict[str, list[ConditionTest]] = {}
    samples = []
    for test in cat.tests.values():
        if test.on == CIRCUIT:
            samples.append(_test(test, cat))
            continue
        on = next((cat.parts[part].component for part in test.target if part in cat.parts), "")
        on_part.setdefault(on, []).append(test)
    groups: dict[str, list[AskedComponent]] = {}
    for code, component in cat.components.items():
        asked = _component(code, cat, on_part.get(code, []))
        groups.setdefault(component.group, []).append(asked)
    used = {code for one in cat.operations.values() for code in one.cautions}
    used |= {code for one in cat.tests.values() for code in one.cautions}
    return InspectionSheet(
        head=head,
        groups=tuple(
            AskedGroup(code, row.name, tuple(groups[code]))
            for code, row in cat.groups.items() if code in groups
        ),
        samples=tuple(samples),
        cautions=cautions_named(cat, used),
        measures=len(cat.measures),
        tests=len(cat.tests),
    )  # fmt: skip


def _component(code: str, cat: ClassCatalogue, tests: list[ConditionTest]) -> AskedComponent:
    """Its hazards are those of its tests and of all work on it: whoever looks may meet any."""
    work = [one for one in cat.operations.values() if one.component == code]
    used = {hazard for one in work for hazard in one.cautions}
    used |= {hazard for test in tests for hazard in test.cautions}
    return AskedComponent(
        code,
        cat.components[code].name,
        tuple(_measure(one) for one in cat.measures.values() if one.component == code),
        tuple(_test(one, cat) for one in tests),
        tuple(row.hazard for row in cautions_named(cat, used)),
    )


def _measure(one: Measure) -> AskedMeasure:
    return AskedMeasure(
        one.id, one.name, one.kind, one.unit, one.new, one.rebuild_limit, one.service_limit,
        one.band_low, one.band_high, one.gauge_error,
    )  # fmt: skip


def _test(one: ConditionTest, cat: ClassCatalogue) -> AskedTest:
    names = cat.circuits if one.on == CIRCUIT else cat.parts
    on = tuple(names[code].name for code in one.target if code in names)
    hazards = tuple(row.hazard for row in cautions_named(cat, one.cautions))
    return AskedTest(one.id, one.name, on, one.alarm, one.when == LOOK, hazards)
