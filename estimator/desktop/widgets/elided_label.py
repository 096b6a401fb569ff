"""A label that shortens what is too long and keeps the whole in its tooltip."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from estimator.desktop.telling import told
from estimator.desktop.widgets.plain_tip import plain_tip


class ElidedLabel(QLabel):
    """One line of plain text, as wide as there is room."""

    def __init__(self, text: str = "", tone: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._whole = ""
        self.setTextFormat(Qt.TextFormat.PlainText)
        if tone:
            self.setProperty("tone", tone)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.set_text(text)

    def set_text(self, text: str) -> None:
        """Show another text."""
        self._whole = " ".join(told(text).split())
        self.setAccessibleName(self._whole)
        self._fit()
        self.updateGeometry()

    @property
    def whole_text(self) -> str:
        """The text, whole."""
        return self._whole

    def sizeHint(self) -> QSize:
        """As wide as the whole text wants to be."""
        self.ensurePolished()
        return QSize(
            self.fontMetrics().horizontalAdvance(self._whole) + 4, super().sizeHint().height()
        )

    def minimumSizeHint(self) -> QSize:
        """A few letters."""
        return QSize(40, super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Shorten again."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        self.ensurePolished()
        text = self.fontMetrics().elidedText(
            self._whole, Qt.TextElideMode.ElideRight, max(self.contentsRect().width(), 40)
        )
        self.setText(text)
        self.setToolTip(plain_tip(self._whole) if text != self._whole else "")
