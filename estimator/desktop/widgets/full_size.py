"""A photograph in full size, over the window."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QImage, QKeyEvent, QPixmap
from PySide6.QtWidgets import QDialog, QLabel, QVBoxLayout, QWidget


class FullSize(QDialog):
    """A photograph as large as the window allows. Space, Enter or Esc closes it."""

    def __init__(self, parent: QWidget, words: str, image: QImage) -> None:
        super().__init__(parent)
        self.setWindowTitle(words)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setAccessibleName(words)
        room = parent.window().size() * 0.9
        picture = QLabel()
        picture.setPixmap(
            QPixmap.fromImage(image).scaled(
                room,
                Qt.AspectRatioMode.KeepAspectRatio,
                Qt.TransformationMode.SmoothTransformation,
            )
        )
        picture.setAccessibleName(words)
        caption = QLabel(words)
        caption.setTextFormat(Qt.TextFormat.PlainText)
        column = QVBoxLayout(self)
        column.addWidget(picture)
        column.addWidget(caption)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Every key that could have opened it closes it."""
        if event.key() in (Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Escape):
            self.close()
