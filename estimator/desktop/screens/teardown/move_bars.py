"""Bars of what an opening moves: still exposed, and the chance of a part that is still closed."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy

from estimator.desktop.drawing.bars import paint_ghost
from estimator.desktop.drawing.patterns import paint_exposed
from estimator.desktop.drawing.pixels import PixelGrid
from estimator.desktop.drawing.words import LEFT, RIGHT, draw_words, words_width
from estimator.desktop.widgets.painted import PaintedWidget
from estimator.desktop.widgets.plain_tip import plain_tip

BAR, REACH = 16, 5
CHANCE_ROW = 38
_STRIP = 9


class ExposedBar(PaintedWidget):
    """What is still exposed, with a ghost edge where it ended before."""

    def __init__(self) -> None:
        super().__init__()
        self._amount, self._before, self._scale = 0, 0, 1
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def set_amounts(self, amount: int, before: int, scale: int) -> None:
        """Minor units, on a scale that both share."""
        self._amount, self._before, self._scale = amount, before, max(scale, 1)
        self.update()

    def sizeHint(self) -> QSize:
        """As high as the bar and its ghost."""
        return QSize(200, BAR + 2 * REACH)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Dots, and the ghost."""
        painter = QPainter(self)
        room = float(self.width() - 2)
        rect = QRectF(0, REACH, room * self._amount / self._scale, BAR)
        if self._amount:
            paint_exposed(painter, rect, self.theme)
        if self._before != self._amount:
            whole = QRectF(0, REACH, room, BAR)
            paint_ghost(painter, room * self._before / self._scale, whole, self.theme)


class ChanceRow(PaintedWidget):
    """A part's chance, was and now: name over a strip, the two figures at the right."""

    def __init__(self, name: str, why: str, figures: str, chances: tuple[float, float]) -> None:
        super().__init__()
        self._name, self._why, self._figures = name, why, figures
        self._was, self._now = chances
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.say(f"{name}: {figures}", why)
        self.setToolTip(plain_tip(f"{name}: {figures}, {why}"))

    def sizeHint(self) -> QSize:
        """Two lines."""
        return QSize(200, CHANCE_ROW)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Words, strip on its hairline, and a ghost where the chance was."""
        painter, theme = QPainter(self), self.theme
        sizes, colours = theme.sizes, theme.colours
        strong, small = theme.font(sizes.second, 600), theme.font(sizes.note)
        wide = words_width(self._figures, strong)
        first = QRectF(0, 1, self.width() - wide - 8, 18)
        draw_words(painter, first, self._name, theme.font(sizes.second), colours.ink, LEFT)
        right = QRectF(self.width() - wide, 1, wide, 18)
        draw_words(painter, right, self._figures, strong, colours.ink, RIGHT)
        draw_words(painter, QRectF(0, 19, 76, 16), self._why, small, colours.ink3, LEFT)
        left, room = 80.0, float(self.width() - 80 - 2)
        grid, middle = PixelGrid(painter), 27.0
        line = QRectF(left, grid.y(middle), room, grid.length(1))
        painter.fillRect(line, colours.line2)
        strip = QRectF(left, middle - _STRIP / 2, max(room * self._now, 2.0), _STRIP)
        paint_exposed(painter, strip, theme)
        paint_ghost(painter, left + room * self._was, strip, theme)
