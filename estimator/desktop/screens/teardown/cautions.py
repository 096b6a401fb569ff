"""Before you open it: the cautions of a component's work, each with its tick."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QCheckBox, QFrame, QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from estimator.desktop.drawing.marks import Mark
from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.desktop.widgets.mark import MarkLabel
from estimator.desktop.widgets.plain_label import plain_label
from estimator.desktop.widgets.plain_tip import plain_tip
from estimator.services.show_bench import CautionRow

COLUMNS = 2


class CautionBox(QFrame):
    """Cautions in two columns; once all are ticked they fold to a line.

    Signals: ticked(str, bool): code of a caution, and whether it is ticked now
    """

    ticked = Signal(str, bool)

    def __init__(self, say: Formats) -> None:
        super().__init__()
        self._say = say
        self.setProperty("look", "caution")
        self.setAccessibleName(_("Before you open it"))
        mark = MarkLabel(Mark.TAKE_CARE)
        mark.setAccessibleName(_("Caution"))
        mark.setFixedWidth(20)
        title = plain_label(_("Before you open it"), "strong")
        self.state = ElidedLabel(tone="note")
        self.state.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        head = QHBoxLayout()
        head.setSpacing(8)
        head.addWidget(mark)
        head.addWidget(title)
        head.addWidget(self.state, 1)
        self._body = QWidget()
        self._grid = QGridLayout(self._body)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(16)
        self._grid.setVerticalSpacing(2)
        self._defers = plain_label("", "note", wrapped=True)
        self.boxes: dict[str, QCheckBox] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(14, 8, 14, 8)
        column.setSpacing(4)
        column.addLayout(head)
        column.addWidget(self._body)
        column.addWidget(self._defers)

    def show_cautions(
        self, cautions: Sequence[CautionRow], ticked: frozenset[str], who: str, *, locked: bool
    ) -> None:
        """Show cautions: those recorded as ticked, those ticked since by `who`, and those left."""
        self.setVisible(bool(cautions))
        if [one.id for one in cautions] != list(self.boxes):
            self._make(cautions)
        left = [one for one in cautions if not one.ticked_by and one.id not in ticked]
        first = left[0].id if left else ""
        for one in cautions:
            box = self.boxes[one.id]
            box.blockSignals(True)
            box.setChecked(bool(one.ticked_by) or one.id in ticked)
            box.blockSignals(False)
            box.setEnabled(not one.ticked_by and not locked)
            box.setProperty("tone", "next" if one.id == first else "")
            box.style().polish(box)
        self._body.setVisible(bool(left))
        self._defers.setVisible(bool(left))
        self._say_state(cautions, left, who)

    @property
    def folded(self) -> bool:
        """Whether nothing is left to tick."""
        return self._body.isHidden() or self.isHidden()

    def _make(self, cautions: Sequence[CautionRow]) -> None:
        while (item := self._grid.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.hide()
                widget.deleteLater()
        self.boxes = {}
        for place, one in enumerate(cautions):
            box = QCheckBox(one.hazard)
            box.setAccessibleName(f"{one.hazard}: {one.text}")
            box.setToolTip(plain_tip(one.text))
            box.toggled.connect(lambda on, code=one.id: self.ticked.emit(code, on))
            self.boxes[one.id] = box
            words = plain_label(one.text, "note", wrapped=True)
            words.setContentsMargins(24, 0, 0, 0)
            cell = QWidget()
            column = QVBoxLayout(cell)
            column.setContentsMargins(0, 0, 0, 0)
            column.setSpacing(0)
            column.addWidget(box)
            column.addWidget(words)
            column.addStretch()
            self._grid.addWidget(cell, place // COLUMNS, place % COLUMNS)
        for number in range(COLUMNS):
            self._grid.setColumnStretch(number, 1)
        defers = list(dict.fromkeys(one.defers_to for one in cautions))
        self._defers.setText(
            _("These come before anything written here: {codes}.").format(codes="; ".join(defers))
        )

    def _say_state(
        self, cautions: Sequence[CautionRow], left: Sequence[CautionRow], who: str
    ) -> None:
        done = len(cautions) - len(left)
        names = list(dict.fromkeys(one.ticked_by or who for one in cautions if one not in left))
        if not done:
            text = _("none ticked yet; parts are opened once all are")
        elif left:
            text = _("{n} of {all} ticked by {who}; next: {hazard}").format(
                n=done, all=len(cautions), who=", ".join(names), hazard=left[0].hazard
            )
        else:
            text = _("ticked by {who}").format(who=", ".join(names))
            times = [one.ticked_at for one in cautions if one.ticked_at is not None]
            if len(times) == len(cautions):
                when = max(times)
                text += f", {self._say.day(when.astimezone().date())} {self._say.clock(when)}"
        self.state.setProperty("tone", "attention-note" if left else "note")
        self.state.style().polish(self.state)
        self.state.set_text(text)

    def focus_first(self) -> None:
        """To the first box that waits."""
        for box in self.boxes.values():
            if not box.isChecked() and box.isEnabled():
                box.setFocus(Qt.FocusReason.ShortcutFocusReason)
                return
