"""What every printed document writes with: paragraphs, headings, cells and quiet tables."""

from __future__ import annotations

import re
from collections.abc import Container, Iterable
from dataclasses import dataclass
from functools import cache
from typing import Any

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import CondPageBreak, TableStyle

from estimator.documents.grammar.fonts import REGULAR, SEMIBOLD, marked
from estimator.documents.grammar.look import INK, LINE, face_of, style
from estimator.documents.grammar.text import Blank, Grid, Heading, Line, Text, Unbroken
from estimator.documents.grammar.wording import Words
from estimator.domain.exposure_sheet import ExposureSheet
from estimator.domain.job import Job

_CELL_GAP = 5.5  # padding left of a cell, and a hair
_LEAST_FIRST = 0.22  # share of a table that its first column keeps for names
_FIGURE = re.compile(r"^(?=.*[0-9\u2013])[^ ]+$")  # one word of figures: never broken
_LONGEST_FIGURE = 60  # letters; what is longer is no figure, and may be broken


class Paper:
    """The makers of flowables that know no document: text and figures come in as they are."""

    __slots__ = ()

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

    def cells(self, texts: Iterable[str], name: str = "cell", first: str = "left") -> list[Any]:
        """A row of cells: the first to the left, the others to the right."""
        return [self._cell(text, name, "right" if position else first)
                for position, text in enumerate(texts)]  # fmt: skip

    def mixed(self, texts: Iterable[str], left: Container[int], name: str) -> list[Any]:
        """A row of cells: the first and those of the columns in `left` to the left."""
        return [self._cell(text, name, "left" if position == 0 or position in left else "right")
                for position, text in enumerate(texts)]  # fmt: skip

    def _cell(self, text: str, name: str, align: str) -> Any:
        if not text:
            return _blank(name)
        if len(text) < _LONGEST_FIGURE and _FIGURE.match(text):
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


@dataclass(frozen=True)
class InternalPaper(Paper):
    """The internal sheet of an exposure on its way to paper."""

    sheet: ExposureSheet
    words: Words

    @property
    def job(self) -> Job:
        """The job that it is of."""
        return self.sheet.priced.job


def roomy(rows: list[list[Any]], widths: list[float]) -> list[float]:
    """Column widths of a table, those too narrow for their figures and longest words widened at
    the cost of the first column, as far as that can give."""
    wanted = list(widths)
    for at in range(1, len(widths)):
        asked_for = (_room(row[at]) for row in rows)
        wanted[at] = max(widths[at], max(asked_for, default=0.0) + _CELL_GAP)
    spare = max(widths[0] - sum(widths) * _LEAST_FIRST, 0.0)
    asked = sum(wanted) - sum(widths)
    share = min(1.0, spare / asked) if asked else 0.0
    given = [old + (new - old) * share for old, new in zip(widths, wanted, strict=True)]
    return [widths[0] - asked * share, *given[1:]]


@cache
def _blank(name: str) -> Blank:
    return Blank(style(name).leading)


def _room(cell: Any) -> float:
    """Width that a cell should have at least."""
    if isinstance(cell, Line):
        return cell.longest_word
    return cell.wide if isinstance(cell, Unbroken) and not cell.spans else 0.0


@cache
def _bulleted(name: str, cross: bool) -> ParagraphStyle:
    look = style(name, after=1.6, indent=10).clone(f"{name} bullet")
    look.bulletFontName = SEMIBOLD
    look.bulletFontSize = look.fontSize if cross else 4.5
    look.bulletOffsetY = 0 if cross else 1.5
    look.bulletColor = INK
    return look
