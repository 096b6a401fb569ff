"""The job's papers: the very bytes as pages, which one is shown, and what can be done with it."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QWidget

from estimator.desktop.language import _
from estimator.desktop.screens.quote.paper_choice import QUOTE, Paper
from estimator.desktop.screens.quote.paper_making import Made, PaperMaking
from estimator.desktop.screens.quote.preview_layout import PreviewParts, lay_out_preview
from estimator.desktop.telling import told, told_of
from estimator.desktop.widgets.pdf_search import PdfSearch
from estimator.desktop.workshop import Workshop
from estimator.domain.priced_job import PricedJob
from estimator.domain.record import IssuedQuote
from estimator.services.desk_paper import QUOTE_LENGTHS, Papered, issued_as
from estimator.services.errors import ServiceError

PRINT_KEYS = "Ctrl+Shift+P"
OUTWORK = "outwork"  # leaves the workshop, to somebody else than the customer


class Preview(QWidget):
    """Shows issued bytes as they are, or makes a document of the job in the background.

    Signals: save_asked(), open_asked(), print_asked(): of the bytes shown; laid_out(): other bytes
    are shown.
    """

    save_asked = Signal()
    open_asked = Signal()
    print_asked = Signal()
    laid_out = Signal()

    def __init__(self, workshop: Workshop, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.workshop = workshop
        self.content = b""  # what is shown: the very bytes that are saved, opened or were issued
        self.shown_as: Paper | None = None  # what they are
        self._shows: PricedJob | IssuedQuote | None = None
        self._only = False  # of an earlier revision nothing is kept but what was issued
        self._is: Made | None = None  # what was made last
        self.length_kind = QUOTE  # the kind of quote that is issued
        self.making = PaperMaking(workshop, self)
        self.parts: PreviewParts = lay_out_preview(self, workshop.formats)
        self.pages, self.choice = self.parts.pages, self.parts.choice
        self.locale_box = self.choice.locale_box
        self.search = PdfSearch(self.pages)
        self._join()
        self._show_zoom()
        self._show_band()
        self.show_nothing(_("Nothing is worked out yet."))

    def _join(self) -> None:
        parts, pages, find = self.parts, self.pages, self.parts.find
        self.workshop.record_changed.connect(self._on_record)
        self.choice.chosen.connect(self._on_choice)
        pages.failed.connect(self._on_failed)
        pages.opened.connect(self._show_note)
        pages.shown.connect(self._show_note)
        pages.turned.connect(lambda _page: self._show_note())
        pages.zoomed.connect(lambda _zoom: self._show_zoom())
        parts.smaller.clicked.connect(lambda: pages.zoom_by(-1))
        parts.larger.clicked.connect(lambda: pages.zoom_by(1))
        parts.zoom.clicked.connect(pages.switch_size)
        parts.search.clicked.connect(find.ask)
        parts.save.clicked.connect(self.save_asked)
        parts.open.triggered.connect(self.open_asked)
        parts.print.clicked.connect(self.print_asked)
        parts.stop.clicked.connect(self._on_stop)
        parts.again.clicked.connect(self._try_again)
        find.wanted.connect(self.search.look_for)
        find.stepped.connect(self.search.step)
        find.closed.connect(lambda: pages.setFocus(Qt.FocusReason.OtherFocusReason))
        self.search.changed.connect(self._show_found)
        self.making.made.connect(self._take)
        self.making.failed.connect(self._on_not_made)
        self.making.stepping.connect(self._on_step)
        for keys, act in (
            ("F3", lambda: self._step_found(1)),
            ("Shift+F3", lambda: self._step_found(-1)),
            (PRINT_KEYS, self.print_asked.emit),
        ):
            shortcut = QShortcut(QKeySequence(keys), self)
            shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            shortcut.activated.connect(act)

    @property
    def print_locale(self) -> str:
        """The locale the quote is printed in."""
        return self.choice.paper.locale

    @property
    def print_length(self) -> str:
        """How much a quote tells that is issued now: as the quote that was looked at last."""
        return QUOTE_LENGTHS[self.length_kind]

    # What is shown

    def show_issued(self, issued: IssuedQuote, *, only: bool) -> None:
        """Show a paper of an issued revision: the quote byte for byte. `only`: a later revision was
        begun, and of this one there is nothing but its quote."""
        self._shows, self._only = issued, only
        self._want()

    def show_now(self, priced: PricedJob) -> None:
        """Lay out a job as it is reckoned now, unless that is shown already."""
        self._shows, self._only = priced, False
        self._want()

    def show_nothing(self, reason: str, *, again: bool = False) -> None:
        """Say why there is no paper; `again` offers to make it once more."""
        if not again:
            self._shows = None
        self.stop()
        self._empty(reason)
        self.parts.again.setVisible(again)

    def stop(self) -> None:
        """Nobody waits for the paper any more."""
        self.making.stop()
        self.parts.stop.hide()

    def ask_to_find(self) -> None:
        """Put the keyboard into the search."""
        self.parts.find.ask()

    def _want(self) -> None:
        """See to it that what is chosen is shown, or made."""
        shows = self._shows
        if shows is None:
            return
        issued = isinstance(shows, IssuedQuote)
        self.choice.fix_print("")
        if isinstance(shows, IssuedQuote):
            kind, locale = issued_as(shows)
            if self.choice.paper.kind == kind:
                self._show_as_issued(shows, locale)
                return
            if self._only:
                self.stop()
                self._empty(self._only_quote(kind))
                return
        wanted = Made(shows.number if isinstance(shows, IssuedQuote) else shows, self.choice.paper)
        if wanted.same(self._is) or (self.making.busy and wanted.same(self.making.wanted)):
            self._show_note()
            return
        if self.shown_as is None or issued or self.shown_as.kind != wanted.paper.kind:
            self._empty(_("Working out the paper"))
            self.parts.stop.show()
        self.making.ask(wanted)
        self._say(_("Working out the paper"))

    def _show_as_issued(self, issued: IssuedQuote, locale: str) -> None:
        self.stop()
        self._is = None  # it was not made
        self.choice.fix_print(locale or self.print_locale)
        self._show(issued.pdf, self.choice.paper)

    def _only_quote(self, kind: str) -> str:
        return _(
            "Of an earlier revision only the quote is kept that was issued. Choose {quote}."
        ).format(quote=self.choice.title_of(kind))

    def _on_record(self, kinds: frozenset[str]) -> None:
        """The workshop's paper looks otherwise now."""
        if "house style" in kinds and self._shows is not None:
            self._is = None
            self._want()

    def _on_choice(self) -> None:
        kind = self.choice.paper.kind
        if kind in QUOTE_LENGTHS:
            self.length_kind = kind
        self._show_band()
        self._want()

    def _on_step(self, what: str) -> None:
        if self.parts.stop.isVisible():
            self.parts.reason.setText(what)

    def _try_again(self) -> None:
        self._is = None
        self._want()
        self.parts.stop.setFocus(Qt.FocusReason.OtherFocusReason)

    def _on_stop(self) -> None:
        wanted = self.making.wanted
        self.show_nothing(_("Stopped: the paper was not made."), again=True)
        self._is = wanted  # it is not made again until something changed
        self.parts.again.setFocus(Qt.FocusReason.OtherFocusReason)

    def _take(self, made: Made, papered: Papered) -> None:
        self._is = made
        self.choice.offer(papered.which, papered.choices)
        self._show(papered.content, made.paper)

    def _on_not_made(self, made: Made, error: Exception) -> None:
        """Why, and how to mend it, in the place of the paper."""
        remedy = told(error.remedy) if isinstance(error, ServiceError) else ""
        self.show_nothing(f"{told_of(error)}\n{remedy}".strip(), again=True)
        self._is = made  # it is not tried again until something changed

    def _show(self, content: bytes, paper: Paper) -> None:
        self.content, self.shown_as = content, paper
        self.parts.stop.hide()
        self.parts.stack.setCurrentWidget(self.pages)
        self.pages.show_document(content)
        self._allow()
        self._show_note()
        self.laid_out.emit()

    def _empty(self, text: str) -> None:
        self.content, self.shown_as, self._is = b"", None, None
        self.pages.clear()
        self.search.again()
        self.parts.reason.setText(text)
        self.parts.again.hide()
        self.parts.stack.setCurrentWidget(self.parts.empty)
        self._allow()
        self._say("")

    def _allow(self) -> None:
        for widget in self.parts.of_bytes:
            widget.setEnabled(bool(self.content))

    def _on_failed(self) -> None:
        self.show_nothing(_("These bytes are no readable PDF. Verify the record."))

    # What is said about it

    def _is_made(self) -> bool:
        """Whether what is shown is what is wanted."""
        return bool(self.content) and not self.making.busy

    def _show_note(self) -> None:
        count = self.pages.page_count
        if self.making.busy:
            self._say(_("Working out the paper"))
        elif self.content and count:
            here = self.pages.page_here + 1
            self._say(_("Page {here} of {count}").format(here=here, count=count))

    def _say(self, text: str) -> None:
        self.parts.note.set_text(text)

    def _show_band(self) -> None:
        band, kind = self.parts.band, self.choice.kind
        band.setVisible(not kind.for_customer)
        if kind.key == OUTWORK:
            band.set_text(_("For the supplier: not for the customer"))
        else:
            band.set_text(_("Stays in the workshop: not for the customer"))

    def _show_zoom(self) -> None:
        text = self.workshop.formats.percent(self.pages.zoom)
        button = self.parts.zoom
        button.setText(text)
        what = _("true size") if self.pages.fits else _("fit the width")
        said = _("Size {share}; {what}, Ctrl+0").format(share=text, what=what)
        button.setAccessibleName(said)
        button.setToolTip(said)

    def _show_found(self) -> None:
        search = self.search
        self.parts.find.tell(search.here, len(search.found), search.looking)

    def _step_found(self, by: int) -> None:
        if self.parts.find.isVisible():
            self.search.step(by)
        else:
            self.ask_to_find()
