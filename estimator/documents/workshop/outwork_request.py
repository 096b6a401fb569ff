"""A request for outwork to one supplier, with boxes for their answer."""

from __future__ import annotations

from typing import Any

from reportlab.platypus import CondPageBreak

from estimator.documents.grammar.boxes import RuledSpace
from estimator.documents.grammar.columns import Columns, Rule
from estimator.documents.grammar.look import INK3, WIDTH
from estimator.documents.grammar.spoken import in_language_of_locale
from estimator.documents.grammar.told import told
from estimator.documents.grammar.wording import Words, unit_of
from estimator.documents.workshop import workshop_labels as labels
from estimator.documents.workshop.workshop_paper import WorkshopPaper, workshop_pdf
from estimator.domain.workshop_papers.outwork_request import (
    KnownLimit,
    OutworkLine,
    OutworkRequest,
)

_BOX = 27.0


@in_language_of_locale
def outwork_request_pdf(request: OutworkRequest, locale: str = "en_GB") -> bytes:
    """The request as PDF: the same request and locale give the same bytes. Raises ValueError for a
    locale whose formats are not known."""
    head = request.head
    words = Words.of(locale, head.currency, head.quoting_unit)
    reference = labels.OUTWORK_REFERENCE.format(
        supplier=request.supplier or labels.UNTOLD, job=head.title, day=words.day(head.day)
    )

    def story(paper: WorkshopPaper) -> list[Any]:
        return [
            *paper.opening(labels.OUTWORK_REQUEST, "request", request.supplies),
            _facts(paper, request),
            Rule(strong=True, before=3, after=3),
            paper.text(paper.clause("ask"), "strong", after=2),
            paper.text(paper.clause("more"), "second", after=2),
            *(part for one in request.lines for part in _line(paper, one)),
            *_ending(paper),
        ]

    return workshop_pdf(head, locale, labels.OUTWORK_REQUEST, reference, story)


def _facts(paper: WorkshopPaper, request: OutworkRequest) -> Any:
    workshop = request.head.workshop
    supplier = " ".join(filter(None, (request.supplier, request.supplies))) or labels.UNTOLD
    address = ", ".join((workshop.name, *workshop.address))
    left = [(labels.TO_SUPPLIER, supplier), (labels.DELIVER_TO, address)]
    if workshop.contact:
        left.append((labels.FROM_US, workshop.contact))
    dates = labels.ALL_DATES.format(
        out=paper.day(request.first_out), back=paper.day(request.last_back)
    )
    right = [
        (labels.JOB, request.head.title), (labels.DATED, paper.words.day(request.head.day)),
        (labels.ASKED_BY, request.asked_by), (labels.BACK, dates),
    ]  # fmt: skip
    return paper.facts(left, right)


def _line(paper: WorkshopPaper, one: OutworkLine) -> list[Any]:
    """What is asked for, with its limits, and boxes for price and time."""
    unit = unit_of(one.unit, one.quantity)
    quantity = paper.amount(one.quantity, one.low, one.high, unit)
    title = labels.FOR_LINE.format(code=one.id, what=one.what)
    facts = [(labels.WANTED, quantity), (labels.LEAVES, paper.day(one.out)),
             (labels.BACK, paper.day(one.back))]  # fmt: skip
    left: list[Any] = [paper.text(one.component, "second"), paper.pairs(facts, 70, WIDTH * 0.4)]
    if one.certainty == "provisional":
        reason = told(one.reason, paper.words) if one.reason else paper.certainty(one.certainty)
        left.append(paper.text(labels.EXTENT.format(reason=reason), "note"))
    if one.certificate:
        left.append(paper.text(labels.CERTIFICATE.format(certificate=one.certificate), "note"))
    right = [paper.text(labels.DRAWING, "head"), *_limits(paper, one.limits)]
    answer = paper.boxes(
        (labels.YOUR_PRICE, labels.YOUR_CURRENCY, labels.YOUR_DAYS), (2, 1, 1.4), _BOX
    )
    inside = [paper.text(title, "strong"), Columns([left, right], [1, 1.1], before=2), answer]
    return [CondPageBreak(96), Columns([inside], border=INK3, pad=7, before=7)]


def _limits(paper: WorkshopPaper, limits: tuple[KnownLimit, ...]) -> list[Any]:
    found = []
    for one in limits:
        text = labels.LIMIT_ROW.format(
            what=one.what, new=paper.size(one.new), rebuild=paper.size(one.rebuild),
            service=paper.size(one.service), unit=one.unit,
        ).rstrip()  # fmt: skip
        if one.measured is not None:
            text = labels.LIMIT_FOUND.format(
                row=text, found=paper.size(one.measured), unit=one.unit
            )
        found.append(paper.text(text.rstrip(), "note", after=1))
    return found or [paper.text(labels.NO_LIMITS, "note")]


def _ending(paper: WorkshopPaper) -> list[Any]:
    boxes = (labels.YOUR_VALIDITY, labels.YOUR_NAME, labels.YOUR_DATE)
    return [
        *paper.section(labels.YOUR_ANSWER, "answer", before=12, need=170),
        paper.boxes(boxes, (1.2, 2, 1), _BOX + 6),
        paper.text(labels.YOUR_NOTES, "note", before=8),
        RuledSpace(4),
    ]
