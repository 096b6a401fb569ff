"""What all painted widgets share: the theme worn now, and words for those who cannot see."""

from __future__ import annotations

from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QWidget

from estimator.desktop.theme import Theme, current_theme


class PaintedWidget(QWidget):
    """A widget that draws itself and repaints when the look changes.

    The caller says what it shows with setAccessibleName and setAccessibleDescription.
    """

    @property
    def theme(self) -> Theme:
        """The theme to paint with."""
        return current_theme()

    def changeEvent(self, event: QEvent) -> None:
        """Repaint in the new colours."""
        if event.type() in (QEvent.Type.StyleChange, QEvent.Type.PaletteChange):
            self.updateGeometry()
            self.update()
        super().changeEvent(event)

    def say(self, name: str, description: str = "") -> None:
        """Set what a screen reader says: the name, and what the picture shows."""
        self.setAccessibleName(name)
        self.setAccessibleDescription(description)
