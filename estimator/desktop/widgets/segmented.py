"""A switch between a few views of one thing, such as Price and Cost."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from estimator.desktop.drawing.pixels import fill, vertical
from estimator.desktop.drawing.words import CENTRE, draw_words, words_width
from estimator.desktop.focus_ring import RINGED_PROPERTY
from estimator.desktop.widgets.painted import PaintedWidget

_PAD = 14


class Segmented(PaintedWidget):
    """One of a few words is chosen, by the pointer or with the arrows.

    `chosen` is a signal with the place of the choice, from 0; setting it by program is silent.
    """

    chosen = Signal(int)

    def __init__(
        self,
        choices: Sequence[str],
        name: str = "",
        tool: bool = True,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._choices = tuple(choices)
        self._here = 0
        self._name, self._tool = name, tool
        self.setProperty(RINGED_PROPERTY, True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(name)
        self._tell()

    @property
    def place(self) -> int:
        """Which choice holds, from 0."""
        return self._here

    def set_place(self, place: int) -> None:
        """Choose without a signal; a place that does not exist changes nothing."""
        if 0 <= place < len(self._choices):
            self._here = place
            self._tell()
            self.update()

    def sizeHint(self) -> QSize:
        """All words side by side."""
        sizes = self.theme.sizes
        wide = sum(self._width_of(text) for text in self._choices)
        return QSize(wide, sizes.tool_control if self._tool else sizes.control)

    def minimumSizeHint(self) -> QSize:
        """Never less: half a switch is none."""
        return self.sizeHint()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Left and right, Home and End; Space goes round."""
        last = len(self._choices) - 1
        places = {
            Qt.Key.Key_Left: max(0, self._here - 1),
            Qt.Key.Key_Up: max(0, self._here - 1),
            Qt.Key.Key_Right: min(last, self._here + 1),
            Qt.Key.Key_Down: min(last, self._here + 1),
            Qt.Key.Key_Home: 0,
            Qt.Key.Key_End: last,
            Qt.Key.Key_Space: (self._here + 1) % max(1, len(self._choices)),
        }
        key = Qt.Key(event.key())
        if key in places:
            self._choose(places[key])
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose the word under the pointer."""
        end = 0
        for place, text in enumerate(self._choices):
            end += self._width_of(text)
            if event.position().x() < end:
                self._choose(place)
                return

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the frame, the chosen ground with its bar, and the words."""
        painter, theme = QPainter(self), self.theme
        colours, radius = theme.colours, theme.sizes.control_radius
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(colours.control, 1))
        painter.setBrush(colours.surface)
        frame = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        painter.drawRoundedRect(frame, radius, radius)
        left = 0.0
        for place, text in enumerate(self._choices):
            box = QRectF(left, 0, self._width_of(text), self.height())
            here = place == self._here
            if here:
                fill(painter, box.adjusted(1, 1, -1, -1), colours.select)
                fill(
                    painter,
                    QRectF(left + _PAD, box.bottom() - 4, box.width() - 2 * _PAD, 3),
                    colours.ink,
                )
            if place:
                vertical(painter, left, 1, box.bottom() - 1, 1, colours.control)
            font = theme.font(theme.sizes.second, 600 if here else 400)
            draw_words(painter, box, text, font, colours.ink, CENTRE)
            left += box.width()

    def _width_of(self, text: str) -> int:
        return words_width(text, self.theme.font(self.theme.sizes.second, 600)) + 2 * _PAD

    def _choose(self, place: int) -> None:
        if place != self._here:
            self.set_place(place)
            self.chosen.emit(place)

    def _tell(self) -> None:
        self.setAccessibleDescription(self._choices[self._here] if self._choices else "")
