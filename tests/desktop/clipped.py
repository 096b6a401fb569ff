"""Words and figures that have not the room they need."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractScrollArea,
    QLabel,
    QPushButton,
    QWidget,
)

from estimator.desktop.theme import current_theme
from estimator.desktop.widgets.cell_delegate import DEMI, PAD
from estimator.desktop.widgets.grid import Grid, title_width

ROUNDING = 2  # px
ROWS = 60  # of a grid that are looked at


def clipped(top: QWidget) -> list[str]:
    """What is cut and says the whole nowhere, described."""
    found = []
    for widget in top.findChildren(QWidget):
        if not widget.isVisible() or widget.visibleRegion().isEmpty():
            continue
        if isinstance(widget, QLabel):
            found += _of_label(widget)
        elif isinstance(widget, QPushButton):
            found += _of_button(widget)
        elif isinstance(widget, Grid):
            found += _of_grid(widget)
    return found


def outside(window: QWidget) -> list[str]:
    """Controls that reach over the window's edge without a scroll area to bring them back."""
    found = []
    for widget in window.findChildren(QWidget):
        control = isinstance(widget, QAbstractButton | QLabel) or widget.focusPolicy()
        if not widget.isVisible() or not control or widget.window() is not window or _rolls(widget):
            continue
        corner = widget.mapTo(window, QPoint(widget.width(), widget.height()))
        if corner.x() > window.width() or corner.y() > window.height():
            found.append(f"{_said(widget)} ends at {corner.x()}, {corner.y()}")
    return found


def _of_label(label: QLabel) -> list[str]:
    text = label.text()
    if not text or label.toolTip():
        return []
    if label.wordWrap():
        needed, there = label.heightForWidth(label.width()), label.height()
        return [f"{_said(label)}: {there} of {needed} px high"] if there < needed - ROUNDING else []
    room = label.contentsRect().width()
    needed = max(label.fontMetrics().horizontalAdvance(line) for line in text.split("\n"))
    return [f"{_said(label)}: {room} of {needed} px"] if room < needed - ROUNDING else []


def _of_button(button: QPushButton) -> list[str]:
    text = button.text().replace("&&", "&")
    if not text or button.toolTip():
        return []
    needed = QFontMetrics(button.font()).horizontalAdvance(text)
    return [f"{_said(button)}: {button.width()} of {needed} px"] if button.width() < needed else []


def _of_grid(grid: Grid) -> list[str]:
    """Heads that are cut, and figures that are: part of a figure is another figure."""
    found = []
    header = grid.header()
    theme = current_theme()
    figures = QFontMetrics(theme.font(theme.sizes.body, DEMI))
    for number, column in enumerate(grid.rows.columns):
        if grid.isColumnHidden(number):
            continue
        room = header.sectionSize(number)
        if not header.isHidden() and title_width(column) > room:  # as the style sheet dresses it
            found.append(f"head {column.title!r} of {grid.accessibleName()}: {room} px")
        if column.right and column.paint is None:
            longest = max(_figures(grid, number), key=len, default="")
            if figures.horizontalAdvance(longest) > room - 2 * PAD + ROUNDING:
                found.append(f"{longest!r} in {column.title!r} of {grid.accessibleName()}")
    return found


def _figures(grid: Grid, column: int) -> list[str]:
    index, texts = grid.rows.index(0, column), []
    while index.isValid() and len(texts) < ROWS:
        texts.append(str(grid.rows.data(index, int(Qt.ItemDataRole.DisplayRole))))
        index = grid.indexBelow(index).siblingAtColumn(column)
    return texts


def _rolls(widget: QWidget) -> bool:
    step: Any = widget.parentWidget()
    while step is not None:
        if isinstance(step, QAbstractScrollArea):
            return True
        step = step.parentWidget()
    return False


def _said(widget: Any) -> str:
    text = widget.text() if hasattr(widget, "text") else ""
    return f"{type(widget).__name__} {(text or widget.accessibleName())[:60]!r}"
