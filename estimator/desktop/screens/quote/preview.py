"""The quote's paper: the very bytes as pages, with what can be done with them."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QStackedLayout,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.formats import Formats
from estimator.desktop.language import _, ngettext
from estimator.desktop.runner import RECKONING, Task
from estimator.desktop.screens.quote.locales import printed_in
from estimator.desktop.screens.quote.words import step_words
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.desktop.widgets.pdf_pages import PdfPages
from estimator.desktop.workshop import Workshop
from estimator.domain.priced_job import PricedJob
from estimator.services.print_quote import quote_bytes

WAIT_TO_LAY_OUT = 300  # ms after the last reckoning, so that a burst of edits is laid out once


class Preview(QWidget):
    """Shows issued bytes as they are, or lays out the job as it is now in the background.

    Signals: save_asked(), open_asked(): of the bytes shown; laid_out(): other bytes are shown.
    """

    save_asked = Signal()
    open_asked = Signal()
    laid_out = Signal()

    def __init__(self, workshop: Workshop, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.workshop = workshop
        self.content = b""  # what is shown: the very bytes that are saved, opened or were issued
        self._made_of: tuple[PricedJob, str] | None = None
        self._wanted: PricedJob | None = None
        self._task: Task | None = None
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(WAIT_TO_LAY_OUT)
        self._soon.timeout.connect(self._lay_out)
        self.pages = PdfPages(_("working out"))
        self.pages.setAccessibleName(_("The quote as it will be printed"))
        self.locale_box = QComboBox()
        self.locale_box.setAccessibleName(_("Figures and dates written as in"))
        self.locale_box.setToolTip(_("Figures and dates written as in"))
        self.note = ElidedLabel(tone="second")
        self._empty = QLabel()
        self._build(workshop.formats)
        self.locale_box.currentIndexChanged.connect(lambda _place: self._on_locale())
        self.pages.failed.connect(self._on_failed)
        self.pages.shown.connect(self._show_note)
        self.pages.zoomed.connect(lambda _zoom: self._show_zoom())

    def _build(self, formats: Formats) -> None:
        for locale, name in printed_in(formats.locale):
            self.locale_box.addItem(name, locale)
        self.locale_box.setMinimumContentsLength(5)
        self.locale_box.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.locale_box.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.locale_box.setMinimumWidth(72)
        self.locale_box.setMaximumWidth(220)
        self.smaller, self.larger = _tool("\u2212", _("Smaller")), _tool("+", _("Larger"))
        self._zoom = _tool("", _("Fit the width"))
        self._zoom.setMinimumWidth(64)
        self.save = _tool(_("Save\u2026"), _("Save as PDF"))
        self.open = _tool(_("Open PDF"), _("Open in the viewer, Ctrl+P"))
        self.smaller.clicked.connect(lambda: self.pages.zoom_by(-1))
        self.larger.clicked.connect(lambda: self.pages.zoom_by(1))
        self._zoom.clicked.connect(lambda: self.pages.zoom_by(0))
        self.save.clicked.connect(self.save_asked)
        self.open.clicked.connect(self.open_asked)
        tools = QFrame()
        tools.setProperty("look", "tools")
        row = QHBoxLayout(tools)
        row.setContentsMargins(20, 8, 24, 8)
        row.setSpacing(8)
        row.addWidget(self.note, 1)
        self.note.setMinimumWidth(24)
        row.addWidget(self.locale_box, 3)
        for button in (self.smaller, self._zoom, self.larger, self.save, self.open):
            row.addWidget(button)
        self._empty.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._empty.setWordWrap(True)
        self._empty.setProperty("tone", "second")
        holder = QWidget()
        self._stack = QStackedLayout(holder)
        self._stack.addWidget(self.pages)
        self._stack.addWidget(self._empty)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(tools)
        column.addWidget(holder, 1)
        self._show_zoom()
        self.show_nothing(_("Nothing is worked out yet."))

    @property
    def print_locale(self) -> str:
        """The locale the quote is printed in."""
        return str(self.locale_box.currentData())

    # What is shown

    def show_issued(self, content: bytes) -> None:
        """Show what was issued, byte for byte."""
        self.stop()
        self._wanted = self._made_of = None
        self.locale_box.setEnabled(False)
        self._show(content)

    def show_now(self, priced: PricedJob) -> None:
        """Lay out a job as it is reckoned now, unless that is shown already."""
        self.locale_box.setEnabled(True)
        self._wanted = priced
        if self._is_made():
            return
        self._say(_("Working out the paper"))
        self._soon.start()

    def show_nothing(self, reason: str) -> None:
        """Say why there is no paper."""
        self.stop()
        self._wanted = self._made_of = None
        self.content = b""
        self.pages.clear()
        self._empty.setText(reason)
        self._stack.setCurrentWidget(self._empty)
        self._allow()
        self._say("")

    def stop(self) -> None:
        """Nobody waits for the paper any more."""
        self._soon.stop()
        if self._task is not None:
            self._task.stop()
            self._task = None

    def _is_made(self) -> bool:
        made = self._made_of
        return made is not None and made[0] is self._wanted and made[1] == self.print_locale

    def _on_locale(self) -> None:
        if self._wanted is not None:
            self.show_now(self._wanted)

    def _lay_out(self) -> None:
        priced, locale = self._wanted, self.print_locale
        if priced is None:
            return
        self._task = self.workshop.runner.run(
            lambda report: quote_bytes(priced, locale, lambda step: report(step_words(step))),
            lambda content: self._take(priced, locale, content),
            lane=RECKONING,
            subject="preview",
            says=_("Working out the paper"),
        )

    def _take(self, priced: PricedJob, locale: str, content: bytes) -> None:
        self._task = None
        if priced is self._wanted and locale == self.print_locale:
            self._made_of = (priced, locale)
            self._show(content)

    def _show(self, content: bytes) -> None:
        self.content = content
        self._stack.setCurrentWidget(self.pages)
        self.pages.show_document(content)
        self._allow()
        self._show_note()
        self.laid_out.emit()

    def _allow(self) -> None:
        for button in (self.smaller, self._zoom, self.larger, self.save, self.open):
            button.setEnabled(bool(self.content))

    def _on_failed(self) -> None:
        self.show_nothing(_("These bytes are no readable PDF. Verify the record."))

    def _show_note(self) -> None:
        count = self.pages.page_count
        if self._wanted is not None and not self._is_made():
            self._say(_("Working out the paper"))
        elif self.content and count:
            self._say(ngettext("{n} page", "{n} pages", count).format(n=count))

    def _say(self, text: str) -> None:
        self.note.set_text(text)

    def _show_zoom(self) -> None:
        text = self.workshop.formats.percent(self.pages.zoom)
        self._zoom.setText(text)
        self._zoom.setAccessibleName(_("Size {share}; fit the width").format(share=text))


def _tool(text: str, name: str) -> QPushButton:
    button = QPushButton(text)
    button.setProperty("tool", True)
    button.setAccessibleName(name)
    button.setToolTip(name)
    return button
