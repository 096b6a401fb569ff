"""The papers of inspection and workshop of a job: each kind's entry, filled from the record."""

from __future__ import annotations

from collections.abc import Callable
from hashlib import sha256
from typing import TYPE_CHECKING, TypeVar

from estimator.domain.priced_work import PricedWork, priced_work
from estimator.domain.wording import said_by, worded
from estimator.services.errors import NotFound, NotReckoned
from estimator.services.frozen_quote import accepted_job, frozen_work
from estimator.services.paper_kinds import PaperKind, Source
from estimator.storage import contract_record, photograph_record

if TYPE_CHECKING:
    from estimator.domain.record import Photograph
    from estimator.domain.workshop_papers.inspection_report import ReportPicture
    from estimator.domain.workshop_papers.job_card import Authority

Made = TypeVar("Made")
Choices = tuple[tuple[str, str], ...]  # (code, name)


def work_of(source: Source) -> PricedWork:
    """The priced work of a job: as it was issued where it is frozen, else as it is now. Raises
    Refused, NotReckoned."""
    if source.issued is not None:
        with source.record.reading() as session:
            return frozen_work(session, accepted_job(source.job, source.issued), source.issued)
    try:
        return priced_work(source.job, source.cat, source.progress)
    except ValueError as error:  # no exchange rate among them
        raise NotReckoned(
            worded("{title} cannot be priced: {error}.", title=source.job.title,
                   error=said_by(error)),
            worded("Check the figures it names."),
        ) from error  # fmt: skip


def outwork_suppliers(source: Source) -> Choices:
    """Everybody the scope has outwork for: what `which` of a request may be."""
    from estimator.domain.workshop_papers.outwork_request import suppliers_of

    return suppliers_of(work_of(source))


def card_trades(source: Source) -> Choices:
    """Every trade with work in the scope: what `which` of a job card may be."""
    from estimator.domain.workshop_papers.job_card import trades_of

    return trades_of(work_of(source))


def pictures_of(source: Source) -> dict[str, tuple[ReportPicture, ...]]:
    """The photographs that the findings name, by finding; one that is gone or damaged stands there
    without its picture."""
    with source.record.reading() as session:
        kept = photograph_record.photographs(session, source.kept.id)
        known = {(one.finding, one.name): one for one in kept}
        images = {
            (row.id, name): photograph_record.image_of(session, known[row.id, name].id)
            for row in source.job.findings
            for name in row.photo
            if (row.id, name) in known
        }
    return {
        row.id: tuple(
            _picture(name, known.get((row.id, name)), images.get((row.id, name)))
            for name in row.photo
        )
        for row in source.job.findings
        if row.photo
    }


def _picture(name: str, kept: Photograph | None, image: bytes | None) -> ReportPicture:
    from estimator.domain.workshop_papers.inspection_report import DAMAGED, MISSING, ReportPicture

    if kept is None:
        return ReportPicture(name, "", None, b"", 0, 0, MISSING)
    lost = ""
    if not image:
        lost = MISSING
    elif sha256(image).hexdigest() != kept.sha256:
        lost = DAMAGED
    data = b"" if lost else image or b""
    return ReportPicture(
        kept.name, kept.caption, kept.taken_on, data, kept.width, kept.height, lost
    )


def _report(source: Source) -> bytes:
    from estimator.documents.inspection.inspection_report import inspection_report_pdf
    from estimator.domain.workshop_papers.inspection_report import build_inspection_report

    report = build_inspection_report(
        work_of(source), source.job.date, pictures_of(source), source.language
    )
    return inspection_report_pdf(report, source.locale)


def _sheet(source: Source) -> bytes:
    from estimator.documents.inspection.inspection_sheet import inspection_sheet_pdf
    from estimator.domain.workshop_papers.inspection_sheet import sheet_of_job

    sheet = sheet_of_job(source.job, source.cat, source.job.date, source.language)
    return inspection_sheet_pdf(sheet, source.locale)


def _parts(*, for_customer: bool) -> Callable[[Source], bytes]:
    def make(source: Source) -> bytes:
        from estimator.documents.workshop.parts_list import parts_list_pdf
        from estimator.domain.workshop_papers.parts_list import build_parts_list

        work, day = work_of(source), source.job.date
        parts = _in_time(
            lambda: build_parts_list(work, day, source.language, for_customer=for_customer),
            source,
        )
        return parts_list_pdf(parts, source.locale)

    return make


