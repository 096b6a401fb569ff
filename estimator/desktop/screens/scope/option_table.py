"""Options side by side in columns; the chosen one stands in a frame, another is chosen in place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QGridLayout, QLabel, QRadioButton, QSizePolicy, QWidget

from estimator.desktop.drawing.pixels import horizontal
from estimator.desktop.widgets.painted import PaintedWidget

GAP, REACH = 12, 4  # px between columns, and of the frame beyond its column
Cell = str | QWidget


@dataclass(frozen=True, slots=True)
class Option:
    """A column: its key, its head, and whether it is the one chosen."""

    key: str
    title: str
    chosen: bool


class _Head(QRadioButton):
    """The head of an option: Space or Enter chooses it, the arrows move without choosing."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter is a click; Left and Right go to the neighbour."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        elif event.key() in (Qt.Key.Key_Left, Qt.Key.Key_Up):
            self.focusNextPrevChild(False)
        elif event.key() in (Qt.Key.Key_Right, Qt.Key.Key_Down):
            self.focusNextPrevChild(True)
        else:
            super().keyPressEvent(event)


class OptionTable(PaintedWidget):
    """Signals: chosen(str), the key of an option that was not the chosen one."""

    chosen = Signal(str)

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self._options: tuple[Option, ...] = ()
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 4, REACH + 2, 4)
        self._grid.setHorizontalSpacing(GAP)
        self._grid.setVerticalSpacing(0)
        self.heads: dict[str, QRadioButton] = {}
        self._lines: list[list[QWidget]] = []
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)

    def set_options(
        self, options: Sequence[Option], rows: Sequence[tuple[str, Sequence[Cell]]], locked: bool
    ) -> None:
        """Show other options; each row is its title and one cell an option."""
        had_focus = any(head.hasFocus() for head in self.heads.values())
        while (item := self._grid.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.hide()
                widget.deleteLater()
        self._options, self.heads, self._lines = tuple(options), {}, []
        for place, option in enumerate(options, start=1):
            self._grid.addWidget(self._head(option, locked), 0, place)
            self._grid.setColumnStretch(place, 1)
        for line, (title, cells) in enumerate(rows, start=1):
            self._lines.append([_label(title, "note")])
            for cell in cells:
                widget = cell if isinstance(cell, QWidget) else _label(cell, _tone(line))
                widget.setContentsMargins(4, 3, 0, 3)
                self._lines[-1].append(widget)
            for place, widget in enumerate(self._lines[-1]):
                self._grid.addWidget(widget, line, place)
        self._grid.setColumnMinimumWidth(0, 84)
        if had_focus and self.heads:
            chosen = next((o.key for o in options if o.chosen), options[0].key)
            self.heads[chosen].setFocus()
        self.update()

    def _head(self, option: Option, locked: bool) -> QRadioButton:
        head = _Head(option.title)
        head.setAutoExclusive(False)
        head.setChecked(option.chosen)
        head.setEnabled(not locked)
        head.setAccessibleName(f"{self.accessibleName()}: {option.title}")
        head.setContentsMargins(8, 0, 4, 0)
        font = head.font()
        font.setBold(option.chosen)
        head.setFont(font)
        head.clicked.connect(lambda _on=False: self._choose(option, head))
        self.heads[option.key] = head
        return head

    def _choose(self, option: Option, head: QRadioButton) -> None:
        head.setChecked(option.chosen)  # what is chosen shows once the job says so
        if not option.chosen:
            self.chosen.emit(option.key)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Hairlines between the rows, and the frame of the chosen column."""
        painter, theme = QPainter(self), self.theme
        # By the widgets, not by the layout's cells: those are stale where words wrap.
        for line in self._lines:
            top = min(widget.geometry().top() for widget in line)
            horizontal(painter, top, 0, self.width(), 1, theme.colours.line2)
        place = next((n for n, o in enumerate(self._options, start=1) if o.chosen), 0)
        if not place or not self._lines:
            return
        head = self.heads[self._options[place - 1].key].geometry()
        bottom = max(widget.geometry().bottom() for widget in self._lines[-1])
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(theme.colours.ink, 2))
        frame = QRectF(
            head.left() - REACH, head.top() - 1, head.width() + 2 * REACH, bottom - head.top() + 3
        )
        painter.drawRoundedRect(frame, 4, 4)


def _tone(line: int) -> str:
    return "strong" if line == 1 else "second"


def _label(text: str, tone: str) -> QLabel:
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setProperty("tone", tone)
    label.setWordWrap(True)
    return label
