"""A label, a field and words under it; a mistake is marked and what was typed stays."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QVBoxLayout, QWidget

from estimator.desktop.drawing.marks import TABLE_MARK, Mark
from estimator.desktop.widgets.mark import MarkLabel


class FieldFrame(QWidget):
    """Carries one field and says what is wrong with it.

    The field keeps its own signals. `mark_invalid` gives it the 2 px edge, a triangle and the
    reason; `mark_valid` takes them away and shows the hint again.
    """

    def __init__(
        self,
        label: str,
        field: QWidget,
        hint: str = "",
        unit: str = "",
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.field = field
        self._label_text, self._hint, self._reason = label, hint, ""
        self._label = QLabel(label)
        self._label.setProperty("tone", "head")
        self._label.setTextFormat(Qt.TextFormat.PlainText)
        self._label.setBuddy(field)
        self._mark = MarkLabel(Mark.NEEDS_YOU, size=TABLE_MARK)
        self._mark.setVisible(False)
        self._words = QLabel(hint)
        self._words.setTextFormat(Qt.TextFormat.PlainText)
        self._words.setWordWrap(True)
        self._words.setProperty("tone", "note")
        self._unit = QLabel(unit)
        self._unit.setProperty("tone", "second")
        self._lay_out()
        self._tell()

    @property
    def reason(self) -> str:
        """Why the field is not valid; empty where it is."""
        return self._reason

    def mark_invalid(self, reason: str) -> None:
        """Say what is wrong and how to mend it."""
        self._show_state("invalid", reason)

    def mark_valid(self) -> None:
        """Nothing is wrong any more."""
        self._show_state("", "")

    def set_hint(self, hint: str) -> None:
        """Other words under the field while nothing is wrong."""
        self._hint = hint
        if not self._reason:
            self._show_state("", "")

    def set_label(self, label: str) -> None:
        """Another label."""
        self._label_text = label
        self._label.setText(label)
        self._tell()

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addWidget(self.field, 1)
        row.addWidget(self._unit)
        below = QHBoxLayout()
        below.setSpacing(6)
        below.addWidget(self._mark, 0, Qt.AlignmentFlag.AlignTop)
        below.addWidget(self._words, 1)
        column = QVBoxLayout(self)
        # Three pixels around, so that the focus ring never touches a neighbour.
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(5)
        column.addWidget(self._label)
        column.addLayout(row)
        column.addLayout(below)
        # Only now: shown without a parent, each would be a window of its own for a moment.
        self._unit.setVisible(bool(self._unit.text()))
        self._label.setVisible(bool(self._label_text))
        self._words.setVisible(bool(self._hint))
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setSizePolicy(policy)

    def minimumSizeHint(self) -> QSize:
        """As its parts need."""
        return QSize(80, super().minimumSizeHint().height())

    def _show_state(self, state: str, reason: str) -> None:
        self._reason = reason
        words = reason or self._hint
        self._words.setText(words)
        self._words.setVisible(bool(words))
        self._words.setProperty("tone", "attention-note" if reason else "note")
        self._mark.setVisible(bool(reason))
        self.field.setProperty("state", state)
        for widget in (self.field, self._words):
            widget.style().unpolish(widget)
            widget.style().polish(widget)
        self._tell()

    def _tell(self) -> None:
        self.field.setAccessibleName(self._label_text or self.field.accessibleName())
        self.field.setAccessibleDescription(self._reason or self._hint)
