"""Small rows of the right side: a fact with its value, a ground with its mark, a line to tick."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QCheckBox, QFrame, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from estimator.desktop.drawing.marks import TABLE_MARK, Mark
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.desktop.widgets.mark import MarkLabel
from estimator.desktop.widgets.plain_label import plain_label

SHORTEST = 24  # signs of a value that still stand beside its name


class FactRows(QWidget):
    """Facts under each other: the name at the left, the value at the right; a long value stands
    below its name, on as many lines as it needs."""

    def __init__(self) -> None:
        super().__init__()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(5)
        self._rows: list[tuple[QWidget, ElidedLabel, ElidedLabel, QLabel]] = []

    def show_facts(self, facts: Sequence[tuple[str, str]]) -> None:
        """Show these (name, value)."""
        while len(self._rows) < len(facts):
            self._rows.append(self._row())
        for place, (row, name, beside, below) in enumerate(self._rows):
            row.setVisible(place < len(facts))
            if place < len(facts):
                title, value = facts[place]
                name.set_text(title)
                long = len(value) > SHORTEST
                beside.set_text("" if long else value)
                below.setText(value if long else "")
                beside.setVisible(not long)
                below.setVisible(long)

    def _row(self) -> tuple[QWidget, ElidedLabel, ElidedLabel, QLabel]:
        row = QWidget()
        name, beside = ElidedLabel(tone="second"), ElidedLabel(tone="strong")
        beside.setAlignment(Qt.AlignmentFlag.AlignRight)
        below = plain_label("", "", wrapped=True)
        first = QHBoxLayout()
        first.setSpacing(8)
        first.addWidget(name, 1)
        first.addWidget(beside)
        column = QVBoxLayout(row)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(1)
        column.addLayout(first)
        column.addWidget(below)
        self._column.addWidget(row)
        return row, name, beside, below


class GroundRows(QWidget):
    """Grounds for and against, each with its mark: a full square, or a triangle."""

    def __init__(self) -> None:
        super().__init__()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(4)
        self._rows: list[tuple[QWidget, MarkLabel, QLabel]] = []

    @property
    def texts(self) -> list[str]:
        """What is shown now."""
        return [words.text() for row, _mark, words in self._rows if not row.isHidden()]

    def show_grounds(self, grounds: Sequence[tuple[bool, str]]) -> None:
        """Show these (holds, words)."""
        while len(self._rows) < len(grounds):
            self._rows.append(self._row())
        for place, (row, mark, words) in enumerate(self._rows):
            row.setVisible(place < len(grounds))
            if place < len(grounds):
                holds, text = grounds[place]
                mark.set_mark(Mark.DONE if holds else Mark.NEEDS_YOU)
                words.setText(text)
                words.setProperty("tone", "body" if holds else "attention")
                words.style().polish(words)

    def _row(self) -> tuple[QWidget, MarkLabel, QLabel]:
        row, mark = QWidget(), MarkLabel(Mark.DONE, size=TABLE_MARK)
        words = plain_label("", "body", wrapped=True)
        line = QHBoxLayout(row)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(8)
        line.addWidget(mark, 0, Qt.AlignmentFlag.AlignTop)
        line.addWidget(words, 1)
        self._column.addWidget(row)
        return row, mark, words


class TickLines(QWidget):
    """Lines of a variation, each ticked while it is to be agreed to.

    Signals: changed(): other lines are ticked
    """

    changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(4)
        self.boxes: list[QCheckBox] = []
        self._rows: list[QWidget] = []

    @property
    def ticked(self) -> tuple[int, ...]:
        """Places of the lines that are ticked."""
        return tuple(place for place, box in enumerate(self.boxes) if box.isChecked())

    @property
    def in_part(self) -> bool:
        """Whether some are ticked and some are not."""
        return 0 < len(self.ticked) < len(self.boxes)

    def show_lines(self, lines: Sequence[tuple[str, str]]) -> None:
        """Show these (words, sum), all ticked."""
        for row in self._rows:
            row.hide()
            row.deleteLater()
        self.boxes, self._rows = [], []
        for words, amount in lines:
            box = QCheckBox()
            box.setChecked(True)
            box.setAccessibleName(f"{words}, {amount}")
            box.toggled.connect(lambda _on: self.changed.emit())
            said, value = ElidedLabel(words, tone="second"), plain_label(amount, "second")
            row = QWidget()
            line = QHBoxLayout(row)
            line.setContentsMargins(0, 0, 0, 0)
            line.setSpacing(8)
            line.addWidget(box)
            line.addWidget(said, 1)
            line.addWidget(value)
            self._column.addWidget(row)
            self.boxes.append(box)
            self._rows.append(row)
        self.setVisible(bool(lines))


def hairline() -> QFrame:
    """A line between two parts."""
    line = QFrame()
    line.setProperty("look", "hairline")
    line.setFixedHeight(1)
    return line
