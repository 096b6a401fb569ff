"""What every section of the quote writes with: the quote, its formats, clauses and paragraphs."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache, cached_property
from typing import Any

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import CondPageBreak, TableStyle

from estimator.documents import labels
from estimator.documents.fonts import REGULAR, SEMIBOLD, marked
from estimator.documents.look import INK, LINE, face_of, style
from estimator.documents.page import Pages
from estimator.documents.text import Grid, Heading, Line, Text, Unbroken
from estimator.documents.wording import Words, within
from estimator.domain.money import Money, money_half_up, money_sum
from estimator.domain.priced_job import PricedJob
from estimator.domain.quote import Quote
from estimator.domain.scope import ScopeLine
from estimator.domain.tax import Totals
from estimator.domain.totals import Price

_FILL_IN = re.compile(r"\{(\w+)\}")
_PAGES = {"rates_page": "rates", "annex_page": "annex"}
_UNSEEN_NAMED = 6
_CELL_GAP = 5.5  # padding left of a cell, and a hair
_FIXED, _NAMED = "fixed price", "base and named contingency"
_LEAST_FIRST = 0.22  # share of a table that its first column keeps for names
_FIGURE = re.compile(r"^(?=.*[0-9\u2013])[^ ]+$")  # one word of figures: never broken


@dataclass(frozen=True)
class Sheet:
    """A quote on its way to paper."""

    quote: Quote
    words: Words
    pages: Pages

    @property
    def priced(self) -> PricedJob:
        """The priced job behind the quote."""
        return self.quote.priced

    @property
    def price(self) -> Price:
        """Its price."""
        return self.priced.price

    @property
    def fixed(self) -> bool:
        """Whether it is one fixed price: nothing in it moves, so no part of it is set apart."""
        return self.priced.job.terms.commercial_form == _FIXED

    @property
    def form(self) -> str:
        """Its commercial form, as the sections of its clauses are named."""
        form = self.priced.job.terms.commercial_form
        if form == _NAMED and not self.price.contingency:
            return "form without contingency"
        return f"form {form}"

    @property
    def charges_held(self) -> Money:
        """Charges for all exchange units together."""
        currency = self.priced.job.terms.currency
        return money_sum(
            (money_half_up(one.charge_each.amount * one.quantity, currency)
             for one in self.quote.exchange_units), currency,
        )  # fmt: skip

    def text(self, text: str, name: str = "body", align: str = "left", **look: Any) -> Line:
        """Data or clause text in one look; breaks into lines where it must."""
        return Line(text, style(name, align, **look))

    def figure(
        self, text: str, name: str = "figure", align: str = "left", *, spans: bool = False
    ) -> Unbroken:
        """A sum or date on one line, set smaller where it needs more room than there is."""
        return Unbroken(text, style(name, align), spans=spans)

    def lead(self, lead: str, text: str, name: str = "body", **look: Any) -> Text:
        """A paragraph that opens in semibold."""
        face = face_of(name)
        opening = marked(lead, SEMIBOLD, tagged=True)
        return Text(f"{opening} {marked(text, face)}", style(name, **look))

    def bullet(self, text: str, *, cross: bool = False, name: str = "list") -> Line:
        """A point of a list; a cross for what is not included."""
        return Line(text, _bulleted(name, cross), "\u00d7" if cross else "\u25a0")

    def heading(self, text: str, key: str, *, before: float = 0) -> Heading:
        """A heading with a bookmark, for a column: it stays with what follows it there."""
        return Heading(text, style("section", before=before, after=3, keep=True), key)

    def section(
        self, text: str, key: str, *, name: str = "section", before: float = 0, need: float = 90
    ) -> list[Any]:
        """A heading across the page, moved on where less than `need` points are left below it.

        The engine's own keep-with-next would move the whole of a long table with it.
        """
        return [CondPageBreak(need), Heading(text, style(name, before=before, after=3), key)]

    def clauses(self, section: str) -> list[str]:
        """Texts of a section in order, sums and dates filled in."""
        return [self.filled(one.text) for one in self.quote.clauses.get(section, ())]

    def clause(self, section: str) -> str:
        """All texts of a section as one paragraph."""
        return " ".join(self.clauses(section))

    def formed(self, section: str) -> list[str]:
        """Texts of a section as this commercial form has them, else as all forms do."""
        return self.clauses(f"{self.form}: {section}") or self.clauses(section)

    def filled(self, text: str) -> str:
        """`text` with sums, dates and names in the place of {names in braces}."""
        return _FILL_IN.sub(self._fill_in, text)

    def _fill_in(self, match: re.Match[str]) -> str:
        if match[1] in _PAGES:
            return str(self.pages.of(_PAGES[match[1]]))
        return self._values.get(match[1], match[0])

    @cached_property
    def _values(self) -> Mapping[str, str]:
        quote, job, words = self.quote, self.priced.job, self.words
        offer = quote.teardown
        return {
            "contingency": words.money(self.price.contingency),
            "inspected": words.day(job.inspected),
            "unseen": self._unseen_names(),
            "found_faulty": self._found_faulty(),
            "charges_held": words.money(self.charges_held),
            "order_by": words.day(quote.order_by),
            "valid_until": words.day(quote.valid_until),
            "storage_per_day": words.money(offer.storage_per_day),
            "report_day": words.day(offer.report_day),
            "boxed_return": words.money(offer.boxed_return.net),
            "reassembly": words.money(offer.reassembly.net),
            "longest_days": str(offer.longest_days),
            "destroyed": "; ".join(within(name) for name in offer.destroyed),
        }

    def _found_faulty(self) -> str:
        if self.fixed:
            return labels.FOUND_AT_OUR_RISK
        return labels.FOUND_FROM_CONTINGENCY if self.price.contingency else labels.FOUND_AGREED

    def _unseen_names(self) -> str:
        names = [within(name) for name in self.quote.unseen]
        shown = ", ".join(names[:_UNSEEN_NAMED])
        if len(names) <= _UNSEEN_NAMED:
            return shown
        return labels.AND_OTHERS.format(names=shown, count=len(names) - _UNSEEN_NAMED)

    def taxes(self, totals: Totals) -> list[tuple[str, Money, Money]]:
        """Each tax of a total as (name with rate, base, tax)."""
        rows = self.priced.cat.tax.values()
        found = []
        for tax in totals.taxes:
            names = [row.name for row in rows
                     if row.code == tax.category and row.rate_percent == tax.rate]  # fmt: skip
            name = names[0] if names else labels.TAX
            label = labels.TAX_RATE.format(name=name, rate=self.words.percent(tax.rate))
            found.append((label, tax.base, tax.tax))
        return found

    def exemptions(self) -> list[str]:
        """Reasons printed where a category bears no tax."""
        used = {(tax.category, tax.rate) for tax in self.price.totals.taxes}
        return [row.exemption for row in self.priced.cat.tax.values()
                if row.exemption and (row.code, row.rate_percent) in used]  # fmt: skip

    def sum_line(self, totals: Totals) -> str:
        """Net, tax and gross of an offer in one line."""
        taxes = " + ".join(
            f"{name} {self.words.money(tax, exact=True)}" for name, _, tax in self.taxes(totals)
        )
        return (
            f"{self.words.money(totals.net)} + {taxes} = "
            f"{self.words.money(totals.gross, exact=True)}"
        )

    def quantity(self, line: ScopeLine) -> str:
        """Quantity and unit of a line, kept together."""
        unit = labels.UNITS.get(line.unit, line.unit)
        if line.quantity != 1:
            unit = labels.UNITS_MANY.get(line.unit, unit)
        return f"{self.words.quantity(line.quantity)}\u00a0{unit}"

    def hours(self, values: Iterable[Decimal]) -> list[str]:
        """Hours of one column."""
        return self.words.column(values)

    def cells(self, texts: Iterable[str], name: str = "cell", first: str = "left") -> list[Any]:
        """A row of cells: the first to the left, the others to the right."""
        return [self._cell(text, name, "right" if position else first)
                for position, text in enumerate(texts)]  # fmt: skip

    def _cell(self, text: str, name: str, align: str) -> Any:
        if _FIGURE.match(text):
            return self.figure(text, name, align)
        return self.text(text, name, align)

    def table(
        self, rows: list[list[Any]], widths: list[float], *,
        head: int = 1, total: int = 0, pad: float = 2.2, before: float = 0,
    ) -> Grid:  # fmt: skip
        """A quiet table: a rule under its head, hairlines between rows, one above its totals."""
        look = [
            ("FONT", (0, 0), (-1, -1), REGULAR, 8, 8),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("RIGHTPADDING", (0, 0), (-1, -1), 0),
            ("LEFTPADDING", (1, 0), (-1, -1), 5),
            ("TOPPADDING", (0, 0), (-1, -1), pad),
            ("BOTTOMPADDING", (0, 0), (-1, -1), pad),
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("VALIGN", (0, 0), (-1, max(head - 1, 0)), "BOTTOM"),
            ("LINEBELOW", (0, head), (-1, -2 - total), 0.4, LINE),
        ]
        if head:
            look.append(("LINEBELOW", (0, head - 1), (-1, head - 1), 0.8, INK))
        if total:
            look.append(("LINEABOVE", (0, -total), (-1, -total), 0.8, INK))
            look.append(("NOSPLIT", (0, -total - 1), (-1, -1)))
        table = Grid(rows, roomy(rows, widths), repeatRows=head, style=TableStyle(look))
        table.hAlign = "LEFT"
        table.spaceBefore, table.spaceAfter = before, 0
        return table


def roomy(rows: list[list[Any]], widths: list[float]) -> list[float]:
    """Column widths of a table, those too narrow for their figures widened at the cost of the
    first column, as far as that can give."""
    wanted = list(widths)
    for at in range(1, len(widths)):
        figures = (row[at].wide for row in rows if _asks_room(row[at]))
        wanted[at] = max(widths[at], max(figures, default=0.0) + _CELL_GAP)
    spare = max(widths[0] - sum(widths) * _LEAST_FIRST, 0.0)
    asked = sum(wanted) - sum(widths)
    share = min(1.0, spare / asked) if asked else 0.0
    given = [old + (new - old) * share for old, new in zip(widths, wanted, strict=True)]
    return [widths[0] - asked * share, *given[1:]]


def _asks_room(cell: Any) -> bool:
    return isinstance(cell, Unbroken) and not cell.spans


@cache
def _bulleted(name: str, cross: bool) -> ParagraphStyle:
    look = style(name, after=1.6, indent=10).clone(f"{name} bullet")
    look.bulletFontName = SEMIBOLD
    look.bulletFontSize = look.fontSize if cross else 4.5
    look.bulletOffsetY = 0 if cross else 1.5
    look.bulletColor = INK
    return look
