"""The right side of the history: one entry with all it changed, and the chain it is part of."""

from __future__ import annotations

import re

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.formats import Formats
from estimator.desktop.key_names import key_names
from estimator.desktop.language import _, ngettext
from estimator.desktop.screens.history import words
from estimator.desktop.widgets.command_button import CommandButton
from estimator.desktop.widgets.plain_label import heading_label, plain_label
from estimator.services.history import HistoryEntry
from estimator.services.show_history import HistoryOf

WIDTH = 312  # of the why panel, whose place it takes
MOST_CHANGES = 30  # shown at once
SHORT, GROUP = 12, 16  # signs of a hash that are told; that stand together where it is whole
BETWEEN = 6  # px from one change to the next
MOST_RUN = 22  # signs that have room on a line
_RUN = re.compile(rf"(\S{{{MOST_RUN}}})(?=\S)")


class EntrySide(QFrame):
    """Shows the entry under the cursor. `prove` is pressed to prove the record."""

    def __init__(self, say: Formats) -> None:
        super().__init__()
        self._say = say
        self._all = False
        self.entry: HistoryEntry | None = None
        self.setProperty("look", "side")
        self.setFixedWidth(WIDTH)
        self.scroller = QScrollArea()
        self.scroller.setProperty("look", "side")
        self.scroller.setWidgetResizable(True)
        self.scroller.setFrameShape(QFrame.Shape.NoFrame)
        self.scroller.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.scroller.setAccessibleName(_("The entry"))
        self._chain = plain_label("", "note", wrapped=True)
        self.prove = CommandButton(_("Prove the record"), key_names("Ctrl+Enter"))
        foot = QFrame()
        foot.setProperty("look", "below")
        below = QVBoxLayout(foot)
        below.setContentsMargins(20, 8, 20, 10)
        below.setSpacing(6)
        below.addWidget(self._chain)
        below.addWidget(self.prove)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self.scroller, 1)
        whole.addWidget(foot)
        self.show_entry(None)

    def show_chain(self, of: HistoryOf) -> None:
        """Where the chain ends that every entry is hashed into."""
        self._chain.setText(
            _("The record's chain ends at {head}, entry {n}.").format(
                head=of.head[:SHORT], n=self._say.number(of.newest)
            )
        )

    def show_entry(self, entry: HistoryEntry | None) -> None:
        """Show an entry; None where none is chosen."""
        if entry is not None and entry == self.entry:
            return
        self.entry, self._all = entry, False
        self._show()

    def _show_all(self) -> None:
        self._all = True
        self._show()
        self.scroller.setFocus(Qt.FocusReason.OtherFocusReason)

    def _show(self) -> None:
        focus = QApplication.focusWidget()
        had_focus = focus is not None and self.scroller.isAncestorOf(focus)
        body = QWidget()
        body.setProperty("look", "side")
        column = QVBoxLayout(body)
        column.setContentsMargins(20, 14, 12, 12)
        column.setSpacing(4)
        if self.entry is None:
            column.addWidget(_wrapped(_("Nothing is selected"), "second"))
        else:
            self._fill(column, self.entry)
        column.addStretch()
        self._replace(body)
        if had_focus:
            self.scroller.setFocus(Qt.FocusReason.OtherFocusReason)

    def _replace(self, body: QWidget) -> None:
        """The body before goes later, as that of the why panel."""
        before = self.scroller.takeWidget()
        self.scroller.setWidget(body)
        if before is not None:
            before.setParent(self)
            before.hide()
            before.deleteLater()

    def _fill(self, column: QVBoxLayout, one: HistoryEntry) -> None:
        say = self._say
        column.addWidget(_wrapped(words.done_words(one), "section"))
        if second := words.second_words(one):
            column.addWidget(_wrapped(second, "second"))
        column.addWidget(_wrapped(" ".join(words.when_words(one, say)), "second"))
        column.addWidget(_wrapped(one.who, "strong"))
        if side := words.side_words(one):
            column.addWidget(_wrapped(side, "second"))
        for title, text in (
            (_("In these words"), one.words),
            (_("Reason"), one.reason),
            (_("Note"), one.note),
        ):
            if text:
                column.addWidget(heading_label(title))
                column.addWidget(_wrapped(text, "body"))
        self._fill_changes(column, one)
        column.addWidget(heading_label(_("In the log")))
        column.addWidget(
            _wrapped(_("Entry {n}, hashed with the one before").format(
                n=say.number(one.entry.number)), "second")
        )  # fmt: skip
        column.addWidget(_wrapped(_grouped(one.entry.hash), "note"))

    def _fill_changes(self, column: QVBoxLayout, one: HistoryEntry) -> None:
        changes = words.ordered(one)
        if not changes:
            return
        column.addWidget(heading_label(_("From what to what")))
        rows = QVBoxLayout()
        rows.setSpacing(0)
        shown = changes if self._all else changes[:MOST_CHANGES]
        for change in shown:
            before, after = words.change_sides(change, self._say)
            rows.addWidget(_wrapped(words.change_name(change, one.variation), "second"))
            rows.addWidget(_wrapped(f"{before} {words.ARROW} {after}", "body"))
            rows.addSpacing(BETWEEN)
        column.addLayout(rows)
        rest = len(changes) - len(shown)
        if rest:
            more = QPushButton(ngettext("{n} more", "{n} more", rest).format(n=rest))
            more.setProperty("look", "quiet")
            more.clicked.connect(self._show_all)
            column.addWidget(more)


def _wrapped(text: str, tone: str) -> QLabel:
    label = plain_label(_breakable(text), tone, wrapped=True)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return label


def _breakable(text: str) -> str:
    """A word too long for the panel may be broken."""
    return _RUN.sub("\\1\u200b", text)


def _grouped(hash_: str) -> str:
    """A hash in groups, two on a line."""
    parts = [hash_[at : at + GROUP] for at in range(0, len(hash_), GROUP)]
    return "\n".join(" ".join(parts[at : at + 2]) for at in range(0, len(parts), 2))
