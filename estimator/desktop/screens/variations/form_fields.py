"""Fields of a form by their keys, each under its label, with room for what is wrong with it."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.widgets.field_frame import FieldFrame
from estimator.desktop.widgets.plain_label import plain_label

MOST_SHOWN = 16


class Fields:
    """Makes fields and keeps them."""

    def __init__(self) -> None:
        self.frames: dict[str, FieldFrame] = {}
        self.combos: dict[str, QComboBox] = {}
        self._lines: dict[str, QLineEdit] = {}
        self._ticks: dict[str, QCheckBox] = {}
        self._faults: dict[str, QLabel] = {}

    def __getitem__(self, key: str) -> QWidget:
        return self._lines.get(key) or self.combos.get(key) or self._ticks[key]

    def row(self, *widgets: QWidget) -> QHBoxLayout:
        """Fields side by side."""
        row = QHBoxLayout()
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(12)
        for widget in widgets:
            row.addWidget(widget, 1)
        return row

    def line(self, key: str, title: str) -> FieldFrame:
        """A line of text."""
        field = QLineEdit()
        self._lines[key] = field
        return self._frame(key, title, field)

    def combo(self, key: str, title: str, choices: Mapping[str, str]) -> FieldFrame:
        """A choice by its code."""
        box = QComboBox()
        for code, text in choices.items():
            box.addItem(text, code)
        box.setMaxVisibleItems(MOST_SHOWN)
        box.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.combos[key] = box
        return self._frame(key, title, box)

    def _frame(self, key: str, title: str, field: QWidget) -> FieldFrame:
        frame = FieldFrame(title, field)
        self.frames[key] = frame
        return frame

    def tick(self, key: str, title: str) -> QWidget:
        """A box to tick, level with the fields beside it."""
        box = QCheckBox(title)
        self._ticks[key] = box
        holder = QWidget()
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 18, 0, 0)
        column.addWidget(box)
        column.addStretch()
        return holder

    def fault(self, key: str) -> QLabel:
        """Room for what is wrong with something that is no field."""
        label = plain_label("", "attention", wrapped=True)
        self._faults[key] = label
        return label

    # What stands in them

    def set_text(self, key: str, text: str) -> None:
        """Another text."""
        self._lines[key].setText(text)

    def text(self, key: str) -> str:
        """The text."""
        return self._lines[key].text()

    def choose(self, key: str, code: str) -> None:
        """Another choice."""
        self.combos[key].setCurrentIndex(max(self.combos[key].findData(code), 0))

    def chosen(self, key: str) -> str:
        """Code of the choice."""
        return str(self.combos[key].currentData() or "")

    def set_ticked(self, key: str, ticked: bool) -> None:
        """Tick, or take the tick away."""
        self._ticks[key].setChecked(ticked)

    def ticked(self, key: str) -> bool:
        """Whether it is ticked."""
        return self._ticks[key].isChecked()

    # What is wrong

    def clear_faults(self) -> None:
        """Nothing is wrong any more."""
        for frame in self.frames.values():
            if frame.reason:
                frame.mark_valid()
        for label in self._faults.values():
            label.setText("")

    def mark(self, faults: Mapping[str, str]) -> None:
        """Say what is wrong at each field; the first of them gets the focus."""
        first = next((key for key in self.frames if key in faults), None)
        for key, reason in faults.items():
            if key in self.frames:
                self.frames[key].mark_invalid(reason)
            elif key in self._faults:
                self._faults[key].setText(reason)
        if first is not None:
            self[first].setFocus()
