"""The job card of a trade: what to do step by step, what holds it, what to read and to heed."""

from __future__ import annotations

from typing import Any

from reportlab.platypus import CondPageBreak

from estimator.documents.grammar import labels as grammar_labels
from estimator.documents.grammar.boxes import RuledSpace, WriteBox
from estimator.documents.grammar.columns import Columns, Rule
from estimator.documents.grammar.look import INK, WIDTH
from estimator.documents.grammar.spoken import in_language_of_locale
from estimator.documents.grammar.told import told
from estimator.documents.grammar.wording import Words, apart, listed
from estimator.documents.workshop import workshop_labels as labels
from estimator.documents.workshop.workshop_paper import WorkshopPaper, workshop_pdf
from estimator.domain.workshop_papers.job_card import (
    NOT_ORDERED,
    ORDERED,
    CardOperation,
    CardReading,
    CardStep,
    JobCard,
)

_BOX = 25.0
_HOURS, _DONE, _BY, _TIME = 46.0, 38.0, 62.0, 54.0
_READ_LIMITS, _READ_FOUND, _READ_NOW = 132.0, 62.0, 80.0


@in_language_of_locale
def job_card_pdf(card: JobCard, locale: str = "en_GB") -> bytes:
    """The card as PDF: the same card and locale give the same bytes. Raises ValueError for a locale
    whose formats are not known."""
    head = card.head
    words = Words.of(locale, head.currency, head.quoting_unit)
    title = labels.JOB_CARD.format(trade=card.name)
    reference = labels.JOB_CARD_REFERENCE.format(
        trade=card.name, job=head.title, day=words.day(head.day)
    )

    def story(paper: WorkshopPaper) -> list[Any]:
        return [
            *paper.opening(title, "card", head.title),
            Rule(strong=True, before=3, after=3),
            _counts(paper, card),
            _may_not_begin(paper, card),
            *paper.cautions(card.cautions),
            *_masses(paper, card),
            *(part for at, one in enumerate(card.steps) for part in _step(paper, one, at, card)),
            *_released(paper, card),
            *_readings(paper, card.readings),
            *_ending(paper),
        ]

    return workshop_pdf(head, locale, title, reference, story)


def _counts(paper: WorkshopPaper, card: JobCard) -> Columns:
    words = paper.words
    low, high = words.quantity(card.low), words.quantity(card.high)
    ranged = labels.CARD_HOURS_WORDS.format(low=low, high=high) if card.low != card.high else ""
    days = [(one.start, one.finish) for one in card.steps if one.start and one.finish]
    span = ""
    if days:
        first, last = min(one for one, _ in days), max(one for _, one in days)
        span = labels.CARD_STEPS_WORDS.format(first=paper.day(first), last=paper.day(last))
    return paper.counts([
        (labels.CARD_HOURS, words.quantity(card.hours), ranged),
        (labels.CARD_STEPS, str(len(card.steps)), span),
        (labels.CARD_HELD, str(len(card.not_released)), labels.ORDERED[card.ordered]),
    ])  # fmt: skip


def _may_not_begin(paper: WorkshopPaper, card: JobCard) -> Columns:
    """In a frame: whether the work is ordered, and each variation that is not released."""
    inside: list[Any] = [paper.part(labels.MUST_NOT_START, "may not begin")]
    if card.ordered != ORDERED:
        section = "not ordered" if card.ordered == NOT_ORDERED else "strip ordered"
        inside.append(paper.text(paper.clause(section), "strong", after=2))
    if card.not_released:
        inside.append(paper.text(paper.clause("not released"), "strong", after=2))
        titles = (labels.MUST_NOT_START, labels.VARIATION_PLACE, labels.VARIATION_STATE)
        rows = [paper.mixed(titles, (1, 2), "head")]
        for one in card.not_released:
            texts = (labels.HELD_ROW.format(name=one.name, title=one.title), one.location,
                     labels.VARIATION_STATES.get(one.state, one.state))  # fmt: skip
            rows.append([paper.text(text, "cell") for text in texts])
        inside.append(paper.table(rows, [WIDTH - 256, 120, 120], pad=1.4))
    else:
        inside.append(paper.text(labels.NOTHING_HELD, "second"))
    inside.append(paper.text(paper.clause("more"), "second", before=2))
    return Columns([inside], border=INK, pad=8, before=6)


def _masses(paper: WorkshopPaper, card: JobCard) -> list[Any]:
    if not card.masses:
        return []
    shown = apart(
        f"{piece} {labels.MASS.format(mass=paper.words.quantity(mass))}"
        for piece, mass in card.masses
    )
    return [paper.part(labels.MASSES, "masses", before=6), paper.text(shown, "note")]


def _step(paper: WorkshopPaper, one: CardStep, number: int, card: JobCard) -> list[Any]:
    hours = paper.words.quantity(one.hours)
    where = labels.STEP_NOWHERE.format(hours=hours)
    if one.start is not None:
        days = labels.DAY_RANGE.format(
            first=paper.short_day(one.start), last=paper.short_day(one.finish)
        )
        where = labels.STEP_WHERE.format(bay=one.bay, days=days, hours=hours)
    holds = []
    if one.after:
        holds.append(labels.HOLD_STEPS.format(steps=apart(one.after)))
    if one.parts:
        parts = [labels.PART_HERE.format(part=name, day=paper.short_day(day))
                 for name, day in one.parts]  # fmt: skip
        holds.append(labels.HOLD_PARTS.format(parts=apart(parts)))
    rows: list[list[Any]] = [[paper.text(text, "head") for text in
             (labels.OPERATION, labels.HOURS, labels.DONE, labels.BY, labels.TIME)]]  # fmt: skip
    rows[0][1] = paper.text(labels.HOURS, "head", "right")
    rows += [_operation(paper, row, card) for row in one.operations]
    table = paper.table(rows, [WIDTH - _HOURS - _DONE - _BY - _TIME, _HOURS, _DONE, _BY, _TIME],
                        pad=2.4)  # fmt: skip
    table.setStyle([("LEFTPADDING", (2, 0), (-1, -1), 6)])
    hold = grammar_labels.LEAD.format(title=labels.HOLD)
    heading = paper.section(one.name or where, f"step {number}", before=12, need=120)
    return [
        *heading,
        paper.text(where, "second", after=1),
        *(paper.lead(hold, text, "second", after=1) for text in holds),
        table,
    ]


