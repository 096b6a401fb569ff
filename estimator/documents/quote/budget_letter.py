"""The budget letter: a range before anybody was at the machine, its class, what it rests on, what
would narrow it, and that it is no quote."""

from __future__ import annotations

from decimal import Decimal
from functools import partial
from typing import Any

from estimator.documents.grammar import labels as shared
from estimator.documents.grammar.columns import Columns, Rule
from estimator.documents.grammar.look import INK, WIDTH
from estimator.documents.grammar.spoken import in_language_of_locale
from estimator.documents.grammar.told import told
from estimator.documents.grammar.wording import Words, apart
from estimator.documents.quote import budget_letter_labels as labels
from estimator.documents.quote.side_paper import SidePaper, side_pdf
from estimator.domain.budget_letter import BudgetLetter
from estimator.domain.money import round_half_up

_CLASS, _SHARE = 44.0, 92.0  # widths of columns


@in_language_of_locale
def budget_letter_pdf(letter: BudgetLetter, locale: str = "en_GB", paper: str = "") -> bytes:
    """The letter as PDF: the same letter and locale give the same bytes. Raises ValueError for a
    locale whose formats are not known."""
    job, machine = letter.head.job, letter.head.machine.type

    def named(words: Words) -> tuple[str, str]:
        reference = labels.REFERENCE.format(number=job.number, day=words.day(job.date))
        return reference, labels.TITLE.format(machine=machine)

    def values(words: Words) -> dict[str, str]:
        return {"dated": words.day(job.date), "until": words.day(letter.until)}

    story = partial(_story, letter)
    return side_pdf(letter.head, locale, named, story, tightest=1, paper=paper, values=values)


def _story(letter: BudgetLetter, paper: SidePaper) -> list[Any]:
    title = labels.TITLE.format(machine=letter.head.machine.type)
    return [
        *paper.section(title, "budget", name="title"),
        *_facts(letter, paper),
        Rule(strong=True),
        *_range(letter, paper),
        _caution(paper),
        *_rests_on(letter, paper),
        *_classes(letter, paper),
        paper.part(labels.NARROWS, "narrows"),
        *(paper.text(one, "list", after=2) for one in paper.clauses("narrows")),
        paper.part(labels.OUTSIDE, "outside"),
        paper.text(paper.clause("outside"), "list"),
        paper.text(paper.clause("valid"), "list", before=8),
        paper.text(
            labels.WRITTEN.format(
                name=letter.head.job.estimator, workshop=letter.head.job.workshop.name
            ),
            "list", before=4,
        ),
    ]  # fmt: skip


def _facts(letter: BudgetLetter, paper: SidePaper) -> list[Any]:
    head, words = letter.head, paper.words
    job = head.job
    machine = labels.MACHINE_LINE.format(
        machine=head.machine.type, mass=words.quantity(round_half_up(head.tonnes, Decimal(1))),
        serial=job.machine.serial or labels.NO_SERIAL, hours=words.quantity(job.machine.hours),
    )  # fmt: skip
    life = shared.LIFE_WANTED.format(hours=words.quantity(job.machine.life_wanted))
    rows = [
        *paper.parties(),
        (labels.MACHINE, machine),
        (labels.SCOPE, shared.LEVELS.get(job.level, job.level)),
        (labels.PRICED_FOR, life),
        (labels.DATED, words.day(job.date)),
        (labels.UNTIL, words.day(letter.until)),
    ]
    return [paper.facts(rows, 104)]


def _range(letter: BudgetLetter, paper: SidePaper) -> list[Any]:
    found, words = letter.found, paper.words
    span = labels.SPAN.format(low=words.money(found.low), high=words.money(found.high))
    said = labels.CLASS_LINE.format(
        number=found.estimate_class, below=words.share(found.band_low),
        above=words.share(found.band_high),
    )  # fmt: skip
    return [
        paper.text(labels.RANGE, "head"),
        paper.figure(span),
        paper.text(said, "second", before=2, after=6),
    ]


def _caution(paper: SidePaper) -> Columns:
    first, *rest = paper.clauses("caution") or [labels.CAUTION]
    inside = [paper.text(first, "strong"), *(paper.text(one, "list", before=2) for one in rest)]
    return Columns([inside], border=INK, pad=8)


def _rests_on(letter: BudgetLetter, paper: SidePaper) -> list[Any]:
    names = labels.TAKES_IN.format(names=apart(letter.groups))
    parts = labels.OPEN_PARTS.format(count=letter.found.open_parts)
    return [
        paper.part(labels.RESTS_ON, "rests on"),
        paper.text(f"{paper.clause('rests on')} {parts}", "list", after=2),
        paper.text(names, "list"),
    ]


def _classes(letter: BudgetLetter, paper: SidePaper) -> list[Any]:
    words = paper.words
    rows = [paper.mixed((labels.CLASS, labels.WHEN, labels.BELOW, labels.ABOVE), {1}, "head")]
    for band in letter.bands:
        here = band.estimate_class == letter.found.estimate_class
        stage = told(band.stage, words)
        name = labels.THIS_LETTER.format(stage=stage) if here else stage
        cells = (str(band.estimate_class), name, words.share(band.low_least),
                 words.share(band.high_least))  # fmt: skip
        rows.append(paper.mixed(cells, {1}, "cell strong" if here else "cell"))
    for row, band in zip(rows[1:], letter.bands, strict=True):
        row[0] = paper.text(str(band.estimate_class), "cell")
    widths = [_CLASS, WIDTH - _CLASS - 2 * _SHARE, _SHARE, _SHARE]
    return [
        paper.part(labels.CLASSES, "classes"),
        paper.table(rows, widths, pad=1),
        paper.text(labels.CLASSES_SOURCE, "note", before=2),
    ]
