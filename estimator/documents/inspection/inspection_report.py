"""The inspection report: component by component what was found, and what nobody could judge."""

from __future__ import annotations

from typing import Any

from reportlab.platypus import CondPageBreak

from estimator.documents.grammar.columns import Columns, Rule
from estimator.documents.grammar.limit_gauge import LimitGauge
from estimator.documents.grammar.look import GAP, INK3, WIDTH
from estimator.documents.grammar.pictures import Photograph, can_be_shown
from estimator.documents.grammar.spoken import in_language_of_locale
from estimator.documents.grammar.told import told
from estimator.documents.grammar.wording import NOTHING, Words, apart
from estimator.documents.inspection import inspection_labels as labels
from estimator.documents.workshop import workshop_labels
from estimator.documents.workshop.workshop_paper import WorkshopPaper, workshop_pdf
from estimator.domain.contract.papers import Picture
from estimator.domain.workshop_papers.inspection_report import (
    MISSING,
    InspectedComponent,
    InspectedRow,
    InspectionReport,
    NotLooked,
    ReportPicture,
    TestResult,
)

_READ, _LIMITS, _GAUGE, _FOLLOWS = 66.0, 92.0, 84.0, 96.0
_ACROSS, _HIGHEST = 2, 176.0  # photographs in a row, and the most height of one


@in_language_of_locale
def inspection_report_pdf(report: InspectionReport, locale: str = "en_GB") -> bytes:
    """The report as PDF: the same report and locale give the same bytes. Raises ValueError for a
    locale whose formats are not known."""
    head = report.head

    def story(paper: WorkshopPaper) -> list[Any]:
        day = paper.words.day(report.inspected)
        return [
            *paper.opening(labels.REPORT, "report"),
            _facts(paper, report),
            Rule(strong=True, before=3, after=3),
            paper.text(paper.clause("extent", inspected=day), "second", after=4),
            _counts(paper, report),
            *_components(paper, report),
            *_not_looked(paper, report),
            *_tests(paper, report),
            *paper.cautions(report.cautions),
        ]

    words = Words.of(locale, head.currency, head.quoting_unit)
    reference = labels.REPORT_REFERENCE.format(job=head.title, day=words.day(head.day))
    return workshop_pdf(head, locale, labels.REPORT, reference, story)


def _facts(paper: WorkshopPaper, report: InspectionReport) -> Columns:
    customer = report.head.customer
    who = ", ".join(filter(None, (customer.name, *customer.address))) if customer else NOTHING
    left = [(workshop_labels.CUSTOMER, who), (workshop_labels.JOB, report.head.title)]
    right = [
        (labels.INSPECTED_ON, paper.words.day(report.inspected)),
        (labels.INSPECTED_BY, ", ".join(report.inspectors) or NOTHING),
        (labels.METER, labels.METERS.get(report.meter, report.meter)),
    ]
    return paper.facts(left, right)


def _counts(paper: WorkshopPaper, report: InspectionReport) -> Columns:
    found = apart(
        labels.FOUND_WORDS.format(count=count, what=labels.DISPOSITIONS.get(name, name))
        for name, count in report.counts
    )
    rows = sum(len(one.rows) for one in report.components)
    unseen = sum(len(one.noted) + len(one.closed) for one in report.not_looked)
    groups = labels.GROUPS_COUNT.format(count=len(report.not_looked))
    where = labels.NOT_JUDGED_WORDS.format(groups=groups) if unseen else ""
    done = sum(one.done for one in report.tests)
    tests = labels.OF_ALL.format(done=done, all=len(report.tests))
    return paper.counts([
        (labels.FOUND_COUNT, str(rows), found),
        (labels.NOT_JUDGED_COUNT, str(unseen), where),
        (labels.TESTS_COUNT, tests, ""),
    ])  # fmt: skip


def _components(paper: WorkshopPaper, report: InspectionReport) -> list[Any]:
    """One table under one head, parted where photographs stand between."""
    if not report.components:
        return [paper.text(labels.NOTHING_FOUND, "strong", before=8)]
    found: list[Any] = []
    together: list[tuple[int, InspectedComponent]] = []
    for number, one in enumerate(report.components):
        together.append((number, one))
        if one.pictures:
            found += [_table(paper, together), *_pictures(paper, one.pictures)]
            together = []
    if together:
        found.append(_table(paper, together))
    if any(_has_gauge(row) for one in report.components for row in one.rows):
        found.append(paper.text(labels.GAUGE_KEY, "note", before=6))
    if any(one.pictures for one in report.components):
        found.append(paper.text(labels.SCALE, "note", before=2))
    return found


def _table(paper: WorkshopPaper, components: list[tuple[int, InspectedComponent]]) -> Any:
    titles = (labels.FINDING, labels.READING, labels.LIMITS, "", labels.WHAT_FOLLOWS)
    rows: list[list[Any]] = [[paper.text(one, "head") for one in titles]]
    look: list[tuple[Any, ...]] = [
        ("LEFTPADDING", (2, 0), (-1, -1), 8), ("TOPPADDING", (3, 1), (3, -1), 4),
        ("SPAN", (2, 0), (3, 0)),
    ]  # fmt: skip
    for number, one in components:
        at = len(rows)
        name = one.name or one.code or NOTHING
        heading = paper.part(name[:1].upper() + name[1:], f"component {number}")
        rows.append([heading, "", "", "", ""])
        rows += [_row(paper, row) for row in one.rows]
        look += [("SPAN", (0, at), (-1, at)), ("NOSPLIT", (0, at), (-1, at + 1)),
                 ("TOPPADDING", (0, at), (-1, at), 8)]  # fmt: skip
    widths = [WIDTH - _READ - _LIMITS - _GAUGE - _FOLLOWS, _READ, _LIMITS, _GAUGE, _FOLLOWS]
    table = paper.table(rows, widths, pad=1.6, before=8)
    table.setStyle(look)
    return table


