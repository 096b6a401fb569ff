"""Words in a rectangle: one line, ended by an ellipsis where it does not fit."""

from __future__ import annotations

from math import ceil

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter

from estimator.desktop.telling import told

LEFT = Qt.AlignmentFlag.AlignLeft
RIGHT = Qt.AlignmentFlag.AlignRight
CENTRE = Qt.AlignmentFlag.AlignHCenter
_MIDDLE = Qt.AlignmentFlag.AlignVCenter


def words_width(text: str, font: QFont) -> int:
    """Whole logical pixels that a text needs on one line."""
    return ceil(QFontMetricsF(font).horizontalAdvance(told(text)))


def fitted(text: str, font: QFont, width: float) -> str:
    """The text, or as much as fits with an ellipsis at its end; line breaks become spaces."""
    line = " ".join(told(text).split("\n"))
    metrics = QFontMetricsF(font)
    # Half a pixel of grace: a width taken from the same metrics must never cut its own text.
    return metrics.elidedText(line, Qt.TextElideMode.ElideRight, width + 0.5)


def draw_words(
    painter: QPainter,
    rect: QRectF,
    text: str,
    font: QFont,
    colour: QColor,
    align: Qt.AlignmentFlag = LEFT,
) -> bool:
    """Draw one line, centred upright in the rectangle; True where it had to be cut."""
    shown = fitted(text, font, rect.width())
    painter.setFont(font)
    painter.setPen(colour)
    # Right-aligned text whose advance is a fraction wider than the box must not be clipped.
    flags = int(align | _MIDDLE) | int(Qt.TextFlag.TextDontClip | Qt.TextFlag.TextSingleLine)
    painter.drawText(rect, flags, shown)
    return shown != " ".join(told(text).split("\n"))
