"""Rows of the findings grid: a finding with what follows from it, ready to be shown. No Qt."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from estimator.desktop.telling import told_fault
from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import Measure
from estimator.domain.disposition import UNSEEN, Judgement, judge
from estimator.domain.finding_check import finding_faults
from estimator.domain.finding_edits import reading_unit
from estimator.domain.findings import Finding
from estimator.domain.job import Job
from estimator.domain.problem import Problem, errors_in
from estimator.domain.scope import EXPOSED, FIRM, PROVISIONAL
from estimator.domain.units import UnitError, converted
from estimator.domain.wear import Limits

SIGN, TO_MEND = "sign", "to mend"
MISSING = frozenset(
    (
        "no-kind", "no-component", "no-text", "no-reading", "no-unit", "no-result",
        "limits-incomplete", "half-range", "no-reason",
    )
)  # fmt: skip
"""Faults of a finding that is not complete yet; all others are of what was typed."""


@dataclass(frozen=True, slots=True)
class FindingRow:
    """A finding as the grid shows it. `certainty` is firm, provisional, exposed, sign, or to mend
    where the finding is not complete; `sure` says why."""

    id: str
    finding: Finding  # as it is typed now, where a cell of it is open
    saved: Finding
    measure: Measure | None
    kind: str
    title: str
    component: str  # code
    component_name: str
    group: str  # code
    unit: str
    limits: Limits | None
    measured: Decimal | None  # in `unit`
    disposition: str
    rule: str  # the rule's own disposition
    rule_reason: str
    certainty: str
    sure: str
    parts: tuple[str, ...]  # names of what it settles, or what was not seen
    judged: Judgement | None  # None where the finding has errors
    errors: tuple[Problem, ...]
    warnings: tuple[Problem, ...]

    @property
    def unseen(self) -> bool:
        """Whether nobody has looked."""
        return self.kind in UNSEEN

    @property
    def saved_measured(self) -> Decimal | None:
        """The reading before what is being typed, in `unit`."""
        return _measured(self.saved, self.measure)

    @property
    def searched(self) -> str:
        """Everything the filter looks through, in small letters."""
        finding = self.finding
        words = (
            self.id, self.title, self.component_name, finding.reading, finding.note,
            finding.inspector, self.kind, self.disposition, finding.measure, *self.parts,
        )  # fmt: skip
        return " ".join(words).casefold()


@dataclass(frozen=True, slots=True)
class NewRow:
    """The last row, where a finding is added."""

    id: str


class Rows:
    """Builds rows and keeps those whose finding has not changed."""

    def __init__(self) -> None:
        self._known: dict[str, tuple[tuple[object, ...], FindingRow]] = {}

    def of(self, job: Job, cat: ClassCatalogue, typed: Finding | None = None) -> list[FindingRow]:
        """A row a finding, in the job's order; `typed` stands for the one of its number."""
        rows = []
        for kept in job.findings:
            finding = typed if typed is not None and typed.id == kept.id else kept
            # The machine decides hours and life wanted: a change there makes all rows anew.
            seal = (finding, kept, job.machine, id(cat))
            known = self._known.get(finding.id)
            if known is None or known[0] != seal:
                known = (seal, row_of(finding, job, cat, kept))
                self._known[finding.id] = known
            rows.append(known[1])
        return rows


def row_of(
    finding: Finding, job: Job, cat: ClassCatalogue, saved: Finding | None = None
) -> FindingRow:
    """One finding with what follows from it; where it has faults, with nothing but those. `saved`
    is the finding before what is being typed."""
    measure = cat.measures.get(finding.measure)
    problems = list(finding_faults(finding, cat))
    errors = tuple(errors_in(problems))
    component = finding.component or (measure.component if measure else "")
    codes = finding.part or ((measure.part,) if measure and measure.part else ())
    judged = None
    if not errors:
        hours = job.hours_run(component, codes[0] if len(codes) == 1 else "")
        judged = judge(finding, cat, hours, job.machine.life_wanted)
    known = cat.components.get(component)
    certainty, sure = _certainty(judged, errors)
    return FindingRow(
        id=finding.id,
        finding=finding,
        saved=saved or finding,
        measure=measure,
        kind=finding.kind or (measure.kind if measure else ""),
        title=finding.what or (measure.name if measure else "") or (known.name if known else ""),
        component=component,
        component_name=known.name if known else component,
        group=known.group if known else "",
        unit=judged.unit if judged else reading_unit(finding, measure),
        limits=judged.limits if judged else _stated_limits(finding, measure),
        measured=judged.measured if judged else _measured(finding, measure),
        disposition=judged.disposition if judged else finding.override,
        rule=judged.rule_disposition if judged else "",
        rule_reason=judged.rule_reason if judged else "",
        certainty=certainty,
        sure=sure,
        parts=tuple(cat.parts[part].name for part in codes if part in cat.parts),
        judged=judged,
        errors=errors,
        warnings=tuple(one for one in problems if one.warning),
    )


def _certainty(judged: Judgement | None, errors: tuple[Problem, ...]) -> tuple[str, str]:
    if judged is None:
        return TO_MEND, told_fault(errors[0])
    if judged.disposition == "open":
        return EXPOSED, judged.rule_reason
    if judged.provisional:
        return PROVISIONAL, judged.provisional_reason
    if judged.says or judged.settles:
        return FIRM, judged.rule_reason
    return SIGN, judged.rule_reason


def _stated_limits(finding: Finding, measure: Measure | None) -> Limits | None:
    """The catalogue's limits of a finding that is not sound, so that its row does not go bare."""
    if measure is None or finding.new is not None:
        return None
    new, rebuild, service = measure.new, measure.rebuild_limit, measure.service_limit
    if new is None or rebuild is None or service is None:
        return None
    return Limits(new, rebuild, service)


def _measured(finding: Finding, measure: Measure | None) -> Decimal | None:
    unit = reading_unit(finding, measure)
    if finding.measured is None or not finding.unit or not unit:
        return finding.measured
    try:
        return converted(finding.measured, finding.unit, unit)
    except UnitError:
        return finding.measured


def slips(before: Finding, after: Finding, cat: ClassCatalogue) -> Iterator[Problem]:
    """Faults that an edit brings in by what was typed; what is only missing yet is none."""
    had = {(one.code, one.message) for one in finding_faults(before, cat)}
    for problem in errors_in(finding_faults(after, cat)):
        if problem.code not in MISSING and (problem.code, problem.message) not in had:
            yield problem
