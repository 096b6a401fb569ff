"""The strip report: component by component what was found, and what is still closed."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from reportlab.platypus import CondPageBreak

from estimator.documents.contract import contract_labels as labels
from estimator.documents.contract.contract_paper import ContractPaper, contract_pdf
from estimator.documents.contract.variation_order import measured_table
from estimator.documents.grammar.columns import Columns, Rule
from estimator.documents.grammar.limit_gauge import LimitGauge
from estimator.documents.grammar.look import GAP, WIDTH
from estimator.documents.grammar.pictures import picture_rows
from estimator.documents.grammar.spoken import in_language_of_locale
from estimator.documents.grammar.wording import NOTHING, apart, listed
from estimator.domain.contract.strip_papers import ComponentOpened, ReadingRow, StripReport

_THIRD = (WIDTH - 2 * GAP) / 3
_GAUGE = 92.0


@in_language_of_locale
def strip_pdf(report: StripReport, locale: str = "en_GB") -> bytes:
    """The strip report as PDF: the same report and locale give the same bytes. Raises ValueError
    for a locale whose formats are not known."""

    def story(paper: ContractPaper) -> list[Any]:
        return [
            *paper.opening(labels.STRIP, "strip"),
            paper.facts(paper.parties(), [(labels.DATED, paper.words.day(report.head.day))]),
            Rule(strong=True, before=3, after=3),
            paper.text(labels.STRIP_WORDS, "second", after=4),
            _counts(paper, report),
            *_components(paper, report),
            *_closed(paper, report),
            *_totals(paper, report),
            *paper.cautions(report.cautions),
        ]

    return contract_pdf(report.head, locale, labels.STRIP, labels.STRIP_REFERENCE, story)


def _counts(paper: ContractPaper, report: StripReport) -> Columns:
    """How many components, how many parts in which state, how many still closed."""
    judged = sum(count for _, count in report.counts)
    states = ", ".join(
        f"{count} {labels.PARTS.get(state, state)}" for state, count in report.counts
    )
    closed = sum(len(parts) for _, parts in report.still_closed)
    columns: list[list[Any]] = []
    for title, figure, words in (
        (labels.OPENED_COUNT, len(report.components), ""),
        (labels.PARTS_JUDGED, judged, states),
        (labels.STILL_CLOSED_COUNT, closed, ""),
    ):
        columns.append([paper.text(title, "head"), paper.figure(str(figure), "figure small"),
                        paper.text(words, "second")])  # fmt: skip
    return Columns(columns)


def _components(paper: ContractPaper, report: StripReport) -> list[Any]:
    if not report.components:
        return [paper.text(labels.NOTHING_OPENED, "strong", before=8)]
    found: list[Any] = []
    for number, one in enumerate(report.components):
        found += _component(paper, one, number)
    if any(_has_gauge(row) for one in report.components for row in one.readings):
        found.append(paper.text(labels.GAUGE_KEY, "note", before=4))
    return found


def _component(paper: ContractPaper, one: ComponentOpened, number: int) -> list[Any]:
    opened = apart(
        labels.OPENED_BY.format(day=paper.words.day(at.date()), who=paper.person(who, capacity))
        for at, who, capacity in one.opened
    )
    ticked = labels.TICKED.format(names=listed(one.ticked)) if one.ticked else labels.TICKED_NONE
    return [
        CondPageBreak(90),
        paper.part(_capital(one.name), f"component {number}", before=10),
        paper.text(opened, "note"),
        paper.text(ticked, "note", after=2),
        *(paper.text(note, "second", after=2) for note in one.notes),
        *_parts(paper, one),
        *_readings(paper, one),
        *_measured(paper, one),
        *picture_rows(paper, one.pictures),
    ]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _parts(paper: ContractPaper, one: ComponentOpened) -> list[Any]:
    if not one.parts:
        return []
    rows = [paper.mixed((labels.PART, labels.FOUND_STATE, labels.CARRIED), (1, 2), "head")]
    for part in one.parts:
        look = "cell strong" if part.state == "worn" else "cell"
        texts = (part.name, labels.PARTS.get(part.state, part.state), part.variation or NOTHING)
        rows.append(paper.mixed(texts, (1, 2), look))
    return [paper.table(rows, [WIDTH - 170, 80, 90], pad=1)]


def _has_gauge(row: ReadingRow) -> bool:
    return row.new is not None and row.service is not None and row.new != row.service


def _readings(paper: ContractPaper, one: ComponentOpened) -> list[Any]:
    if not one.readings:
        return []
    head = (labels.READINGS, labels.READ, labels.LIMITS, "", labels.FOLLOWS)
    rows = [paper.mixed(head, (2, 3, 4), "head")]
    for row in one.readings:
        rows.append(_reading(paper, row))
    widths = [WIDTH - 70 - 150 - _GAUGE - 70, 70, 150, _GAUGE, 70]
    table = paper.table(rows, widths, pad=1.4, before=4)
    table.setStyle([("VALIGN", (3, 1), (3, -1), "MIDDLE"), ("LEFTPADDING", (2, 0), (-1, -1), 8)])
    return [table]


def _reading(paper: ContractPaper, row: ReadingRow) -> list[Any]:
    def shown(value: Decimal | None) -> str:
        return NOTHING if value is None else paper.words.quantity(value)

    read = row.words or NOTHING
    if row.measured is not None:
        read = f"{shown(row.measured)}\u00a0{row.unit}".rstrip()
    limits: str = labels.NO_LIMITS
    gauge: Any = ""
    if _has_gauge(row):
        assert row.new is not None
        assert row.service is not None
        limits = labels.LIMIT_TEXT.format(
            new=shown(row.new), rebuild=shown(row.rebuild), service=shown(row.service)
        )
        gauge = LimitGauge(row.new, row.rebuild, row.service, row.measured)
    what = f"{row.what}: {row.words}" if row.words and row.measured is not None else row.what
    verdict = labels.VERDICTS.get(row.verdict, row.verdict)
    cells = paper.mixed((what, read, limits, "", verdict), (2, 3, 4), "cell")
    return [*cells[:3], gauge, cells[4]]


def _measured(paper: ContractPaper, one: ComponentOpened) -> list[Any]:
    if not one.measured_lines:
        return []
    table, *note = measured_table(paper, one.measured_lines, WIDTH)
    table.spaceBefore = 4
    return [table, *note]


def _closed(paper: ContractPaper, report: StripReport) -> list[Any]:
    """What nobody has seen yet, by group; what is still to be measured."""
    rows = [(name, apart(parts)) for name, parts in report.still_closed]
    found: list[Any] = [CondPageBreak(80), Rule(before=8),
                        paper.part(labels.STILL_CLOSED, "closed")]  # fmt: skip
    if rows:
        found.append(paper.pairs(rows, 120, WIDTH))
    else:
        found.append(paper.text(labels.ALL_OPEN, "second"))
    if report.unmeasured:
        found += [paper.part(labels.STILL_MEASURED, "unmeasured", before=5),
                  paper.text(apart(report.unmeasured), "second")]  # fmt: skip
    return found


def _totals(paper: ContractPaper, report: StripReport) -> list[Any]:
    """Variations with what they come to; priced ones add up to the sum below."""
    words = paper.words
    found: list[Any] = [CondPageBreak(110), Rule(before=8),
                        paper.part(labels.STRIP_TOTALS, "totals")]  # fmt: skip
    head = (labels.STRIP_VARIATION, labels.STATE,
            labels.STRIP_AMOUNT.format(currency=words.symbol))  # fmt: skip
    rows = [paper.mixed(head, (1,), "head")]
    for one in report.variations:
        if one.amount is None:
            shown = labels.UNPRICED_LINE.format(range=paper.spread(one.range)) if one.range else ""
        else:
            shown = words.sum(one.amount)
        texts = (f"{one.name} {one.title}", labels.STATES.get(one.state, one.state), shown)
        rows.append(paper.mixed(texts, (1,), "cell"))
    above = len(rows)
    totals = [(labels.PRICED_VARIATIONS, words.sum(report.priced))]
    if report.unpriced.high:
        totals.append((labels.UNPRICED_VARIATIONS, paper.spread(report.unpriced)))
    if report.remeasured:
        totals.append((labels.REMEASURED, paper.signed(report.remeasured)))
    rows += [paper.cells((name, "", shown), "cell strong") for name, shown in totals]
    return [*found, paper.table(rows, [WIDTH - 240, 110, 130], pad=1, total=len(rows) - above)]