def _outwork(source: Source) -> bytes:
    from estimator.documents.workshop.outwork_request import outwork_request_pdf
    from estimator.domain.workshop_papers.outwork_request import (
        build_outwork_request,
        suppliers_of,
    )

    work = work_of(source)
    supplier = _chosen(source, suppliers_of(work))
    request = _in_time(
        lambda: build_outwork_request(work, supplier, source.job.date, source.language), source
    )
    return outwork_request_pdf(request, source.locale)


def _card(source: Source) -> bytes:
    from estimator.documents.workshop.job_card import job_card_pdf
    from estimator.domain.workshop_papers.job_card import build_job_card, trades_of

    work = work_of(source)
    trade, authority = _chosen(source, trades_of(work)), authority_of(source, work)
    card = _in_time(
        lambda: build_job_card(work, trade, source.job.date, authority, source.language), source
    )
    return job_card_pdf(card, source.locale)


def authority_of(source: Source, work: PricedWork) -> Authority:
    """What of a job may begin, by its contract; nothing where none was made, or where the revision
    that was accepted is not the one that the work is of."""
    from estimator.domain.contract.following import contract_of
    from estimator.domain.reasons import Reasons
    from estimator.domain.teardown import teardown_offer
    from estimator.domain.workshop_papers.job_card import ORDERED, STRIP_ORDERED, Authority

    with source.record.reading() as session:
        events = contract_record.read_events(session, source.kept.id)
    if not events:
        return Authority()
    contract = contract_of(events)
    strip_only = contract.acceptance.teardown_only
    if not strip_only and contract.acceptance.revision != source.job.revision:
        return Authority(contract=contract)
    if not strip_only:
        return Authority(ORDERED, contract=contract)
    offer = teardown_offer(work.job, work.cat, dict(work.scope.judgements), Reasons())
    return Authority(STRIP_ORDERED, frozenset(line.id for line in offer.lines), contract)


def _cost(source: Source) -> bytes:
    from estimator.documents.workshop.cost_sheet import cost_sheet_pdf
    from estimator.domain.enquiry import range_so_far
    from estimator.domain.workshop_papers.cost_sheet import build_cost_sheet

    priced = source.priced
    range_ = range_so_far(work_of(source), priced.contingency)
    sheet = build_cost_sheet(priced, range_, source.job.date, source.language)
    return cost_sheet_pdf(sheet, source.locale)


def _chosen(source: Source, choices: Choices) -> str:
    """What `which` names, or the only one there is. Raises NotFound, naming those there are."""
    codes = [code for code, _ in choices]
    if not source.which and len(codes) == 1:
        return codes[0]
    if source.which in codes:
        return source.which
    known = "; ".join(f"{code} {name}".rstrip() for code, name in choices)
    asked = worded("It has no {which}.", which=repr(source.which)) if source.which else ""
    raise NotFound(
        asked or worded("{title}: which of them?", title=source.job.title),
        worded("Say one of: {known}.", known=known) if known else worded("It has none."),
    )


def _in_time(make: Callable[[], Made], source: Source) -> Made:
    """What needs the programme. Raises NotReckoned where that has no end."""
    from estimator.domain.programme.network import NetworkCycle
    from estimator.domain.programme.working_time import BeyondCalendar

    try:
        return make()
    except (NetworkCycle, BeyondCalendar, ValueError) as error:
        raise NotReckoned(
            worded("{title} has no programme: {error}.", title=source.job.title,
                   error=said_by(error)),
            worded("Check the figures it names."),
        ) from error  # fmt: skip


_CLASS = worded("a job whose class is in the catalogue")
_FITS = worded("a job that can be priced")

WORKSHOP_PAPERS = (
    PaperKind("inspection-report", worded("Inspection report"), True, _FITS, _report, slow=False),
    PaperKind("inspection-sheet", worded("Inspection sheet"), False, _CLASS, _sheet, slow=False),
    PaperKind("parts", worded("Parts list"), True, _FITS, _parts(for_customer=True), slow=False),
    PaperKind("parts-store", worded("Parts list for the store"), False, _FITS,
              _parts(for_customer=False), slow=False),
    PaperKind("outwork", worded("Request for outwork"), False, _FITS, _outwork, slow=False,
              chooses=worded("supplier")),
    PaperKind("job-card", worded("Job card"), False, _FITS, _card, slow=False,
              chooses=worded("trade")),
    PaperKind("cost-sheet", worded("Cost sheet"), False, _FITS, _cost),
)  # fmt: skip
"""In the order in which a job meets them."""
