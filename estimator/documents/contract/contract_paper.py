"""What the papers of a contract share: head and foot, facts, cautions, lines to sign on."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from babel.numbers import get_currency_name
from reportlab.platypus import Flowable, TableStyle

from estimator.documents.contract import contract_labels as labels
from estimator.documents.grammar import labels as quote_labels
from estimator.documents.grammar.certainty_bar import TickBox
from estimator.documents.grammar.columns import Beside, Columns, Flow, Rule
from estimator.documents.grammar.fonts import REGULAR, SEMIBOLD, marked
from estimator.documents.grammar.look import GAP, INK, INK3, WIDTH, style
from estimator.documents.grammar.page import About, Pages, lay_out
from estimator.documents.grammar.paper import Paper
from estimator.documents.grammar.spoken import tag, written_in
from estimator.documents.grammar.text import Grid, Heading, Text
from estimator.documents.grammar.wording import NOTHING, Words, english_note
from estimator.domain.catalogue.rows import Caution
from estimator.domain.contract.papers import Answered, Head, Sum
from estimator.domain.contract.variation import Range
from estimator.domain.money import Money, round_half_up

HALF = (WIDTH - GAP) / 2
PAD = 8.0
INNER = WIDTH - 2 * PAD
_SHOWN_HASH = 24


@dataclass(frozen=True)
class ContractPaper(Paper):
    """A paper of a contract on its way to print."""

    head: Head
    words: Words

    def tax(self) -> str:
        """The tax with its rate."""
        return f"{self.head.tax} {self.words.percent(self.head.tax_percent)}"

    def money(self, amount: Money) -> str:
        """A sum before tax, with its currency; nothing is 0, not a dash."""
        return self.words.money(amount)

    def gross(self, amount: Money) -> str:
        """A sum with tax, minor units shown."""
        return self.words.money(amount, exact=True)

    def signed(self, amount: Money) -> str:
        """What moves a sum: a plus or a minus before it; a dash for nothing."""
        return f"+{self.words.sum(amount)}" if amount.minor > 0 else self.words.sum(amount)

    def to_pay(self, price: Sum) -> str:
        """A sum before and with tax in words."""
        return labels.TO_PAY.format(
            net=self.money(price.net), gross=self.gross(price.gross), tax=self.tax()
        )

    def spread(self, range_: Range) -> str:
        """Low to high, and likely."""
        low, likely, high = map(self.money, (range_.low, range_.likely, range_.high))
        return labels.RANGE.format(low=low, likely=likely, high=high)

    def days(self, days: Decimal) -> str:
        """Working days; a dash for none."""
        return self.words.quantity(days) if days else NOTHING

    def opening(self, title: str, key: str, subtitle: str = "") -> list[Any]:
        """Title, what it is about, and the machine."""
        head, words = self.head, self.words
        machine = labels.MACHINE_LINE.format(
            machine=head.machine[:1].upper() + head.machine[1:],
            mass=words.quantity(round_half_up(head.tonnes, Decimal(1))),
            serial=head.serial, hours=words.quantity(head.hours),
        )  # fmt: skip
        found = self.section(title, key, name="title")
        if subtitle:
            found.append(self.text(subtitle, "part", after=1))
        return [*found, self.text(machine, "second", after=3)]

    def parties(self) -> list[tuple[str, str]]:
        """To whom, and about which job."""
        head = self.head
        customer = ", ".join(filter(None, (head.customer.name, *head.customer.address)))
        job = labels.JOB_ORDER.format(job=head.title, order=head.order)
        return [(labels.TO, customer), (labels.JOB, job if head.order else head.title)]

    def facts(self, left: list[tuple[str, str]], right: list[tuple[str, str]]) -> Columns:
        """Two stacks of labelled facts."""
        first, second = WIDTH * 0.56, WIDTH * 0.44 - GAP
        return Columns(
            [[self.pairs(left, 58, first)], [self.pairs(right, 58, second)]], [first, second]
        )

    def pairs(
        self, rows: Sequence[tuple[str, str]], label: float, whole: float, name: str = "second"
    ) -> Grid:
        """Labels with their values; a value wraps beside its label."""
        cells = [[self.text(title, "second"), self.text(value, name)] for title, value in rows]
        table = Grid(cells or [["", ""]], [label, whole - label], style=TableStyle(_PLAIN))
        table.hAlign = "LEFT"
        return table

    def sums(self, rows: Sequence[tuple[str, str, bool]], whole: float, figure: float = 84) -> Grid:
        """Labels with sums set to the right, those marked with a rule above and in semibold."""
        cells, look = [], list(_PLAIN)
        for at, (title, value, strong) in enumerate(rows):
            name = "cell strong" if strong else "cell"
            cells.append([self.text(title, name), self.figure(value, name, "right")])
            if strong and at:
                look.append(("LINEABOVE", (0, at), (-1, at), 0.6, INK))
        table = Grid(cells, [whole - figure, figure], style=TableStyle(look))
        table.hAlign = "LEFT"
        return table

    def cautions(self, rows: Iterable[Caution]) -> list[Any]:
        """The cautions of this work, each deferring to local codes and licensed practice."""
        shown = [_caution(one) for one in rows]
        first = self.text(labels.SAFETY_FIRST, "fine strong", after=1.5)
        if not shown:
            return [Rule(before=5), first]
        return [self.part(labels.CAUTIONS, "cautions", before=5), first, Flow(shown, 2)]

    def part(self, text: str, key: str, *, before: float = 0) -> Heading:
        """A small heading that stays with what follows it."""
        return Heading(text, style("part", before=before, after=2, keep=True), key)

    def sign_here(self, before: Iterable[Any], heading: str) -> Columns:
        """A box with what is agreed to, and lines for name, capacity, date and signature."""
        inside = [self.part(heading, "sign"), *before, *self._lines_to_sign()]
        return Columns([inside], border=INK, pad=PAD, before=6)

    def _lines_to_sign(self) -> list[Grid]:
        titles = ((labels.NAME, labels.CAPACITY), (labels.SIGNATURE, labels.DATE))
        lines = [[self.text(one, "second") for one in row] for row in titles]
        left, right = (
            max(least, *(one.longest_word + 6 for one in column))
            for least, column in zip((46, 50), zip(*lines, strict=True), strict=True)
        )
        widths = [left, INNER * 0.56 - left, 12, right, INNER * 0.44 - 12 - right]
        return [_blank([first, "", "", second, ""], widths, (1, 4)) for first, second in lines]

    def tick(self, text: str, *, ticked: bool = False, name: str = "strong") -> Beside:
        """A box to tick, and what ticking it says."""
        found = Beside(Ticked() if ticked else TickBox(), [self.text(text, name)], 15)
        found.spaceBefore = 2
        return found

    def answered(self, one: Answered) -> list[Any]:
        """An answer as it is on record."""
        channel = f", {labels.CHANNELS.get(one.channel, one.channel)}" if one.channel else ""
        said = labels.ANSWERED_WORDS.format(
            state=labels.STATES.get(one.state, one.state), who=self.person(one.who, one.capacity),
            day=self.words.day(one.at.date()), channel=channel,
        )  # fmt: skip
        if one.lines:
            said += labels.ANSWERED_LINES.format(lines=", ".join(map(str, one.lines)))
        if one.amount is not None:
            said += labels.ANSWERED_AMOUNT.format(amount=self.money(one.amount))
        words = [labels.IN_WORDS.format(words=text) for text in (one.words, one.reason) if text]
        return [
            self.lead(
                quote_labels.LEAD.format(title=labels.ANSWERED),
                f"{said}. {' '.join(words)}",
                "second",
                before=4,
            )
        ]

    def person(self, who: str, capacity: str) -> str:
        """A name with its capacity."""
        return labels.IN_CAPACITY.format(who=who, capacity=capacity) if capacity else who

    def record(self) -> str:
        """Where the paper comes from: the head of the record's log."""
        shown = self.head.chain_head[:_SHOWN_HASH]
        fours = " ".join(shown[at : at + 4] for at in range(0, len(shown), 4))
        return labels.RECORD_CHAIN.format(head=fours) if fours else ""


