"""What the papers of inspection and workshop share: head and foot, opening, clauses, cautions."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from reportlab.platypus import TableStyle

from estimator.documents.grammar import labels as grammar_labels
from estimator.documents.grammar.boxes import WriteBox
from estimator.documents.grammar.columns import Columns, Flow
from estimator.documents.grammar.fonts import REGULAR, SEMIBOLD, marked
from estimator.documents.grammar.look import GAP, WIDTH, style
from estimator.documents.grammar.page import About, Pages, lay_out
from estimator.documents.grammar.paper import Paper
from estimator.documents.grammar.spoken import tag
from estimator.documents.grammar.text import Grid, Heading, Whole
from estimator.documents.grammar.wording import NOTHING, Words, english_note
from estimator.documents.workshop import workshop_labels as labels
from estimator.domain.catalogue.rows import Caution
from estimator.domain.money import Money, round_half_up
from estimator.domain.quote import filled
from estimator.domain.workshop_papers.head import SAFETY, PaperHead

_MOST_DIGITS = 6  # of a size that came from another unit
_NO_UNIT = ("text", "count")  # of the catalogue's units
PLAIN: list[tuple[Any, ...]] = [
    ("FONTNAME", (0, 0), (-1, -1), REGULAR),
    ("LEFTPADDING", (0, 0), (-1, -1), 0), ("RIGHTPADDING", (0, 0), (-1, -1), 0),
    ("TOPPADDING", (0, 0), (-1, -1), 0), ("BOTTOMPADDING", (0, 0), (-1, -1), 0.6),
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
]  # fmt: skip


@dataclass(frozen=True)
class WorkshopPaper(Paper):
    """A paper of inspection or workshop on its way to print."""

    head: PaperHead
    words: Words

    def opening(self, title: str, key: str, subtitle: str = "") -> list[Any]:
        """Title, what it is about, and the machine."""
        found = self.section(title, key, name="title")
        if subtitle:
            found.append(self.text(subtitle, "part", after=1))
        return [*found, self.text(self.machine(), "second", after=3)]

    def machine(self) -> str:
        """The machine in one line."""
        head, words = self.head, self.words
        values = {
            "machine": head.machine[:1].upper() + head.machine[1:],
            "mass": words.quantity(round_half_up(head.tonnes, Decimal(1))),
        }
        if not head.number or head.hours is None:
            return str(labels.MACHINE.format(**values))
        hours = words.quantity(head.hours)
        return str(labels.MACHINE_SERIAL.format(serial=head.serial, hours=hours, **values))

    def clause(self, section: str, **values: str) -> str:
        """The clauses of a section as one paragraph, filled in; one that nobody has confirmed with
        a quiet mark behind it."""
        mark = f"\u2060{grammar_labels.UNCONFIRMED_MARK}"
        return " ".join(
            filled(one.text, values) + (mark if one.unconfirmed else "")
            for one in self.head.clauses.get(section, ())
        )

    def pairs(self, rows: Sequence[tuple[str, str]], label: float, whole: float) -> Grid:
        """Labels with their values; a value wraps beside its label."""
        cells = [[self.text(title, "second"), self.text(value, "second")] for title, value in rows]
        table = Grid(cells or [["", ""]], [label, whole - label], style=TableStyle(PLAIN))
        table.hAlign = "LEFT"
        return table

    def facts(self, left: list[tuple[str, str]], right: list[tuple[str, str]]) -> Columns:
        """Two stacks of labelled facts."""
        first, second = WIDTH * 0.56, WIDTH * 0.44 - GAP
        columns = [[self.pairs(left, 64, first)], [self.pairs(right, 64, second)]]
        return Columns(columns, [first, second])

    def part(self, text: str, key: str, *, before: float = 0) -> Heading:
        """A small heading that stays with what follows it."""
        return Heading(text, style("part", before=before, after=2, keep=True), key)

    def counts(self, facts: Iterable[tuple[str, str, str]]) -> Columns:
        """Figures side by side: what it is, the figure, words below."""
        return Columns([
            [self.text(title, "head"), self.figure(figure, "figure small"),
             self.text(words, "second")]
            for title, figure, words in facts
        ])  # fmt: skip

    def boxes(self, words: Sequence[str], shares: Sequence[float], high: float) -> Columns:
        """Empty boxes side by side, each with quiet words in its corner."""
        return Columns([[WriteBox(high, one)] for one in words], shares, gap=5, before=3)

    def cautions(self, rows: Iterable[Caution], key: str = "cautions") -> list[Any]:
        """Cautions with their lines in full: hazard, what to do, the family of standards, and what
        comes before this text."""
        found = tuple(rows)
        first = self.text(self.clause(SAFETY), "strong", after=2)
        if not found:
            return [first]
        defers = {one.defers_to for one in found}
        shown = [_caution(one, each=len(defers) > 1) for one in found]
        if len(defers) == 1:
            said = labels.CAUTION_DEFERS.format(defers=defers.pop())
            shown.insert(0, self.text(said, "note", after=2.4))
        return [*self.section(labels.CAUTIONS, key, before=8), first, Flow(shown, 2)]

    def amount(self, value: Decimal, low: Decimal, high: Decimal, unit: str = "") -> str:
        """A quantity with its range where it has one, and its unit."""
        words = self.words
        text = words.quantity(value)
        if low != high:
            text = labels.QUANTITY_RANGE.format(low=words.quantity(low), high=words.quantity(high))
        return f"{text}\u00a0{unit}".rstrip()

    def unit(self, unit: str) -> str:
        """A unit as it is printed: words and counts have none."""
        return "" if unit in _NO_UNIT else unit

    def size(self, value: Decimal | None) -> str:
        """A size without its unit, as it was read; a dash for none."""
        if value is None:
            return NOTHING
        exponent = value.normalize().as_tuple().exponent
        digits = -exponent if isinstance(exponent, int) and exponent < 0 else 0
        return self.words.number(value, min(digits, _MOST_DIGITS))

    def day(self, day: date | None) -> str:
        """A date; a dash for none."""
        return NOTHING if day is None else self.words.day(day)

    def short_day(self, day: date | None) -> str:
        """A date in figures, for a narrow column; a dash for none."""
        from babel.dates import format_date

        return NOTHING if day is None else str(format_date(day, "short", locale=self.words.locale))

    def exact(self, money: Money) -> str:
        """A sum with its minor units, without its currency."""
        return self.words.sum(money, exact=True)

    def certainty(self, name: str) -> str:
        """Firm or provisional."""
        return str({"firm": labels.FIRM, "provisional": labels.PROVISIONAL}.get(name, name))


def workshop_pdf(
    head: PaperHead,
    locale: str,
    title: str,
    reference: str,
    story: Callable[[WorkshopPaper], list[Any]],
    *,
    band: str = "",
    about: str = "",
) -> bytes:
    """A paper as PDF, numbers and dates written as `locale` has them: the same input gives the same
    bytes. `band` says across every page whom it is not for. Raises ValueError for a locale whose
    formats are not known."""
    words = Words.of(locale, head.currency, head.quoting_unit)
    paper = WorkshopPaper(head, words)
    edition = labels.CATALOGUE.format(version=head.version, edition=head.edition)
    address = ", ".join(head.workshop.address)
    page = About(
        sender=head.workshop.name,
        reference=reference,
        foot="   \u00b7   ".join(filter(None, (band, address, edition))),
        title=" \u00b7 ".join(filter(None, (title, head.title, band))),
        subject=about or head.serial or head.machine,
        language=tag(),
        day=head.day,
        locale=str(words.locale),
        note=_note(head.clauses, words),
        band=band,
    )
    return lay_out(lambda _: story(paper), page, Pages({}))


def _note(clauses: Mapping[str, Any], words: Words) -> str:
    """What is left in English, and translations that nobody has confirmed."""
    found = [one for texts in clauses.values() for one in texts]
    said = [english_note(words, partly=any(one.in_english for one in found))]
    if any(one.unconfirmed for one in found):
        mark = grammar_labels.UNCONFIRMED_MARK
        said.append(str(grammar_labels.UNCONFIRMED.format(mark=mark)))
    return " ".join(filter(None, said))


def _caution(row: Caution, *, each: bool) -> Whole:
    """A caution in full; `each` says what comes before its text, where that differs among them."""
    said = [f"{row.caution}.", labels.CAUTION_FAMILY.format(family=row.family)]
    if each:
        said.append(labels.CAUTION_DEFERS.format(defers=row.defers_to))
    text = (f"{marked(f'{row.hazard}.', SEMIBOLD, tagged=True)} "
            f"{marked(' '.join(said), REGULAR)}")  # fmt: skip
    return Whole(text, style("note", after=2.4))
