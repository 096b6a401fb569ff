"""The sums under the price's lines, in the same columns as the lines."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QRect, QRectF, Qt
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QFrame, QHeaderView, QSizePolicy

from estimator.desktop.drawing.bars import CertaintyParts
from estimator.desktop.drawing.cell_painters import CELL_PAD, paint_certainty_cell
from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.price import words
from estimator.desktop.theme import Theme
from estimator.desktop.widgets.columns import CellPainter, Column
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.row_model import RowModel
from estimator.domain.money import Money
from estimator.services.show_price import PriceTable, TotalRow

ROW = 22
HEADLINES = ("work", "net", "gross")
SUMS = ("labour", "parts", "outwork", "amount", "contingency", "cost", "margin")


class TotalsGrid(Grid):
    """Shows the totals of a PriceTable; its columns follow those of another grid."""

    def __init__(self, say: Formats) -> None:
        self._say = say
        self._fresh = True
        self._full = 1
        self._model = RowModel((), lambda row: row.key)
        super().__init__(self._model, _("Totals of the price"), row_height=ROW)
        self.header().hide()
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def follow(self, lines: Grid) -> None:
        """Take the columns of the lines' grid, and their widths from now on."""
        self._model.set_columns([self._column(one) for one in lines.rows.columns])
        header = self.header()
        for number in range(len(self._model.columns)):
            header.setSectionResizeMode(number, QHeaderView.ResizeMode.Fixed)
            self.take_width(number, lines.columnWidth(number))
            self.setColumnHidden(number, lines.isColumnHidden(number))

    def take_width(self, number: int, width: int) -> None:
        """A column of the lines' grid has another width."""
        if number < len(self._model.columns):
            self.header().resizeSection(number, width)

    def set_table(self, table: PriceTable) -> None:
        """Show the totals of a table; while they are not fresh, the contingency says so."""
        self._fresh = table.fresh
        self._full = table.sections[0][0].full if table.sections else 1
        self._model.set_rows(table.totals)
        self.setFixedHeight(ROW * len(table.totals) + 2)

    def _column(self, like: Column) -> Column:
        say = self._say
        if like.key == "name":
            return Column(
                like.key, like.title, lambda row: words.total_title(row, say), like.width,
                strong=_is_headline, tip=lambda row: words.total_title(row, say),
            )  # fmt: skip
        if like.key == "hours":
            return Column(
                like.key, like.title, lambda row: say.number(row.hours) if row.hours else "",
                like.width, right=True, strong=_is_headline,
                edit_text=lambda row: words.plain(row.hours, say),
            )  # fmt: skip
        if like.key in SUMS:
            return self._sum(like)
        if like.key == "rests":
            return Column(
                like.key, like.title, lambda row: words.total_words(row, self._fresh), like.width,
                tone=lambda _row: "ink2", slanted=self._is_old,
                tip=lambda row: row.words,
            )  # fmt: skip
        if like.key == "margin_share":
            return Column(
                like.key, like.title,
                lambda row: say.percent(row.margin_share, 1) if row.margin_share else "",
                like.width, right=True, strong=_is_headline,
            )  # fmt: skip
        paint = self._certainty if like.key == "certainty" else None
        return Column(like.key, like.title, _blank, like.width, paint=paint)

    def _sum(self, like: Column) -> Column:
        say = self._say

        def shown(row: Any) -> str:
            value: Money | None = getattr(row, like.key)
            if value is None:
                return ""
            leads = like.key == "amount" and row.key in ("net", "gross")
            return say.money(value) if leads else say.sum(value)

        return Column(
            like.key, like.title, shown, like.width, right=True, strong=_is_headline,
            slanted=self._is_old,
            edit_text=lambda row: words.plain(getattr(row, like.key), say),
        )  # fmt: skip

    def _is_old(self, row: TotalRow) -> bool:
        return not self._fresh and row.key in ("contingency", "net")

    def _certainty(self, row: Any) -> CellPainter | None:
        if row.key != "contingency" or not row.amount.minor:
            return None
        parts = CertaintyParts(0, 0, row.amount.minor, full=max(self._full, row.amount.minor))

        def draw(painter: QPainter, rect: QRect, theme: Theme) -> None:
            wide = QRectF(rect).adjusted(-CELL_PAD, 0, CELL_PAD, 0)
            paint_certainty_cell(painter, wide, parts, theme)

        return draw

    def figures(self) -> Sequence[str]:
        """Names of the figures shown, from the top."""
        return [self.rows.row_at(self.rows.index(n, 0)).figure for n in range(self.rows.rowCount())]


def _is_headline(row: TotalRow) -> bool:
    return row.key in HEADLINES


def _blank(_row: TotalRow) -> str:
    return ""
