"""The blank inspection sheet: large boxes for all that the catalogue asks of a class."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from reportlab.platypus import CondPageBreak, PageBreak

from estimator.documents.grammar.boxes import RuledSpace, Ticks, WriteBox
from estimator.documents.grammar.columns import Columns, Rule
from estimator.documents.grammar.look import WIDTH
from estimator.documents.grammar.spoken import in_language_of_locale
from estimator.documents.grammar.wording import Words, listed
from estimator.documents.inspection import inspection_labels as labels
from estimator.documents.workshop.workshop_paper import WorkshopPaper, workshop_pdf
from estimator.domain.workshop_papers.inspection_sheet import (
    AskedComponent,
    AskedGroup,
    AskedMeasure,
    AskedTest,
    InspectionSheet,
)

_BOX, _SMALL = 25.0, 30.0  # heights of boxes to write in
_READING, _STATE, _PHOTO = 92.0, 150.0, 48.0
_PHOTO_ROWS = 10


@in_language_of_locale
def inspection_sheet_pdf(sheet: InspectionSheet, locale: str = "en_GB") -> bytes:
    """The sheet as PDF: the same sheet and locale give the same bytes. Raises ValueError for a
    locale whose formats are not known."""
    head = sheet.head
    words = Words.of(locale, head.currency, head.quoting_unit)
    what = head.title or head.machine
    reference = labels.SHEET_REFERENCE.format(what=what, day=words.day(head.day))

    def story(paper: WorkshopPaper) -> list[Any]:
        return [
            *paper.opening(labels.SHEET, "sheet", head.title),
            *_machine(paper, sheet),
            Rule(strong=True, before=6, after=3),
            *_first(paper, sheet),
            *(part for group in sheet.groups for part in _group(paper, group)),
            *_samples(paper, sheet),
            *_ending(paper),
        ]

    return workshop_pdf(head, locale, labels.SHEET, reference, story)


def _machine(paper: WorkshopPaper, sheet: InspectionSheet) -> list[Any]:
    """Boxes for the machine, with what is known of it."""
    head = sheet.head
    hours = "" if head.hours is None else paper.words.quantity(head.hours)
    customer = head.customer.name if head.customer else ""
    meters = tuple(labels.METERS[one] for one in ("original", "replaced", "not known"))
    return [
        _known(paper, ((labels.FILL_MACHINE, ""), (labels.FILL_SERIAL, head.serial),
                       (labels.FILL_HOURS, hours)), (2, 2, 1)),
        _known(paper, ((labels.FILL_CUSTOMER, customer), (labels.FILL_PLACE, "")), (1, 1)),
        Columns([[WriteBox(_SMALL, labels.FILL_DAY)], [WriteBox(_SMALL, labels.FILL_BY)],
                 [paper.text(labels.FILL_METER, "note", after=4), Ticks(meters)]], (1, 2, 1.6),
                gap=5, before=3),
    ]  # fmt: skip


def _known(
    paper: WorkshopPaper, boxes: tuple[tuple[str, str], ...], shares: tuple[float, ...]
) -> Columns:
    """Boxes side by side: those known filled in, the others empty."""
    columns: list[list[Any]] = []
    for words, value in boxes:
        if value:
            columns.append([paper.text(words, "note"), paper.text(value, "strong")])
        else:
            columns.append([WriteBox(_SMALL, words)])
    return Columns(columns, shares, gap=5, before=3)


def _first(paper: WorkshopPaper, sheet: InspectionSheet) -> list[Any]:
    """What is asked for in all, and the cautions in full."""
    asked = labels.ASKED_COUNT.format(measures=sheet.measures, tests=sheet.tests)
    return [
        paper.text(f"{asked}   \u00b7   {paper.words.day(sheet.head.day)}", "second", after=2),
        *paper.section(labels.BEFORE_YOU_START, "first", before=4),
        paper.text(paper.clause("first"), "strong", after=2),
        *paper.cautions(sheet.cautions),
    ]


def _group(paper: WorkshopPaper, group: AskedGroup) -> list[Any]:
    found: list[Any] = [
        *paper.section(group.name, f"group {group.id}", before=14, need=150),
        Rule(strong=True, before=1, after=1),
    ]
    for one in group.components:
        found += _component(paper, one)
    notes = labels.GROUP_NOTES.format(group=group.name)
    return [*found, CondPageBreak(66), paper.text(notes, "note", before=8), RuledSpace(2)]


def _component(paper: WorkshopPaper, one: AskedComponent) -> list[Any]:
    found: list[Any] = [CondPageBreak(104),
                        paper.part(one.name, f"component {one.id}", before=9)]  # fmt: skip
    if one.hazards:
        heed = labels.HEED.format(hazards=listed(one.hazards))
        found.append(paper.text(heed, "note", after=2))
    rows = [_measure(paper, row) for row in one.measures]
    if rows:
        titles = (labels.ASKED, labels.ASKED_READING, labels.ASKED_STATE, labels.ASKED_PHOTO)
        found.append(_table(paper, titles, rows))
    if one.tests:
        titles = (labels.ASKED_TEST, labels.ASKED_READING, labels.ASKED_ANSWER, labels.ASKED_PHOTO)
        found.append(_table(paper, titles, [_test(paper, row) for row in one.tests]))
    if not rows and not one.tests:
        found += [paper.text(labels.NOTHING_ASKED, "second"), RuledSpace(1)]
    return found


def _table(paper: WorkshopPaper, titles: tuple[str, ...], rows: list[list[Any]]) -> Any:
    head = [paper.text(one, "head") for one in titles]
    widths = [WIDTH - _READING - _STATE - _PHOTO, _READING, _STATE, _PHOTO]
    table = paper.table([head, *rows], widths, pad=3)
    table.setStyle([("VALIGN", (1, 1), (-1, -1), "MIDDLE"), ("LEFTPADDING", (1, 0), (-1, -1), 6)])
    return table


def _measure(paper: WorkshopPaper, one: AskedMeasure) -> list[Any]:
    limits = _limits(paper, one)
    texts = [paper.text(one.name, "cell"),
             paper.text("  \u00b7  ".join(filter(None, (one.id, *limits))), "fine")]  # fmt: skip
    return [texts, WriteBox(_BOX, paper.unit(one.unit)), Ticks(labels.STATES), WriteBox(_BOX)]


def _limits(paper: WorkshopPaper, one: AskedMeasure) -> list[str]:
    """Limits and band with their unit, and what the gauge is good to."""

    def shown(value: Decimal) -> str:
        return f"{paper.size(value)}\u00a0{paper.unit(one.unit)}".rstrip()

    found = [
        text.format(value=shown(value))
        for text, value in (
            (labels.NEW, one.new), (labels.REBUILD, one.rebuild), (labels.SERVICE, one.service),
        )
        if value is not None
    ]  # fmt: skip
    if one.band_low is not None and one.band_high is not None:
        low = paper.size(one.band_low)
        found.append(labels.BAND.format(low=low, high=shown(one.band_high)))
    elif one.band_low is not None:
        found.append(labels.AT_LEAST.format(value=shown(one.band_low)))
    elif one.band_high is not None:
        found.append(labels.AT_MOST.format(value=shown(one.band_high)))
    if one.gauge_error:
        found.append(labels.GAUGE_ERROR.format(value=shown(one.gauge_error)))
    return found


def _test(paper: WorkshopPaper, one: AskedTest) -> list[Any]:
    about = [one.id, listed(one.on), labels.ALARM_WHEN.format(alarm=one.alarm)]
    if one.look:
        about = [one.id, listed(one.on), labels.LOOK_BEFORE]
    texts = [paper.text(one.name, "cell"),
             paper.text("  \u00b7  ".join(filter(None, about)), "fine")]  # fmt: skip
    if one.hazards:
        texts.append(paper.text(labels.HEED.format(hazards=listed(one.hazards)), "fine"))
    return [texts, WriteBox(_BOX), Ticks(labels.ANSWERS), WriteBox(_BOX)]


def _samples(paper: WorkshopPaper, sheet: InspectionSheet) -> list[Any]:
    if not sheet.samples:
        return []
    titles = (labels.ASKED_TEST, labels.SAMPLE_NUMBER, labels.ASKED_ANSWER, labels.ASKED_PHOTO)
    rows = [_test(paper, one) for one in sheet.samples]
    return [
        *paper.section(labels.SAMPLES, "samples", before=14, need=150),
        Rule(strong=True, before=1, after=3),
        _table(paper, titles, rows),
    ]


def _ending(paper: WorkshopPaper) -> list[Any]:
    """Room for notes, and for the numbers of photographs."""
    titles = (labels.ASKED_PHOTO, labels.PHOTO_SHOWS, labels.PHOTO_SCALE)
    rows = [[paper.text(one, "head") for one in titles]]
    rows += [[WriteBox(_BOX) for _ in titles] for _ in range(_PHOTO_ROWS)]
    return [
        PageBreak(),
        *paper.section(labels.PHOTO_LIST, "photographs"),
        paper.table(rows, [70, WIDTH - 70 - 110, 110], pad=1.5),
        *paper.section(labels.NOTES, "notes", before=12, need=160),
        RuledSpace(11),
    ]
