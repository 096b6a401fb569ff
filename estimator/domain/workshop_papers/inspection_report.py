"""The inspection report: what was found, component by component, and what nobody could look at.

The customer may have it: it holds no price, no cost and no chance.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.rows import Caution
from estimator.domain.disposition import UNSEEN, Judgement
from estimator.domain.findings import DISPOSITIONS
from estimator.domain.in_language import in_language
from estimator.domain.language import ENGLISH
from estimator.domain.priced_work import PricedWork
from estimator.domain.workshop_papers.head import (
    PaperHead,
    cautions_of,
    component_name,
    head_of,
)

PAPER = "inspection report: "
MISSING, DAMAGED = "missing", "damaged"


@dataclass(frozen=True, slots=True)
class ReportPicture:
    """A photograph of a finding; `lost` says why there is no picture ("", MISSING or DAMAGED)."""

    name: str
    caption: str
    taken_on: date | None
    image: bytes  # JPEG
    width: int
    height: int
    lost: str = ""


@dataclass(frozen=True, slots=True)
class InspectedRow:
    """A finding: what was read or seen, its limits in `unit`, and what follows from it.

    `reason` says why; `unsettled` why its extent is not known yet. `alarm` is the answer of a
    test, None where there is none.
    """

    id: str
    what: str
    measured: Decimal | None
    unit: str
    new: Decimal | None
    rebuild: Decimal | None
    service: Decimal | None
    words: str
    disposition: str
    reason: str
    unsettled: str
    alarm: bool | None


@dataclass(frozen=True, slots=True)
class InspectedComponent:
    """A component that was looked at."""

    code: str
    name: str
    rows: tuple[InspectedRow, ...]
    pictures: tuple[ReportPicture, ...]


@dataclass(frozen=True, slots=True)
class NotLooked:
    """What of a component group nobody could judge: what the inspector noted, with why, and the
    parts that stay closed until the machine is open."""

    group: str
    noted: tuple[tuple[str, str], ...]
    closed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TestResult:
    """A test or look of the class; `done` with its answer, or not done with the reason noted."""

    id: str
    name: str
    done: bool
    alarm: bool | None
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class InspectionReport:
    """Everything that the report prints."""

    head: PaperHead
    inspected: date
    inspectors: tuple[str, ...]
    meter: str
    counts: tuple[tuple[str, int], ...]  # (disposition, findings)
    components: tuple[InspectedComponent, ...]
    not_looked: tuple[NotLooked, ...]
    tests: tuple[TestResult, ...]
    cautions: tuple[Caution, ...]


def build_inspection_report(
    work: PricedWork,
    day: date,
    pictures: Mapping[str, tuple[ReportPicture, ...]] | None = None,
    language: str = ENGLISH,
) -> InspectionReport:
    """The report of a job's inspection; `pictures` are the photographs by finding."""
    said = in_language(work, language)
    job, cat, judged = said.job, said.cat, said.scope.judgements
    looked = [one for one in judged.values() if one.kind not in UNSEEN]
    counted = Counter(one.disposition for one in looked)
    return InspectionReport(
        head=head_of(job, cat, day, PAPER, language),
        inspected=job.inspected,
        inspectors=tuple(dict.fromkeys(one.inspector for one in job.findings if one.inspector)),
        meter=job.machine.meter,
        counts=tuple((name, counted[name]) for name in DISPOSITIONS if counted[name]),
        components=_components(looked, cat, pictures or {}),
        not_looked=_not_looked(said),
        tests=_tests(judged, cat),
        cautions=cautions_of(cat, (one.line for one in said.lines)),
    )


def _components(
    looked: list[Judgement], cat: ClassCatalogue, pictures: Mapping[str, tuple[ReportPicture, ...]]
) -> tuple[InspectedComponent, ...]:
    found: dict[str, list[Judgement]] = {}
    for one in looked:
        found.setdefault(_component_of(one, cat), []).append(one)
    order = {code: place for place, code in enumerate(cat.components)}
    return tuple(
        InspectedComponent(
            code,
            component_name(cat, code),
            tuple(_row(one, cat) for one in found[code]),
            tuple(shown for one in found[code] for shown in pictures.get(one.finding.id, ())),
        )
        for code in sorted(found, key=lambda code: (order.get(code, len(order)), code))
    )


def _component_of(one: Judgement, cat: ClassCatalogue) -> str:
    if one.component:
        return one.component
    return next((cat.parts[part].component for part in one.parts if part in cat.parts), "")


def _row(one: Judgement, cat: ClassCatalogue) -> InspectedRow:
    finding, limits = one.finding, one.limits
    words = (finding.reading, ", ".join(finding.metals), finding.cleanliness)
    return InspectedRow(
        id=finding.id,
        what=_what(one, cat),
        measured=one.measured,
        unit=one.unit,
        new=limits.new if limits else None,
        rebuild=limits.rebuild if limits else None,
        service=limits.service if limits else None,
        words="; ".join(filter(None, words)),
        disposition=one.disposition,
        reason="" if finding.override else one.rule_reason,
        unsettled=one.provisional_reason,
        alarm=one.alarm,
    )


def _what(one: Judgement, cat: ClassCatalogue) -> str:
    """What was looked at, in the language of the catalogue's names."""
    finding = one.finding
    if finding.what:
        return finding.what
    if finding.measure in cat.measures:
        return cat.measures[finding.measure].name
    if one.test in cat.tests:
        return cat.tests[one.test].name
    return one.what or ", ".join(cat.parts[part].name for part in one.parts if part in cat.parts)


def _not_looked(work: PricedWork) -> tuple[NotLooked, ...]:
    """By group: what was noted as not seen or not tested, then the parts that nothing speaks of and
    that are still open in the price. What is noted is not told twice."""
    cat, scope = work.cat, work.scope
    noted: dict[str, list[tuple[str, str]]] = {}
    told: set[str] = set()
    for one in scope.unseen:
        component = _component_of(one, cat)
        group = cat.group_of(component) if component in cat.components else ""
        told |= set(one.parts)
        noted.setdefault(group, []).append((_what(one, cat), one.finding.reading))
    closed: dict[str, list[str]] = {}
    for part in dict.fromkeys((*(one.part for one in work.exposed), *scope.not_looked_at)):
        if part not in told:
            row = cat.parts[part]
            closed.setdefault(cat.group_of(row.component), []).append(row.name)
    return tuple(
        NotLooked(
            cat.groups[group].name if group in cat.groups else "",
            tuple(noted.get(group, ())),
            tuple(closed.get(group, ())),
        )
        for group in sorted({*noted, *closed})
    )


def _tests(judged: Mapping[str, Judgement], cat: ClassCatalogue) -> tuple[TestResult, ...]:
    done: dict[str, list[Judgement]] = {}
    noted: dict[str, str] = {}
    for one in judged.values():
        if not one.test:
            continue
        if one.kind in UNSEEN:
            noted.setdefault(one.test, one.finding.reading)
        else:
            done.setdefault(one.test, []).append(one)
    return tuple(_test(code, cat, done.get(code, []), noted.get(code, "")) for code in cat.tests)


def _test(code: str, cat: ClassCatalogue, done: list[Judgement], noted: str) -> TestResult:
    answers = [one.alarm for one in done if one.alarm is not None]
    alarm = any(answers) if answers else None
    return TestResult(code, cat.tests[code].name, bool(done), alarm, noted if not done else "")
