"""The right side of the page: one opened variation, and below it what can be done with it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction, QImage
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QMenu,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
)

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.variations import act_words
from estimator.desktop.screens.variations.case_body import CaseBody
from estimator.desktop.screens.variations.columns import WAY_ROW, way_columns
from estimator.desktop.screens.variations.job_acts import job_act_words
from estimator.desktop.screens.variations.papers import paper_names
from estimator.desktop.widgets.command_button import CommandButton
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.photo_strip import Photo, PhotoStrip
from estimator.desktop.widgets.plain_label import plain_label
from estimator.desktop.widgets.row_model import RowModel
from estimator.domain.record import Photograph
from estimator.services.case_acts import SIGN, WRITE, ActRow, main_act
from estimator.services.show_case import CaseView, GroundRow, WayRow
from estimator.services.try_answer import WhatItDoes

WIDE, LEAST = 420, 340


class CaseSide(QFrame):
    """Signals: way_chosen(str): letter of the way whose effect is wanted; act_asked(str);
    photograph_asked(object): its name, to be shown in full size; paper_asked(str): its key;
    history_asked(); job_act_asked(str)."""

    way_chosen = Signal(str)
    act_asked = Signal(str)
    photograph_asked = Signal(object)
    paper_asked = Signal(str)
    history_asked = Signal()
    job_act_asked = Signal(str)

    def __init__(self, say: Formats) -> None:
        super().__init__()
        self._say = say
        self.setProperty("look", "side")
        self.setMinimumWidth(LEAST)
        self.setMaximumWidth(WIDE)
        self.view: CaseView | None = None
        self.acts: tuple[ActRow, ...] = ()
        self.job_acts: dict[str, str] = {}  # of the whole contract, with what is against each
        self.main = ""
        self.ways = Grid(
            RowModel(way_columns(say), lambda row: row.key), _("Ways to deal with it"),
            row_height=WAY_ROW,
        )  # fmt: skip
        self.ways.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.ways.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.photos = PhotoStrip("", "")
        self.photos.set_locked(True)
        self.photos.setAccessibleName(_("Photographs"))
        self.body = CaseBody(say, self.ways, self.photos)
        self.do_main = CommandButton("", "Ctrl+Enter", primary=True)
        self.write = CommandButton("", "F2")
        self.more = CommandButton(_("More"))
        self.note = plain_label("", "note", wrapped=True)
        self._build()
        self.show_nothing(None)

    def _build(self) -> None:
        self.scroller = QScrollArea()
        self.scroller.setProperty("look", "side")
        self.scroller.setFrameShape(QFrame.Shape.NoFrame)
        self.scroller.setWidgetResizable(True)
        self.scroller.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.scroller.setAccessibleName(_("The variation"))
        self.scroller.setWidget(self.body)
        foot = QFrame()
        foot.setProperty("look", "below")
        buttons = QHBoxLayout()
        buttons.setSpacing(8)
        for button in (self.do_main, self.write, self.more):
            buttons.addWidget(button)
        column = QVBoxLayout(foot)
        column.setContentsMargins(20, 8, 20, 10)
        column.setSpacing(6)
        column.addWidget(self.note)
        column.addLayout(buttons)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self.scroller, 1)
        whole.addWidget(foot)
        self.ways.current_changed.connect(self._on_way)
        self.photos.full_size_asked.connect(self.photograph_asked)
        self.do_main.clicked.connect(lambda: self.act_asked.emit(self.main))
        self.write.clicked.connect(lambda: self.act_asked.emit(WRITE))
        self.more.clicked.connect(self.open_menu)

    def _on_way(self, row: object) -> None:
        if isinstance(row, WayRow):
            self.way_chosen.emit(row.key)

    # What is shown

    def show_nothing(self, words_: str | None) -> None:
        """No variation is chosen; say instead what there is to say."""
        self.view, self.acts, self.main = None, (), ""
        self.body.show_nothing(words_ if words_ is not None else _("Nothing is selected"))
        for button in (self.do_main, self.write, self.more):
            button.setVisible(False)
        self.note.setVisible(False)

    def show_case(
        self, view: CaseView, acts: tuple[ActRow, ...], grounds: Sequence[GroundRow], person: str
    ) -> None:
        """Show a variation, what may be done with it, and whether `person` may agree."""
        same = self.view is not None and self.view.variation.number == view.variation.number
        self.view, self.acts = view, acts
        self._show_ways(view, same=same)
        self.body.show_case(view, grounds, person)
        if not same:
            self.scroller.verticalScrollBar().setValue(0)
        self._show_acts(view.case.state)

    def _show_ways(self, view: CaseView, *, same: bool) -> None:
        self.ways.blockSignals(True)
        self.ways.rows.set_rows(view.ways)
        key = self.way if same else ""
        chosen = next((row.key for row in view.ways if row.chosen), "A")
        if key not in {row.key for row in view.ways}:
            key = chosen
        self.ways.go_to(key, "way")
        self.ways.blockSignals(False)
        head = self.ways.header().sizeHint().height()
        self.ways.setFixedHeight(head + WAY_ROW * len(view.ways) + 2)

    @property
    def way(self) -> str:
        """Letter of the way whose effect is shown."""
        row = self.ways.current_row()
        return row.key if isinstance(row, WayRow) else ""

    def show_effect(self, does: WhatItDoes | None, words_: str = "") -> None:
        """Show what the chosen way does; None with what to say instead."""
        self.body.show_effect(does, words_)

    def show_photographs(self, found: Sequence[Photograph]) -> None:
        """Show the photographs that were taken of it."""
        self.photos.set_photos(
            [Photo(p.name, p.caption or p.name, QImage.fromData(p.thumbnail)) for p in found]
        )
        self.photos.setVisible(bool(found))

    # Acts

    def _show_acts(self, state: str) -> None:
        self.main = main_act(self.acts)
        self.do_main.setVisible(bool(self.main))
        self.do_main.setText(act_words.act_word(self.main, state) if self.main else "")
        write = next((row for row in self.acts if row.act == WRITE), None)
        self.write.setVisible(write is not None and self.main != WRITE)
        if write is not None:
            self.write.setText(act_words.act_word(WRITE, state))
            self.write.set_available(act_words.why_not_words(write, state, self._say))
        self.more.setVisible(True)
        self.note.setText(self._note(state))
        self.note.setVisible(bool(self.note.text()))

    def _note(self, state: str) -> str:
        """What the main act asks for, or why the workshop may not sign."""
        if self.main == SIGN:
            return _("Approving asks for the approver's own passphrase.")
        sign = next((row for row in self.acts if row.act == SIGN), None)
        if sign is not None and sign.ask and not sign.may:
            reason = act_words.why_not_words(sign, state, self._say)
            return _("The workshop cannot approve it: {reason}.").format(reason=reason)
        if not self.main:
            return _("Nothing waits to be done here.")
        return ""

    def menu(self) -> QMenu:
        """Every act; those that cannot be done now with the reason in words."""
        menu = QMenu(self)
        menu.aboutToHide.connect(menu.deleteLater)
        state = self.view.case.state if self.view is not None else ""
        for row in self.acts:
            text = act_words.act_word(row.act, state)
            reason = act_words.why_not_words(row, state, self._say)
            if reason:
                text = _("{act}: {reason}").format(act=text, reason=reason)
            action = QAction(text.replace("&", "&&"), menu)
            action.setEnabled(row.may)
            action.setData(row.act)
            action.triggered.connect(lambda _on=False, one=row.act: self.act_asked.emit(one))
            menu.addAction(action)
        menu.addSeparator()
        for key, name in paper_names().items():
            action = QAction(name, menu)
            action.triggered.connect(lambda _on=False, one=key: self.paper_asked.emit(one))
            menu.addAction(action)
        menu.addSeparator()
        for act, reason in self.job_acts.items():
            text = job_act_words()[act]
            if reason:
                text = _("{act}: {reason}").format(act=text, reason=reason)
            action = QAction(text.replace("&", "&&"), menu)
            action.setEnabled(not reason)
            action.triggered.connect(lambda _on=False, one=act: self.job_act_asked.emit(one))
            menu.addAction(action)
        menu.addSeparator()
        menu.addAction(_("History")).triggered.connect(lambda _on=False: self.history_asked.emit())
        return menu

    def open_menu(self) -> None:
        """Open the menu of acts over its button."""
        if self.view is not None or self.job_acts:
            menu = self.menu()
            at = self.more.mapToGlobal(self.more.rect().topLeft())
            at.setY(at.y() - menu.sizeHint().height())
            menu.popup(at)

    def why_not(self, act: str) -> str:
        """Why an act cannot be done now; "" where it can."""
        row = next((one for one in self.acts if one.act == act), None)
        if row is None or self.view is None:
            return _("Nothing is selected")
        return act_words.why_not_words(row, self.view.case.state, self._say)