def contract_pdf(
    head: Head,
    locale: str,
    title: str,
    reference: str,
    story: Callable[[ContractPaper], list[Any]],
) -> bytes:
    """A paper of a contract as PDF, numbers and dates written as `locale` has them: the same input
    gives the same bytes. Raises ValueError for a locale whose formats are not known."""
    words = Words.of(locale, head.currency, head.quoting_unit)
    paper = ContractPaper(head, words)
    currency = get_currency_name(head.currency, count=2, locale=written_in())
    prices = [quote_labels.PRICES_IN.format(currency=currency)]
    if head.tax_percent:
        prices.append(quote_labels.BESIDES_TAX.format(tax=head.tax))
    address = ", ".join(head.workshop.address)
    written = english_note(words, partly=False)
    about = About(
        sender=head.workshop.name,
        reference=reference.format(job=head.title, day=words.day(head.day)),
        foot="   \u00b7   ".join(filter(None, (address, ", ".join(prices)))),
        title=f"{title} \u00b7 {head.title}",
        subject=head.serial,
        language=tag(),
        day=head.day,
        locale=str(words.locale),
        note=" ".join(filter(None, (paper.record(), written))),
    )
    return lay_out(lambda _: story(paper), about, Pages({}))


class Ticked(TickBox):
    """A box that is ticked."""

    def draw(self) -> None:
        """Draw the box and its cross."""
        super().draw()
        self.canv.setLineWidth(1.2)
        self.canv.line(1.8, 1.8, 7.2, 7.2)
        self.canv.line(1.8, 7.2, 7.2, 1.8)


