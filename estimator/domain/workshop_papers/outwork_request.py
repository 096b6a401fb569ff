"""A request to one supplier of outwork: what is to be done, by when, and nothing of our prices."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import Measure, Outwork
from estimator.domain.in_language import in_language
from estimator.domain.language import ENGLISH
from estimator.domain.priced_work import PricedWork
from estimator.domain.programme.programme import Programme, Step, build_programme
from estimator.domain.scope_line import OUTWORK, ScopeLine
from estimator.domain.workshop_papers.head import PaperHead, component_name, head_of

PAPER = "outwork request: "
UNNAMED = "own"  # outwork of the estimator's own that names no supplier


class NoSuchSupplier(KeyError):
    """The scope has no outwork for that supplier."""


@dataclass(frozen=True, slots=True)
class KnownLimit:
    """A measure of the part worked on, its limits, and the reading where there is one."""

    what: str
    unit: str
    new: Decimal | None
    rebuild: Decimal | None
    service: Decimal | None
    measured: Decimal | None


@dataclass(frozen=True, slots=True)
class OutworkLine:
    """Work that is asked for. It leaves on `out` and is wanted back on `back`; both None where no
    step of the programme is known."""

    id: str
    what: str
    component: str
    certainty: str
    quantity: Decimal
    low: Decimal
    high: Decimal
    unit: str
    reason: str  # why the extent may move
    limits: tuple[KnownLimit, ...]
    certificate: str
    out: date | None
    back: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class OutworkRequest:
    """The request to one supplier; the head names no customer."""

    head: PaperHead
    supplier: str
    supplies: str
    lines: tuple[OutworkLine, ...]
    first_out: date | None
    last_back: date | None
    asked_by: str


def suppliers_of(work: PricedWork) -> tuple[tuple[str, str], ...]:
    """(code, what it supplies) of everybody the scope has outwork for, in the order of the
    catalogue."""
    used = {_supplier(one.line) for one in work.lines if one.line.kind == OUTWORK}
    named = [(row.id, row.supplies) for row in work.cat.suppliers.values() if row.id in used]
    return (*named, (UNNAMED, "")) if UNNAMED in used else tuple(named)


def build_outwork_request(
    work: PricedWork, supplier: str, day: date, language: str = ENGLISH
) -> OutworkRequest:
    """The request to one supplier. Raises NoSuchSupplier, NetworkCycle, BeyondCalendar."""
    said = in_language(work, language)
    programme = build_programme(said.job, said.cat, said.scope)
    lines = [one.line for one in said.lines
             if one.line.kind == OUTWORK and _supplier(one.line) == supplier]  # fmt: skip
    if not lines:
        raise NoSuchSupplier(supplier)
    rows = tuple(_line(one, said, programme) for one in lines)
    known = said.cat.suppliers.get(supplier)
    return OutworkRequest(
        head=replace(head_of(said.job, said.cat, day, PAPER, language), customer=None),
        supplier=supplier if known is not None else "",
        supplies=known.supplies if known is not None else "",
        lines=rows,
        first_out=min((row.out for row in rows if row.out), default=None),
        last_back=max((row.back for row in rows if row.back), default=None),
        asked_by=said.job.estimator,
    )


def _supplier(line: ScopeLine) -> str:
    assert isinstance(line.row, Outwork)
    return line.row.vendor or UNNAMED


def _line(line: ScopeLine, work: PricedWork, programme: Programme) -> OutworkLine:
    row = line.row
    assert isinstance(row, Outwork)
    step = _step(row, programme)
    return OutworkLine(
        id=line.id,
        what=row.name,
        component=component_name(work.cat, row.component),
        certainty=line.certainty,
        quantity=line.quantity,
        low=line.low,
        high=line.high,
        unit=line.unit,
        reason=row.range_reason,
        limits=_limits(row, work),
        certificate=row.certificate,
        out=step.start_day if step is not None else None,
        back=step.finish_day if step is not None else None,
    )


def _step(row: Outwork, programme: Programme) -> Step | None:
    """The step it is away for; else the one it is done in."""
    return programme.steps.get(row.away) or programme.steps.get(row.activity)


def _limits(row: Outwork, work: PricedWork) -> tuple[KnownLimit, ...]:
    """Measures with limits of the parts that it puts right, each with its reading."""
    return tuple(
        KnownLimit(
            one.name, one.unit, one.new, one.rebuild_limit, one.service_limit,
            _reading(one.id, work),
        )
        for one in _measures(row, work.cat)
    )  # fmt: skip


def _measures(row: Outwork, cat: ClassCatalogue) -> list[Measure]:
    having = [one for one in cat.measures.values() if one.new is not None]
    return [one for one in having if one.part and one.part in row.follows]


def _reading(measure: str, work: PricedWork) -> Decimal | None:
    for one in work.scope.judgements.values():
        if one.finding.measure == measure and one.measured is not None:
            return one.measured
    return None
