"""A paper on a printer: pages drawn one after another, away from the window's thread."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from concurrent.futures import Future

from PySide6.QtCore import QMarginsF, QObject, QRectF, QSizeF, Signal
from PySide6.QtGui import QImage, QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QDialog, QWidget

from estimator.desktop.language import _, ngettext
from estimator.desktop.screens.quote.preview import Preview
from estimator.desktop.screens.quote.preview_layout import print_words
from estimator.desktop.widgets.pdf_tasks import PdfAnswers, start_drawing, start_opening
from estimator.desktop.workshop import Workshop

DONE, STOPPED, FAULT = "done", "stopped", "fault"
MOST_DPI, POINTS_PER_INCH = 300, 72


class Printing(QObject):
    """Asks for a printer, then prints what a preview shows; asked again meanwhile, it stops.

    Signals: ended(bool): whether all of it was printed.
    """

    ended = Signal(bool)

    def __init__(self, workshop: Workshop, preview: Preview, window: QWidget) -> None:
        super().__init__(window)
        self.workshop, self._preview, self._window = workshop, preview, window
        self.dialog: QPrintDialog | None = None
        self.run: PrintRun | None = None

    def ask(self) -> None:
        """Ask which printer, which pages and how many copies. Each time a printer of its own."""
        if self.run is not None:
            self.run.stop()
            return
        content = self._preview.content
        if not content or self.dialog is not None:
            return
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        self.dialog = QPrintDialog(printer, self._window)
        self.dialog.setWindowTitle(_("Print the paper"))
        count = self._preview.pages.page_count
        self.dialog.setMinMax(1, max(1, count))
        self.dialog.setFromTo(1, max(1, count))
        self.dialog.accepted.connect(lambda: self.print_on(printer, content))
        self.dialog.finished.connect(self._forget)
        QDialog.open(self.dialog)

    def _forget(self, _code: int) -> None:
        if self.dialog is not None:
            self.dialog.deleteLater()
        self.dialog = None

    def print_on(self, printer: QPrinter, content: bytes) -> None:
        """Print a document on a printer, in the background; it can be stopped."""
        self.run = PrintRun(printer, content, self)
        self.run.stepped.connect(self._on_step)
        self.run.ended.connect(self._on_ended)
        self._show_button(_("Stop"), _("Stop printing"))
        self.run.begin()

    def _show_button(self, text: str, name: str) -> None:
        button = self._preview.parts.print
        button.setText(text)
        button.setAccessibleName(name)
        button.setToolTip(name)

    def _on_step(self, done: int, of: int) -> None:
        self.workshop.presenter.notice(
            _("Printing page {here} of {count}").format(here=done, count=of)
        )

    def _on_ended(self, pages: int, how: str) -> None:
        self.run = None
        self._show_button(*print_words())
        presenter = self.workshop.presenter
        if how == STOPPED:
            said = ngettext(
                "Printing was stopped after {n} page.",
                "Printing was stopped after {n} pages.",
                pages,
            )
            presenter.notice(said.format(n=pages))
        elif how == FAULT:
            presenter.trouble(
                _("The paper could not be printed."),
                _("Look at the printer, or save the paper as PDF and print that."),
            )
        else:
            said = ngettext("{n} page was printed.", "{n} pages were printed.", pages)
            presenter.done(said.format(n=pages))
        self.ended.emit(how == DONE)


class PrintRun(QObject):
    """One document on its way to one printer.

    Signals: stepped(int page, int of all) before each page; ended(int pages, str how): one of
    DONE, STOPPED, FAULT.
    """

    stepped = Signal(int, int)
    ended = Signal(int, str)

    def __init__(self, printer: QPrinter, content: bytes, parent: QObject) -> None:
        super().__init__(parent)
        self._printer, self._content = printer, content
        self._painter = QPainter()
        self._sizes: list[tuple[float, float]] = []
        self._left: Iterator[int] = iter(())
        self._count = self._done = 0
        self._running: Future[None] | None = None
        self._over = False
        self._answers = PdfAnswers()
        self._answers.opened.connect(self._on_opened)
        self._answers.drawn.connect(self._on_drawn)
        self._answers.failed.connect(lambda _turn: self._end(FAULT))
        self._answers.undrawn.connect(lambda _turn: self._end(FAULT))

    def begin(self) -> None:
        """Read the document, then print."""
        self._running = start_opening(self._answers, 0, self._content)

    def stop(self) -> None:
        """Print no further page."""
        if self._running is not None:
            self._running.cancel()
        self._end(STOPPED)

    @property
    def dpi(self) -> int:
        """Dots to an inch in which pages are drawn: as the printer has them, 300 at the most."""
        return min(MOST_DPI, self._printer.resolution())

    def _on_opened(self, _turn: int, sizes: list[tuple[float, float]]) -> None:
        if self._over:
            return
        self._sizes = sizes
        order = list(_order(self._printer, len(sizes)))
        self._count, self._left = len(order), iter(order)
        if not order or not self._fit(order[0]):
            self._end(FAULT)
            return
        if not self._painter.begin(self._printer):
            self._end(FAULT)
            return
        self._next()

    def _fit(self, place: int) -> bool:
        """Paper as large as the page, edge to edge: its margins are its own."""
        wide, high = self._sizes[place]
        size = QPageSize(
            QSizeF(min(wide, high), max(wide, high)),
            QPageSize.Unit.Point,
            "",
            QPageSize.SizeMatchPolicy.FuzzyMatch,
        )
        turned = wide > high
        way = QPageLayout.Orientation.Landscape if turned else QPageLayout.Orientation.Portrait
        self._printer.setPageSize(size)
        self._printer.setPageOrientation(way)
        self._printer.setFullPage(True)
        self._printer.setPageMargins(QMarginsF(0, 0, 0, 0))
        return self._printer.isValid()

    def _next(self) -> None:
        place = next(self._left, None)
        if place is None:
            self._end(DONE)
            return
        if self._done:
            self._fit(place)
            if not self._printer.newPage():
                self._end(FAULT)
                return
        self.stepped.emit(self._done + 1, self._count)
        scale = self.dpi / POINTS_PER_INCH
        self._running = start_drawing(self._answers, 0, self._content, place, scale)

    def _on_drawn(self, _turn: int, place: int, image: QImage) -> None:
        if self._over:
            return
        self._painter.drawImage(self._room(place), image)
        self._done += 1
        self._next()

    def _room(self, place: int) -> QRectF:
        """Where a page goes: as large as it is, smaller only where the paper is."""
        paper = QRectF(self._printer.paperRect(QPrinter.Unit.DevicePixel))
        by = self._printer.resolution() / POINTS_PER_INCH
        wide, high = (side * by for side in self._sizes[place])
        fit = min(1.0, paper.width() / wide, paper.height() / high)
        left = (paper.width() - wide * fit) / 2
        top = (paper.height() - high * fit) / 2
        return QRectF(left, top, wide * fit, high * fit)

    def _end(self, how: str) -> None:
        if self._over:
            return
        self._over = True
        ended = not self._painter.isActive() or self._painter.end()
        broken = self._printer.printerState() == QPrinter.PrinterState.Error
        self.ended.emit(self._done, how if ended and not broken else FAULT)
        self.deleteLater()


def _order(printer: QPrinter, count: int) -> Iterable[int]:
    """The pages to print, from 0: the range asked for, in the order and as often as asked where the
    printer does not do that itself."""
    pages = list(range(count))
    if printer.printRange() == QPrinter.PrintRange.PageRange and printer.fromPage():
        first, last = sorted((printer.fromPage(), printer.toPage() or printer.fromPage()))
        pages = [one for one in pages if first <= one + 1 <= last]
    if printer.pageOrder() == QPrinter.PageOrder.LastPageFirst:
        pages.reverse()
    copies = 1 if printer.supportsMultipleCopies() else max(1, printer.copyCount())
    if printer.collateCopies():
        return pages * copies
    return [one for one in pages for _copy in range(copies)]
