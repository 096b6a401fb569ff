"""Where everything stands around the pages of a paper."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QMenu,
    QPushButton,
    QStackedLayout,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.quote.paper_choice import PaperChoice
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.desktop.widgets.find_bar import FindBar
from estimator.desktop.widgets.pdf_pages import PdfPages


@dataclass
class PreviewParts:
    """The preview's widgets, by what they are for."""

    choice: PaperChoice
    band: ElidedLabel
    note: ElidedLabel
    smaller: QPushButton
    zoom: QPushButton
    larger: QPushButton
    search: QPushButton
    files: QPushButton
    menu: QMenu
    open: QAction
    print: QPushButton
    save: QPushButton
    find: FindBar
    pages: PdfPages
    empty: QWidget
    reason: QLabel
    stop: QPushButton
    again: QPushButton
    stack: QStackedLayout

    @property
    def of_bytes(self) -> tuple[QPushButton | QAction, ...]:
        """What needs bytes that are shown."""
        return (
            self.smaller, self.zoom, self.larger, self.search, self.open, self.print, self.save,
        )  # fmt: skip


def lay_out_preview(whole: QWidget, formats: Formats) -> PreviewParts:
    """Build it: what is shown, what can be done with it, the search, the pages."""
    parts = _make(formats)
    tools = QFrame()
    tools.setProperty("look", "tools")
    column = QVBoxLayout(tools)
    column.setContentsMargins(20, 8, 16, 8)
    column.setSpacing(8)
    first, second = QHBoxLayout(), QHBoxLayout()
    for row in (first, second):
        row.setSpacing(8)
        column.addLayout(row)
    second.setSpacing(6)  # all its words have room in German and French at 1280 px
    first.addWidget(parts.choice, 1)
    second.addWidget(parts.note, 1)
    for button in (
        parts.smaller, parts.zoom, parts.larger, parts.search, parts.files, parts.print, parts.save,
    ):  # fmt: skip
        second.addWidget(button)
    third = QHBoxLayout()
    third.setSpacing(8)
    third.addWidget(parts.band, 5)
    third.addWidget(parts.choice.which_box, 3)
    column.addLayout(third)
    holder = QWidget()
    parts.stack = QStackedLayout(holder)
    parts.stack.addWidget(parts.pages)
    parts.stack.addWidget(parts.empty)
    all_of_it = QVBoxLayout(whole)
    all_of_it.setContentsMargins(0, 0, 0, 0)
    all_of_it.setSpacing(0)
    for widget in (tools, parts.find):
        all_of_it.addWidget(widget)
    all_of_it.addWidget(holder, 1)
    return parts


def _make(formats: Formats) -> PreviewParts:
    pages = PdfPages(_("working out"))
    pages.setAccessibleName(_("The paper as it will be printed"))
    note = ElidedLabel(tone="second")
    note.setMinimumWidth(24)
    band = ElidedLabel()
    band.setProperty("look", "band")
    zoom = tool("", _("Fit the width"))
    zoom.setMinimumWidth(64)
    files = tool(_("Files"), _("Files of this quote for other programs"))
    menu = QMenu(files)
    opening = menu.addAction(_("Open the PDF"))
    files.setMenu(menu)
    empty, reason, stop, again = _empty()
    return PreviewParts(
        choice=PaperChoice(formats),
        band=band,
        note=note,
        smaller=tool("\u2212", _("Smaller")),
        zoom=zoom,
        larger=tool("+", _("Larger")),
        search=tool(_("Search"), _("Search in the paper, Ctrl+F")),
        files=files,
        menu=menu,
        open=opening,
        print=tool(*print_words()),
        save=tool(_("Save\u2026"), _("Save as PDF")),
        find=FindBar(_("Search in the paper")),
        pages=pages,
        empty=empty,
        reason=reason,
        stop=stop,
        again=again,
        stack=QStackedLayout(),
    )


def _empty() -> tuple[QWidget, QLabel, QPushButton, QPushButton]:
    """What stands where there is no paper: why, and how to stop or to try once more."""
    empty, reason = QWidget(), QLabel()
    reason.setTextFormat(Qt.TextFormat.PlainText)
    reason.setAlignment(Qt.AlignmentFlag.AlignCenter)
    reason.setWordWrap(True)
    reason.setProperty("tone", "second")
    stop, again = (
        tool(_("Stop"), _("Stop making the paper")),
        tool(_("Try again"), _("Make the paper once more")),
    )
    column = QVBoxLayout(empty)
    column.setContentsMargins(24, 24, 24, 24)
    column.setSpacing(12)
    column.addStretch()
    column.addWidget(reason)
    for button in (stop, again):
        button.hide()
        column.addWidget(button, 0, Qt.AlignmentFlag.AlignHCenter)
    column.addStretch()
    return empty, reason, stop, again


def print_words() -> tuple[str, str]:
    """Words and name of the button that prints."""
    return _("Print\u2026"), _("Print on paper, Ctrl+Shift+P")


def tool(text: str, name: str) -> QPushButton:
    """A button of the tool rows."""
    button = QPushButton(text)
    button.setProperty("tool", True)
    button.setAccessibleName(name)
    button.setToolTip(name)
    return button
