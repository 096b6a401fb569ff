"""The guide: how a workshop makes starting values its own, with how many are left."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QScrollArea, QVBoxLayout, QWidget

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.catalogue.words import guide
from estimator.desktop.widgets.plain_label import plain_label
from estimator.services.show_catalogue import TableCount

_WIDE = 768  # px: a line that is read at ease


class GuideFace(QScrollArea):
    """Text alone; the keyboard scrolls it."""

    def __init__(self, say: Formats) -> None:
        super().__init__()
        self._say = say
        self.setAccessibleName(_("How a workshop makes these values its own"))
        self.setWidgetResizable(True)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        whole = QWidget()
        column = QVBoxLayout(whole)
        column.setContentsMargins(24, 16, 24, 24)
        column.setSpacing(6)
        self.left = plain_label("", "head", wrapped=True)
        for place, (heading, text) in enumerate(guide()):
            head = plain_label(heading, "section", wrapped=True)
            body = plain_label(text, "", wrapped=True)
            column.addWidget(head)
            column.addWidget(body)
            if not place:
                column.addWidget(self.left)
            column.addSpacing(8)
        column.addStretch()
        whole.setMaximumWidth(_WIDE)
        self.setWidget(whole)

    def show_left(self, counts: Sequence[TableCount]) -> None:
        """How many starting values are left."""
        rows, left = sum(one.rows for one in counts), sum(one.starting for one in counts)
        said = _("{left} of {rows} rows are starting values still.")
        self.left.setText(said.format(left=self._say.number(left), rows=self._say.number(rows)))
