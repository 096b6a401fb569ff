"""Labels of plain text: whatever it holds is shown as it is, never read as markup."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel

from estimator.desktop.telling import told

ABOVE_HEADING = 8  # px


def plain_label(text: str, tone: str = "", *, wrapped: bool = False) -> QLabel:
    """A label in one of the style sheet's tones, on one line or on as many as it needs."""
    label = QLabel(told(text))
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(wrapped)
    if tone:
        label.setProperty("tone", tone)
    return label


def heading_label(text: str) -> QLabel:
    """A small heading with room above it."""
    label = plain_label(text, "head")
    label.setContentsMargins(0, ABOVE_HEADING, 0, 0)
    return label
