"""What the marks of the programme's chart mean."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from estimator.desktop.drawing.patterns import paint_exposed
from estimator.desktop.drawing.pixels import edge, fill, horizontal, vertical
from estimator.desktop.drawing.words import draw_words, words_width
from estimator.desktop.language import _
from estimator.desktop.theme import Theme
from estimator.desktop.widgets.painted import PaintedWidget

_HEIGHT, _PAD, _SIGN, _GAP = 32, 24, 28, 20

_Sign = Callable[[QPainter, QRectF, Theme], None]


def _longest(painter: QPainter, box: QRectF, theme: Theme) -> None:
    fill(painter, box, theme.colours.ink)


def _slack(painter: QPainter, box: QRectF, theme: Theme) -> None:
    fill(painter, box, theme.colours.control)


def _outwork(painter: QPainter, box: QRectF, theme: Theme) -> None:
    edge(painter, box, 2, theme.colours.control)


def _lead(painter: QPainter, box: QRectF, theme: Theme) -> None:
    middle, colour = box.center().y(), theme.colours.ink2
    vertical(painter, box.left(), box.top(), box.bottom(), 2, colour)
    horizontal(painter, middle, box.left(), box.right(), 2, colour)
    vertical(painter, box.right() - 3, middle - 3, middle + 3, 3, colour)


def _tail(painter: QPainter, box: QRectF, theme: Theme) -> None:
    paint_exposed(painter, box, theme)


def _closed(painter: QPainter, box: QRectF, theme: Theme) -> None:
    fill(painter, box, theme.colours.line)


class Legend(PaintedWidget):
    """One line of signs with their words; those that find no room are left out at the end."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._entries: tuple[tuple[_Sign, str], ...] = (
            (_longest, _("on the longest path")),
            (_slack, _("has slack")),
            (_outwork, _("outwork")),
            (_lead, _("parts lead time")),
            (_tail, _("may run on, to {share}").format(share="80\u202f%")),
            (_closed, _("workshop closed")),
        )
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.say(_("Signs"), "; ".join(words for _sign, words in self._entries))
        self.setToolTip("\n".join(words for _sign, words in self._entries))

    def sizeHint(self) -> QSize:
        """One line."""
        return QSize(600, _HEIGHT)

    def minimumSizeHint(self) -> QSize:
        """One line, however narrow."""
        return QSize(200, _HEIGHT)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw sign after sign."""
        painter, theme = QPainter(self), self.theme
        font, left = theme.font(theme.sizes.note), float(_PAD)
        for sign, words in self._entries:
            wide = words_width(words, font)
            if left + _SIGN + 8 + wide > self.width() - 4:
                return
            sign(painter, QRectF(left, _HEIGHT / 2 - 6, _SIGN, 12), theme)
            place = QRectF(left + _SIGN + 8, 0, wide, _HEIGHT)
            draw_words(painter, place, words, font, theme.colours.ink2)
            left = place.right() + _GAP
