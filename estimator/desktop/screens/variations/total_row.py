"""The line of totals under the ledger, its figures below the ledger's own columns."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy

from estimator.desktop.drawing.pixels import horizontal
from estimator.desktop.drawing.words import LEFT, RIGHT, draw_words
from estimator.desktop.widgets.cell_delegate import PAD
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.painted import PaintedWidget

HEIGHT = 32
DEMI = 600


class TotalRow(PaintedWidget):
    """Texts by the keys of a grid's columns; a text begins at its column and may run on to the
    next that has one."""

    def __init__(self, grid: Grid) -> None:
        super().__init__()
        self._grid = grid
        self._texts: dict[str, str] = {}
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        grid.header().sectionResized.connect(lambda *_change: self.update())
        grid.header().geometriesChanged.connect(self.update)

    def set_texts(self, texts: dict[str, str]) -> None:
        """Show other totals."""
        self._texts = texts
        self.say("; ".join(texts.values()))
        self.update()

    def sizeHint(self) -> QSize:
        """One row."""
        return QSize(300, HEIGHT)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """A rule above, then the texts in their columns."""
        painter, theme = QPainter(self), self.theme
        horizontal(painter, 0.5, 0, self.width(), 1, theme.colours.ink)
        font, note = theme.font(theme.sizes.body, DEMI), theme.font(theme.sizes.note)
        header, columns = self._grid.header(), self._grid.rows.columns
        shift = self._grid.viewport().mapTo(self._grid, self._grid.viewport().rect().topLeft()).x()
        for number, column in enumerate(columns):
            text = self._texts.get(column.key)
            if text is None:
                continue
            left = header.sectionViewportPosition(number) + shift
            wide = header.sectionSize(number)
            if column.right:
                place = QRectF(left + PAD, 1, wide - 2 * PAD, HEIGHT - 1)
                draw_words(painter, place, text, font, theme.colours.ink, RIGHT)
                continue
            end = next(
                (
                    header.sectionViewportPosition(n) + shift
                    for n in range(number + 1, len(columns))
                    if columns[n].key in self._texts
                ),
                self.width(),
            )
            place = QRectF(left + PAD, 1, end - left - 2 * PAD, HEIGHT - 1)
            quiet = column.key == "state"
            colour = theme.colours.ink2 if quiet else theme.colours.ink
            draw_words(painter, place, text, note if quiet else font, colour, LEFT)
