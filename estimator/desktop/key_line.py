"""The line at the window's foot: the keys that count here, what is going on, and when it was
saved."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QProgressBar, QPushButton, QWidget

from estimator.desktop.key_names import key_names
from estimator.desktop.language import _

HEIGHT = 28


class KeyLine(QFrame):
    """Keys at the left; work in progress with its cancel button, and the state of saving, right.

    Signals: cancel_asked(); focus_lost(): the button that had the focus went away
    """

    cancel_asked = Signal()
    focus_lost = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("look", "keyline")
        self.setFixedHeight(HEIGHT)
        self._keys = QHBoxLayout()
        self._keys.setSpacing(6)
        self._pairs: list[tuple[QLabel, QLabel]] = []
        self._doing = QLabel()
        self._doing.setProperty("tone", "note")
        self._bar = QProgressBar()
        self._bar.setRange(0, 0)
        self._bar.setFixedSize(60, 6)
        self._bar.setTextVisible(False)
        self._bar.setAccessibleName(_("Working"))
        self._cancel = QPushButton(_("Stop"))
        self._cancel.setProperty("look", "quiet")
        self._cancel.setAccessibleName(_("Stop what is being worked out"))
        self._cancel.clicked.connect(self.cancel_asked)
        self._saved = QLabel()
        self._saved.setProperty("tone", "note")
        for label in (self._doing, self._saved):
            label.setTextFormat(Qt.TextFormat.PlainText)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(24, 0, 24, 0)
        layout.addLayout(self._keys)
        layout.addStretch()
        for widget in (self._doing, self._bar, self._cancel, self._saved):
            layout.addWidget(widget)
        self.set_doing("")

    def set_keys(self, keys: Sequence[tuple[str, str]]) -> None:
        """Show these keys with what they do, the first ones where there is no room for all."""
        while (item := self._keys.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.hide()
                widget.deleteLater()
        self._pairs = []
        for key, does in keys:
            cap, words = QLabel(key_names(key)), QLabel(does)
            cap.setProperty("look", "keycap")
            words.setProperty("tone", "note")
            words.setContentsMargins(0, 0, 10, 0)
            self._keys.addWidget(cap)
            self._keys.addWidget(words)
            self._pairs.append((cap, words))
        self._fit()

    def minimumSizeHint(self) -> QSize:
        """Keys that find no room are left out."""
        return QSize(100, HEIGHT)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave out, or show again."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        others = (self._doing, self._bar, self._cancel, self._saved)
        taken = sum(one.sizeHint().width() + 6 for one in others if not one.isHidden())
        room = self.width() - 2 * 24 - taken
        for cap, words in self._pairs:
            for label in (cap, words):
                label.ensurePolished()
                room -= label.sizeHint().width() + self._keys.spacing()
            cap.setVisible(room >= 0)
            words.setVisible(room >= 0)

    def set_doing(self, what: str) -> None:
        """Say what takes long; "" when nothing does."""
        self._doing.setText(what)
        had_focus = self._cancel.hasFocus()
        for widget in (self._doing, self._bar, self._cancel):
            widget.setVisible(bool(what))
        if had_focus and not what:
            self.focus_lost.emit()
        self._fit()

    def set_saved(self, text: str, *, trouble: bool = False) -> None:
        """Say how saving stands."""
        self._saved.setText(text)
        self._saved.setProperty("tone", "attention" if trouble else "note")
        self._saved.style().polish(self._saved)
        self._fit()