class SafetyMark(Flowable):  # type: ignore[misc]
    """An outlined triangle: a safety matter, not an alarm."""

    def wrap(self, *_available: float) -> tuple[float, float]:
        """As high as two lines of small text."""
        self.width, self.height = 15.0, 13.5
        return self.width, self.height

    def draw(self) -> None:
        """Draw the triangle and its stroke."""
        canvas = self.canv
        canvas.setStrokeColor(INK)
        canvas.setFillColor(INK)
        canvas.setLineWidth(1.2)
        path = canvas.beginPath()
        path.moveTo(1, 0.8)
        path.lineTo(14, 0.8)
        path.lineTo(7.5, 12.5)
        path.close()
        canvas.drawPath(path, stroke=1, fill=0)
        canvas.line(7.5, 4.6, 7.5, 8.6)
        canvas.circle(7.5, 2.9, 0.4, stroke=1, fill=1)


def _caution(row: Caution) -> Text:
    text = f"{marked(f'{row.hazard}.', SEMIBOLD, tagged=True)} {marked(row.caution, REGULAR)}."
    return Text(text, style("fine", after=1.2))


def _blank(cells: list[Any], widths: list[float], blanks: Iterable[int]) -> Grid:
    """A row of words and lines to write on."""
    look = [
        ("FONTNAME", (0, 0), (-1, -1), REGULAR),
        ("LEFTPADDING", (0, 0), (-1, -1), 0), ("RIGHTPADDING", (0, 0), (-1, -1), 3),
        ("TOPPADDING", (0, 0), (-1, -1), 0), ("BOTTOMPADDING", (0, 0), (-1, -1), 1),
        ("VALIGN", (0, 0), (-1, -1), "BOTTOM"),
        *(("LINEBELOW", (at, 0), (at, 0), 0.5, INK3) for at in blanks),
    ]  # fmt: skip
    table = Grid([cells], widths, style=TableStyle(look))
    table.hAlign, table.spaceBefore = "LEFT", 9
    return table


_PLAIN: list[tuple[Any, ...]] = [
    ("FONTNAME", (0, 0), (-1, -1), REGULAR),
    ("LEFTPADDING", (0, 0), (-1, -1), 0), ("RIGHTPADDING", (0, 0), (-1, -1), 0),
    ("TOPPADDING", (0, 0), (-1, -1), 0), ("BOTTOMPADDING", (0, 0), (-1, -1), 0.6),
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
]  # fmt: skip
