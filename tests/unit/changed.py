"""The golden catalogue and job with one thing changed, and the steps between them one by one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

from estimator.domain.catalogue.catalogue import Catalogue, ClassCatalogue
from estimator.domain.catalogue.rows import Row
from estimator.domain.disposition import Judgement
from estimator.domain.exposure.cost_when_worn import ExposedPart, exposed_parts, firm_by_chance
from estimator.domain.exposure.exposed_parts import Known, know
from estimator.domain.findings import Finding
from estimator.domain.job import Job, OwnLine
from estimator.domain.money import Money
from estimator.domain.pricing import PricedLine, price_lines
from estimator.domain.reasons import Reasons
from estimator.domain.scope import Called, Scope, build_scope, called_parts, judge_all
from estimator.domain.totals import Price, total_up

INSPECTED = date(2026, 11, 16)


def code_of(row: Row) -> str:
    """What a row is called by in its table: its id, or the part or group it speaks of."""
    return next(
        str(value)
        for name in ("id", "part", "group", "pool", "piece", "people", "why")
        if (value := getattr(row, name, None))
    )


def rows_changed(catalogue: Catalogue, table: str, rows: tuple[Row, ...]) -> Catalogue:
    return replace(catalogue, tables={**catalogue.tables, table: rows})


def row_changed(catalogue: Catalogue, table: str, code: str, **changes: Any) -> Catalogue:
    """The catalogue with every row of that code changed; the row must be there."""
    rows = catalogue.tables[table]
    assert any(code_of(row) == code for row in rows), f"no {code} in {table}"
    return rows_changed(
        catalogue,
        table,
        tuple(replace(row, **changes) if code_of(row) == code else row for row in rows),
    )


def row_added(catalogue: Catalogue, table: str, row: Row) -> Catalogue:
    return rows_changed(catalogue, table, (*catalogue.tables[table], row))


def row_dropped(catalogue: Catalogue, table: str, code: str) -> Catalogue:
    kept = tuple(row for row in catalogue.tables[table] if code_of(row) != code)
    assert len(kept) < len(catalogue.tables[table]), f"no {code} in {table}"
    return rows_changed(catalogue, table, kept)


def row_of(catalogue: Catalogue, table: str, code: str) -> Any:
    return next(row for row in catalogue.tables[table] if code_of(row) == code)


def settings_changed(catalogue: Catalogue, **changes: Any) -> Catalogue:
    return replace(catalogue, settings=replace(catalogue.settings, **changes))


def terms_changed(job: Job, **changes: Any) -> Job:
    return replace(job, terms=replace(job.terms, **changes))


def machine_changed(job: Job, **changes: Any) -> Job:
    return replace(job, machine=replace(job.machine, **changes))


def finding_changed(job: Job, code: str, **changes: Any) -> Job:
    """The job with one finding changed; the finding must be there."""
    assert any(finding.id == code for finding in job.findings), f"no finding {code}"
    return replace(
        job,
        findings=tuple(
            replace(finding, **changes) if finding.id == code else finding
            for finding in job.findings
        ),
    )


def finding_dropped(job: Job, *codes: str) -> Job:
    return replace(job, findings=tuple(f for f in job.findings if f.id not in codes))


def finding_made(code: str = "N01", **cells: Any) -> Finding:
    """A finding as an inspector may write it; blank but for what is given."""
    return Finding(
        **{"id": code, "component": "C01A", "what": "looked at", "date": INSPECTED} | cells
    )


def finding_added(job: Job, *findings: Finding) -> Job:
    return replace(job, findings=(*job.findings, *findings))


def own_made(code: str = "X01", kind: str = "labour", **cells: Any) -> OwnLine:
    """A line of the estimator's own, sound for the golden catalogue: 10 h, or 2 pieces at 50."""
    labour = kind == "labour"
    quantity = cells.pop("quantity", Decimal(10 if labour else 2))
    given: dict[str, Any] = {
        "id": code,
        "component": "C01A",
        "name": "Bracket made new",
        "kind": kind,
        "quantity": quantity,
        "quantity_low": quantity,
        "quantity_high": quantity,
        "unit": "h" if labour else "each",
        "trade": "HF" if labour else "",
        "unit_cost": Decimal(0 if labour else 50),
        "markup": {"labour": "", "parts": "A"}.get(kind, "W"),
        "reason": "missing on arrival",
        "by": "P. Holt",
    }
    return OwnLine(**given | cells)


@dataclass(frozen=True)
class Walked:
    """A job as far as its scope and what stays open, without any sum."""

    judgements: Mapping[str, Judgement]
    called: Mapping[str, Called]
    known: Known
    firm: Mapping[str, tuple[str, str]]
    scope: Scope
    exposed: tuple[ExposedPart, ...]

    def line(self, code: str) -> Any:
        """The scope line of that code, or None."""
        return next((line for line in self.scope.lines if line.id == code), None)

    @property
    def open_parts(self) -> set[str]:
        return {one.part for one in self.exposed}


def walked(job: Job, cat: ClassCatalogue) -> Walked:
    """The first steps of a reckoning; some thirty milliseconds instead of two seconds."""
    judgements = judge_all(job, cat)
    called = called_parts(judgements, cat)
    known = know(job, cat, judgements, called)
    firm = firm_by_chance(known, cat, job.ways or {})
    scope = build_scope(job, cat, judgements, called, firm)
    exposed = exposed_parts(job, cat, known, scope, firm)
    return Walked(judgements, called, known, firm, scope, exposed)


def lines_and_price(
    job: Job, cat: ClassCatalogue, contingency: int = 0
) -> tuple[dict[str, PricedLine], Price, Reasons]:
    """Lines by code, price and reasons, with a contingency (minor units) taken as given."""
    reasons = Reasons()
    lines = price_lines(job, cat, walked(job, cat).scope, reasons)
    held = Money(contingency, job.terms.currency)
    price = total_up(job, cat, lines, held, {}, reasons)
    return {line.id: line for line in lines}, price, reasons