def _has_gauge(row: InspectedRow) -> bool:
    return row.new is not None and row.service is not None and row.new != row.service


def _row(paper: WorkshopPaper, row: InspectedRow) -> list[Any]:
    read = row.words or _answer(row.alarm)
    what = row.what
    if row.measured is not None:
        read = f"{paper.size(row.measured)}\u00a0{paper.unit(row.unit)}".rstrip()
        what = f"{row.what}: {row.words}" if row.words else row.what
    limits, gauge = NOTHING, ""
    if _has_gauge(row):
        assert row.new is not None
        assert row.service is not None
        limits = labels.LIMIT_TEXT.format(
            new=paper.size(row.new), rebuild=paper.size(row.rebuild),
            service=paper.size(row.service), unit=paper.unit(row.unit),
        ).rstrip()  # fmt: skip
        gauge = LimitGauge(row.new, row.rebuild, row.service, row.measured)
    follows = [paper.text(labels.DISPOSITIONS.get(row.disposition, row.disposition), "cell strong")]
    why = [told(row.reason, paper.words) if row.reason else labels.OWN_JUDGEMENT]
    if row.unsettled:
        reason = told(row.unsettled, paper.words)
        why.append(labels.NOT_SETTLED_YET.format(reason=reason))
    follows += [paper.text(one, "fine") for one in why]
    read_cell = paper.text(read, "cell") if row.measured is None else paper.figure(read, "cell")
    number = [paper.text(what, "cell"), paper.text(row.id, "fine")]
    return [number, read_cell, paper.text(limits, "cell"), gauge, follows]


def _answer(alarm: bool | None) -> str:
    if alarm is None:
        return NOTHING
    return str(labels.ALARM if alarm else labels.CLEAR)


def _pictures(paper: WorkshopPaper, pictures: tuple[ReportPicture, ...]) -> list[Any]:
    """Photographs two in a row; one that is lost leaves a frame and says why."""
    found: list[Any] = []
    for start in range(0, len(pictures), _ACROSS):
        shown = pictures[start : start + _ACROSS]
        columns = [_picture(paper, one) for one in shown]
        columns += [[] for _ in range(_ACROSS - len(shown))]
        found.append(Columns(columns, gap=GAP, before=6))
    return found


def _picture(paper: WorkshopPaper, one: ReportPicture) -> list[Any]:
    lost = bool(one.lost) or not can_be_shown(one.image)
    title = one.name
    if one.taken_on is not None:
        title = labels.TAKEN.format(name=one.name, day=paper.words.day(one.taken_on))
    caption = f"{title}: {one.caption}" if one.caption else title
    if lost:
        said = labels.PICTURE_MISSING if one.lost == MISSING else labels.PICTURE_DAMAGED
        texts = [paper.text(said.format(name=one.name), "strong")]
        return [Columns([texts], border=INK3, pad=10), paper.text(caption, "fine")]
    shown = Photograph(Picture(one.name, "", one.image, one.width, one.height), _HIGHEST)
    shown.spaceAfter = 2
    return [shown, paper.text(caption, "fine")]


def _not_looked(paper: WorkshopPaper, report: InspectionReport) -> list[Any]:
    """What nobody could judge, by group: it is neither good nor worn until it is open."""
    day = paper.words.day(report.inspected)
    section = paper.section(labels.NOT_LOOKED, "not looked", before=4, need=0)
    head = [CondPageBreak(150), Rule(before=10), *section]
    if not report.not_looked:
        return [*head, paper.text(labels.ALL_JUDGED, "second")]
    titles = (workshop_labels.GROUP, labels.NOTED, labels.CLOSED)
    rows = [paper.mixed(titles, (1, 2), "head")]
    rows += [_not_looked_row(paper, one) for one in report.not_looked]
    said = paper.clause("not looked at", inspected=day)
    return [*head, paper.text(said, "second", after=3), paper.table(rows, [104, 188, WIDTH - 292])]


def _not_looked_row(paper: WorkshopPaper, one: NotLooked) -> list[Any]:
    noted = [
        paper.text(f"{what}: {why}" if why else what, "cell", after=1) for what, why in one.noted
    ]
    closed = paper.text(apart(one.closed) or NOTHING, "cell")
    return [paper.text(one.group, "cell strong"), noted or paper.text(NOTHING, "cell"), closed]


def _tests(paper: WorkshopPaper, report: InspectionReport) -> list[Any]:
    done = [one for one in report.tests if one.done]
    left = [one for one in report.tests if not one.done]
    columns: list[list[Any]] = [
        [paper.heading(labels.TESTS_DONE, "tests done"), *_tests_done(paper, done)],
        [paper.heading(labels.TESTS_NOT_DONE, "tests not done"), *_tests_left(paper, left)],
    ]
    return [CondPageBreak(90), Columns(columns, before=10)]


def _tests_done(paper: WorkshopPaper, tests: list[TestResult]) -> list[Any]:
    found = []
    for one in tests:
        answer = labels.NO_ANSWER if one.alarm is None else _answer(one.alarm)
        text = labels.TEST_ANSWER.format(name=one.name, answer=answer)
        found.append(paper.bullet(text))
    return found or [paper.text(labels.NONE_DONE, "second")]


def _tests_left(paper: WorkshopPaper, tests: list[TestResult]) -> list[Any]:
    found = []
    for one in tests:
        text = labels.TEST_WHY.format(name=one.name, why=one.words) if one.words else one.name
        found.append(paper.bullet(text, cross=True))
    return found or [paper.text(labels.ALL_DONE, "second")]
