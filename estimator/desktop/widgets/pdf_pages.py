"""The pages of a document as they will be sent, drawn away from the window's thread."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import Future

from PySide6.QtCore import QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QImage,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
)
from PySide6.QtWidgets import QAbstractScrollArea, QFrame, QWidget

from estimator.desktop.drawing.pixels import edge, fill
from estimator.desktop.drawing.words import CENTRE, draw_words
from estimator.desktop.focus_ring import RINGED_PROPERTY
from estimator.desktop.theme import current_theme
from estimator.desktop.widgets.pdf_sheets import MARGIN, Sheets
from estimator.desktop.widgets.pdf_tasks import PdfAnswers, start_drawing, start_opening

MARK, MARK_HERE = 1, 3  # px of the frame around what was found, and around the one stepped to
MARK_ROOM = 2  # px between what was found and its frame
INK = QColor(Qt.GlobalColor.black)  # paper is white in both themes

Marks = Sequence[tuple[int, Sequence[tuple[float, float, float, float]]]]


class PdfPages(QAbstractScrollArea):
    """Shows a document's pages one under another; only pages in view are drawn.

    `show_document` takes the very bytes. `failed` comes where they are no readable document,
    `shown` when the pages in view stand there, `opened` when another document was read, `turned`
    when another page (from 0) came to the middle. `wait_words` stand in a page until it is drawn.
    """

    shown = Signal()
    opened = Signal()
    failed = Signal()
    zoomed = Signal(float)
    turned = Signal(int)

    def __init__(self, wait_words: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._wait_words = wait_words
        self._content = b""
        self._turn = 0
        self._sheets = Sheets()
        self._marks: Marks = ()
        self._mark_here = -1
        self._told_page = 0
        # Pages are drawn again at another width: that is a new drawing of the same document.
        self._drawing = 0
        self._images: dict[int, QImage] = {}
        self._asked: dict[int, Future[None]] = {}
        self._opening: Future[None] | None = None
        self._answers = PdfAnswers()
        self._answers.opened.connect(self._on_opened)
        self._answers.drawn.connect(self._on_drawn)
        self._answers.failed.connect(self._on_failed)
        self._answers.undrawn.connect(self._on_undrawn)
        self.setProperty(RINGED_PROPERTY, True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)

    @property
    def zoom(self) -> float:
        """How large pages are drawn, of their true size on this screen."""
        return self._sheets.zoom

    @property
    def fits(self) -> bool:
        """Whether pages are as wide as there is room."""
        return self._sheets.fits

    def zoom_by(self, steps: int) -> None:
        """Go so many steps larger or smaller; 0 fits the width. The place is kept."""
        if not steps and self._sheets.fits:
            return
        self._zoom_to(self._sheets.step(steps) if steps else None)

    def true_size(self) -> None:
        """A millimetre of paper is a millimetre of the screen, as far as the screen knows."""
        self._zoom_to(1.0)

    def _zoom_to(self, zoom: float | None) -> None:
        bar = self.verticalScrollBar()
        share = bar.value() / max(1, bar.maximum())
        if zoom is None:
            self._sheets.fits = True
        else:
            self._sheets.set_zoom(zoom)
        self._forget_images()
        bar.setValue(round(share * bar.maximum()))
        self.viewport().update()
        self.zoomed.emit(self.zoom)

    @property
    def content(self) -> bytes:
        """The bytes that are shown."""
        return self._content

    @property
    def page_count(self) -> int:
        """How many pages are known; 0 until the document was read."""
        return len(self._sheets.sizes)

    @property
    def page_here(self) -> int:
        """The page in the middle of the view, from 0."""
        middle = self.verticalScrollBar().value() + self.viewport().height() / 2
        return self._sheets.at(middle)

    def go_to_page(self, place: int) -> None:
        """Have a page begin at the top."""
        if 0 <= place < self.page_count:
            self.verticalScrollBar().setValue(self._sheets.stop(place))

    def turn(self, steps: int) -> None:
        """One page on, or one back."""
        self.go_to_page(self._sheets.turned(self.verticalScrollBar().value(), steps))

    def mark(self, marks: Marks, here: int = -1) -> None:
        """Frame areas of pages (in points from a page's top left), the one at `here` the most."""
        self._marks, self._mark_here = marks, here
        self.viewport().update()

    def bring(self, place: int, area: tuple[float, float, float, float]) -> None:
        """Scroll as far as an area needs to be in view."""
        if place >= self.page_count:
            return
        box = self._sheets.box(place, area)
        down, high = self.verticalScrollBar(), self.viewport().height()
        top = self._sheets.top(place) + round(box.top())
        if not down.value() + MARGIN <= top <= down.value() + high - 2 * MARGIN:
            down.setValue(top - high // 3)
        across, wide = self.horizontalScrollBar(), self.viewport().width()
        left = MARGIN + round(box.left())
        if across.maximum() and not across.value() <= left <= across.value() + wide - 2 * MARGIN:
            across.setValue(left - wide // 3)

    def show_document(self, content: bytes) -> None:
        """Read another document; the place in the pages is kept where it still exists."""
        if content == self._content and self._sheets.sizes:
            return
        self._content = content
        self._turn += 1
        self._drop_tasks()
        self._opening = start_opening(self._answers, self._turn, content)

    def clear(self) -> None:
        """Show nothing."""
        self._turn += 1
        self._drop_tasks()
        self._content, self._sheets.sizes = b"", []
        self._images.clear()
        self._fit_scroll_bar()
        self.viewport().update()

    def page_image(self, place: int) -> QImage | None:
        """The drawn page, if it was drawn already."""
        return self._images.get(place)

    def sizeHint(self) -> QSize:
        """A page in reading size."""
        return QSize(680, 720)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Draw again at the new width."""
        super().resizeEvent(event)
        self._forget_images()
        if self._sheets.fits:
            self.zoomed.emit(self.zoom)

    def scrollContentsBy(self, across: int, down: int) -> None:
        """Tell which page is in the middle now."""
        super().scrollContentsBy(across, down)
        self.viewport().update()
        self._tell_page()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Turn pages, scroll by lines and screens, to the first and the last; larger, smaller."""
        bar = self.verticalScrollBar()
        shifted = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
        screen = bar.pageStep() - 2 * MARGIN
        places = {
            Qt.Key.Key_Up: bar.value() - 40,
            Qt.Key.Key_Down: bar.value() + 40,
            Qt.Key.Key_Space: bar.value() + (-screen if shifted else screen),
            Qt.Key.Key_Home: 0,
            Qt.Key.Key_End: bar.maximum(),
        }
        turns = {Qt.Key.Key_PageUp: -1, Qt.Key.Key_PageDown: 1}
        sideways = {Qt.Key.Key_Left: -40, Qt.Key.Key_Right: 40}
        key = Qt.Key(event.key())
        across = self.horizontalScrollBar()
        if key in places:
            bar.setValue(places[key])
        elif key in turns:
            self.turn(turns[key])
        elif key in sideways and across.maximum():
            across.setValue(across.value() + sideways[key])
        elif not (event.modifiers() & Qt.KeyboardModifier.ControlModifier and self._sized(key)):
            event.ignore()

    def _sized(self, key: Qt.Key) -> bool:
        """Ctrl with a sign: larger, smaller, and 0 between the true size and the width."""
        steps = {Qt.Key.Key_Plus: 1, Qt.Key.Key_Equal: 1, Qt.Key.Key_Minus: -1}
        if key in steps:
            self.zoom_by(steps[key])
        elif key == Qt.Key.Key_0:
            self.switch_size()
        else:
            return False
        return True

    def switch_size(self) -> None:
        """From fitting the width to the true size, and back from any."""
        if self.fits:
            self.true_size()
        else:
            self.zoom_by(0)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Repaint for the ring."""
        super().focusInEvent(event)
        self.viewport().update()

    def page_rect(self, place: int) -> QRect:
        """Where a page stands in the viewport, in logical pixels."""
        top = self._sheets.top(place)
        size = self._sheets.page_size(place)
        spare = self.viewport().width() - size.width()
        left = spare // 2 if spare >= 2 * MARGIN else MARGIN - self.horizontalScrollBar().value()
        return QRect(left, top - self.verticalScrollBar().value(), size.width(), size.height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw what is there and ask for what is not."""
        painter, theme = QPainter(self.viewport()), current_theme()
        colours = theme.colours
        fill(painter, QRectF(event.rect()), colours.window)
        for place in range(len(self._sheets.sizes)):
            page = self.page_rect(place)
            if not page.intersects(event.rect()):
                continue
            # Paper is white in both themes: this is what will be sent.
            fill(painter, QRectF(page), QColor(Qt.GlobalColor.white))
            image = self._images.get(place)
            if image is None:
                light = theme.font(theme.sizes.second)
                draw_words(painter, QRectF(page), self._wait_words, light, colours.ink3, CENTRE)
                self._ask(place)
            else:
                painter.drawImage(QRectF(page), image)
                self._paint_marks(painter, place, page)
            edge(painter, QRectF(page).adjusted(-1, -1, 1, 1), 1, colours.line2)

    def _paint_marks(self, painter: QPainter, place: int, page: QRect) -> None:
        for number, (on, areas) in enumerate(self._marks):
            if on != place:
                continue
            thick = MARK_HERE if number == self._mark_here else MARK
            for area in areas:
                box = self._sheets.box(place, area).translated(page.topLeft())
                out = MARK_ROOM + thick
                edge(painter, box.adjusted(-out, -out, out, out), thick, INK)

    def _ask(self, place: int) -> None:
        if place in self._asked:
            return
        device = self._sheets.page_size(place).width() * self.devicePixelRatioF()
        scale = device / max(1.0, self._sheets.sizes[place][0])
        self._asked[place] = start_drawing(
            self._answers, self._drawing, self._content, place, scale
        )

    def _on_opened(self, turn: int, sizes: object) -> None:
        if turn != self._turn or not isinstance(sizes, list):
            return
        self._sheets.sizes = sizes
        self._forget_images()
        self.viewport().update()
        self.opened.emit()
        self.zoomed.emit(self.zoom)
        self._tell_page()

    def _on_drawn(self, turn: int, place: int, image: object) -> None:
        if turn != self._drawing or not isinstance(image, QImage):
            return
        self._asked.pop(place, None)
        if place < len(self._sheets.sizes):
            self._images[place] = image
        self.viewport().update()
        if not self._asked:
            self.shown.emit()

    def _on_failed(self, turn: int) -> None:
        if turn == self._turn:
            self.clear()
            self.failed.emit()

    def _on_undrawn(self, turn: int) -> None:
        if turn == self._drawing:
            self._on_failed(self._turn)

    def _drop_tasks(self) -> None:
        """Take back what has not begun; what runs is let end and its answer ignored."""
        if self._opening is not None:
            self._opening.cancel()
        self._drop_drawings()

    def _drop_drawings(self) -> None:
        self._drawing += 1
        for task in self._asked.values():
            task.cancel()
        self._asked.clear()

    def _forget_images(self) -> None:
        self._images.clear()
        self._drop_drawings()
        self._fit_scroll_bar()

    def _tell_page(self) -> None:
        if (here := self.page_here) != self._told_page:
            self._told_page = here
            self.turned.emit(here)

    def _fit_scroll_bar(self) -> None:
        sheets, page = self._sheets, self.viewport().height()
        sheets.room = self.viewport().width()
        screen = self.screen()
        if screen is not None:
            sheets.set_dpi(screen.physicalDotsPerInch())
        bar = self.verticalScrollBar()
        bar.setRange(0, max(0, sheets.height() - page) if sheets.sizes else 0)
        bar.setPageStep(page)
        bar.setSingleStep(40)
        across = self.horizontalScrollBar()
        across.setRange(0, max(0, sheets.width() - sheets.room) if sheets.sizes else 0)
        across.setPageStep(sheets.room)
        across.setSingleStep(40)
