"""One opened variation: evidence, ways, effect, approvals, waiting, lines, time."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from estimator.desktop.drawing.marks import TABLE_MARK
from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.variations import words
from estimator.desktop.screens.variations.case_words import (
    Told,
    approvals,
    effects,
    evidence,
    grounds_told,
    states_told,
    waiting_told,
)
from estimator.desktop.variation_words import cause_words
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.mark import MarkLabel
from estimator.desktop.widgets.photo_strip import PhotoStrip
from estimator.desktop.widgets.plain_label import heading_label, plain_label
from estimator.services.show_case import CaseView, GroundRow
from estimator.services.try_answer import WhatItDoes


class Part(QWidget):
    """A heading and rows under it, filled anew whenever they change; hidden while empty."""

    def __init__(self, title: str = "") -> None:
        super().__init__()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(3)
        self.head = heading_label(title)
        self._column.addWidget(self.head)
        self.head.setVisible(bool(title))  # only now: without a parent it would be a window
        self._rows = QWidget()
        self._column.addWidget(self._rows)
        self._shown: object = None

    def set_title(self, title: str) -> None:
        """Another heading."""
        self.head.setText(title)
        self.head.setVisible(bool(title))

    def fill(self, rows: Sequence[Told]) -> None:
        """Show these rows."""
        if rows == self._shown:
            return
        self._shown = list(rows)
        fresh = QWidget()
        column = QVBoxLayout(fresh)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(3)
        for row in rows:
            column.addWidget(_row_widget(row))
        before, self._rows = self._rows, fresh
        self._column.replaceWidget(before, fresh)
        before.hide()
        before.deleteLater()
        self.setVisible(bool(rows))


def _row_widget(told: Told) -> QWidget:
    """Mark, words (bold or quiet), and something at the right."""
    row = QWidget()
    box = QHBoxLayout(row)
    box.setContentsMargins(0, 0, 0, 0)
    box.setSpacing(8)
    if told.mark is not None:
        mark = MarkLabel(told.mark, size=TABLE_MARK)
        mark.setFixedWidth(TABLE_MARK + 4)
        mark.setAccessibleName(told.spoken)
        box.addWidget(mark, 0, Qt.AlignmentFlag.AlignTop)
    if told.name:
        name = ElidedLabel(told.name, "second")
        name.setFixedWidth(told.name_wide)
        box.addWidget(name, 0, Qt.AlignmentFlag.AlignTop)
    text = plain_label(told.text, told.tone, wrapped=True)
    text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    text.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    text.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
    _give_way(text)
    box.addWidget(text, told.text_share)
    if told.right:
        right = plain_label(told.right, "note", wrapped=True)
        right.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop)
        _give_way(right)
        box.addWidget(right, told.right_share)
    return row


def _give_way(label: QWidget) -> None:
    """As wide as its share of the row, and as high as its words then need."""
    policy = QSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Minimum)
    policy.setHeightForWidth(True)
    label.setSizePolicy(policy)


class CaseBody(QWidget):
    """What the side scrolls."""

    def __init__(self, say: Formats, ways: Grid, photos: PhotoStrip) -> None:
        super().__init__()
        self._say, self._ways, self._photos = say, ways, photos
        self.setProperty("look", "side")
        self.title = plain_label("", "section", wrapped=True)
        self.second = plain_label("", "second", wrapped=True)
        self.evidence = Part()
        self.effect = Part()
        self.lines = Part(_("Lines, at the quote's own rates"))
        self.approvals = Part(_("Approvals, with limits"))
        self.grounds = Part(_("May you?"))
        self.waiting = Part(_("Cost of waiting"))
        self.states = Part(_("Time in each state"))
        self.earlier = Part(_("Earlier revisions"))
        self._parts = (
            self.effect, self.approvals, self.grounds, self.waiting, self.lines, self.states,
            self.earlier,
        )  # fmt: skip
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 12, 20, 12)
        column.setSpacing(5)
        for widget in (self.title, self.second, photos, self.evidence, ways, *self._parts):
            column.addWidget(widget)
        column.addStretch()

    def show_nothing(self, words_: str) -> None:
        """Nothing is opened."""
        self.title.setText(words_)
        self.second.setVisible(False)
        self._photos.setVisible(False)
        self._ways.setVisible(False)
        for part in (self.evidence, *self._parts):
            part.fill(())
            part.setVisible(False)

    def show_case(self, view: CaseView, grounds: Sequence[GroundRow], person: str) -> None:
        """Show a variation."""
        say, variation = self._say, view.variation
        self.title.setText(f"{variation.name}  {variation.title}")
        self.second.setText(self._where(view))
        self.second.setVisible(True)
        self._ways.setVisible(True)
        self.evidence.fill(evidence(view, say))
        self.lines.fill(self._lines(view))
        self.approvals.fill(approvals(view, say))
        asked = view.case.is_open and variation.is_priced
        self.grounds.set_title(_("May you? {person}").format(person=person))
        self.grounds.fill(grounds_told(grounds, say) if asked else [])
        self.waiting.fill(waiting_told(view, say))
        self.states.fill(states_told(view, say))
        self.earlier.fill(
            [
                Told(
                    one.title, name=one.name, name_wide=76,
                    right=say.sum(one.amount) if one.amount is not None
                    else words.range_words(one.low, one.high, say),
                )
                for one in view.earlier
            ]
        )  # fmt: skip

    def _where(self, view: CaseView) -> str:
        say, variation = self._say, view.variation
        day = say.day(variation.found_at.astimezone().date())
        found = _("found {day} by {who}").format(day=day, who=variation.finder)
        place = variation.location
        if view.component and view.component.casefold() not in place.casefold():
            place = f"{view.component}, {place}"
        cause = cause_words().get(variation.cause, variation.cause)
        return " \u00b7 ".join((found, place, cause))

    def _lines(self, view: CaseView) -> list[Told]:
        say, case = self._say, view.case
        rows = []
        for place, line in enumerate(case.variation.lines):
            left_out = bool(case.agreed_lines) and place not in case.agreed_lines
            text = _("{what}, {quantity} {unit}").format(
                what=line.what, quantity=say.number(line.quantity), unit=line.unit
            )
            if left_out:
                text = _("{line} (not agreed to)").format(line=text)
            rows.append(Told(text, right=say.sum(line.amount), text_share=4, right_share=1))
        for one in case.variation.remeasured:
            text = _("{row}: {before} \u2192 {after}").format(
                row=one.row_id, before=say.sum(one.before), after=say.sum(one.after)
            )
            right = words.signed(one.change, say)
            rows.append(Told(text, right=right, text_share=4, right_share=1))
        return rows

    def show_effect(self, does: WhatItDoes | None, words_: str) -> None:
        """Show what a way does, or say why it is not shown."""
        if does is None:
            self.effect.set_title(_("What it does") if words_ else "")
            self.effect.fill([Told(words_, tone="second")] if words_ else [])
            return
        leaves = not does.key.isupper()
        title = _("What leaving it does") if leaves else _("What {way} does").format(way=does.key)
        self.effect.set_title(title)
        self.effect.fill(effects(does, self._say))