def _operation(paper: WorkshopPaper, one: CardOperation, card: JobCard) -> list[Any]:
    words = paper.words
    about = [one.id, one.component, labels.CREW.format(count=one.crew)]
    texts: list[Any] = [paper.text(one.name, "cell strong"),
                        paper.text("  \u00b7  ".join(about), "fine")]  # fmt: skip
    own = [code for code, _, trade in one.after if not trade]
    if own:
        texts.append(paper.text(labels.AFTER.format(operations=", ".join(own)), "fine"))
    texts += [paper.lead("\u25c6", text, "fine") for text in _holds(paper, one, card)]
    if one.hazards:
        texts.append(paper.text(labels.HEED.format(hazards=listed(one.hazards)), "fine strong"))
    hours = words.quantity(one.hours)
    shown: list[Any] = [paper.figure(hours, "cell", "right")]
    if one.low != one.high:
        ranged = f"{words.quantity(one.low)}\u2013{words.quantity(one.high)}"
        shown.append(paper.figure(ranged, "fine", "right"))
    return [texts, shown, WriteBox(_BOX), WriteBox(_BOX), WriteBox(_BOX)]


def _holds(paper: WorkshopPaper, one: CardOperation, card: JobCard) -> list[str]:
    """What stops before this operation: no order, another trade's work, an extent not settled."""
    found = []
    if not one.ordered and card.ordered != NOT_ORDERED:
        found.append(str(labels.NOT_ORDERED_YET))
    others = [labels.AFTER_OTHER.format(code=f"{code} {name}", trade=trade)
              for code, name, trade in one.after if trade]  # fmt: skip
    if others:
        text = labels.HOLD_OTHER.format(operations=apart(others))
        found.append(labels.HOLD_POINT.format(text=text))
    if one.provisional:
        text = labels.HOLD_MEASURE.format(
            low=paper.words.quantity(one.hours), reason=told(one.reason, paper.words)
        )
        found.append(labels.HOLD_POINT.format(text=text))
    return found


def _released(paper: WorkshopPaper, card: JobCard) -> list[Any]:
    """This trade's work of variations that are released."""
    if not card.released:
        return []
    titles = (labels.OPERATION, labels.HOURS, labels.DONE, labels.BY, labels.TIME)
    rows: list[list[Any]] = [[paper.text(one, "head") for one in titles]]
    for one in card.released:
        about = labels.HELD_ROW.format(name=one.variation, title=one.title)
        texts = [paper.text(one.what, "cell strong"), paper.text(about, "fine")]
        rows.append([texts, paper.figure(paper.words.quantity(one.hours), "cell", "right"),
                     WriteBox(_BOX), WriteBox(_BOX), WriteBox(_BOX)])  # fmt: skip
    total = paper.words.quantity(card.released_hours)
    rows.append([paper.text(labels.CARD_HOURS, "cell strong"),
                 paper.figure(total, "cell strong", "right"), "", "", ""])  # fmt: skip
    widths = [WIDTH - _HOURS - _DONE - _BY - _TIME, _HOURS, _DONE, _BY, _TIME]
    table = paper.table(rows, widths, pad=2.4, total=1)
    table.setStyle([("LEFTPADDING", (2, 0), (-1, -1), 6)])
    return [*paper.section(labels.RELEASED_WORK, "released", before=12, need=120), table]


def _readings(paper: WorkshopPaper, readings: tuple[CardReading, ...]) -> list[Any]:
    if not readings:
        return []
    titles = (labels.READING, labels.READ_LIMITS, labels.READ_FOUND, labels.READ_NOW)
    rows: list[list[Any]] = [[paper.text(one, "head") for one in titles]]
    for one in readings:
        limits = " / ".join(paper.size(size) for size in (one.new, one.rebuild, one.service))
        rows.append([
            [paper.text(one.what, "cell"),
             paper.text(f"{one.id}  \u00b7  {one.component}", "fine")],
            paper.text(f"{limits} {one.unit}".rstrip(), "cell"),
            paper.text(paper.size(one.found), "cell"),
            WriteBox(_BOX, one.unit),
        ])  # fmt: skip
    widths = [WIDTH - _READ_LIMITS - _READ_FOUND - _READ_NOW, _READ_LIMITS, _READ_FOUND, _READ_NOW]
    table = paper.table(rows, widths, pad=2)
    return [*paper.section(labels.READINGS, "readings", before=12, need=110), table]


def _ending(paper: WorkshopPaper) -> list[Any]:
    return [
        CondPageBreak(150),
        paper.text(labels.CARD_NOTES, "note", before=10),
        RuledSpace(4),
        paper.boxes((labels.SIGNED_OFF,), (1,), 34),
    ]
