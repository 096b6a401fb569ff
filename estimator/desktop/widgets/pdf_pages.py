"""The pages of a document as they will be sent, drawn away from the window's thread."""

from __future__ import annotations

from concurrent.futures import Future

from PySide6.QtCore import (
    QRect,
    QRectF,
    QSize,
    Qt,
    Signal,
)
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
from estimator.desktop.widgets.pdf_tasks import PdfAnswers, start_drawing, start_opening

_MARGIN = 24
_GAP = 16
_POINTS_PER_INCH = 72
_LARGEST_PAGE = 860
ZOOMS = (0.5, 0.75, 1.0, 1.25, 1.5, 2.0, 3.0)


class PdfPages(QAbstractScrollArea):
    """Shows a document's pages one under another; only pages in view are drawn.

    `show_document` takes the very bytes. `failed` comes where they are no readable document,
    `shown` when the pages in view stand there. `wait_words` stand in a page until it is drawn.
    """

    shown = Signal()
    failed = Signal()
    zoomed = Signal(float)

    def __init__(self, wait_words: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._wait_words = wait_words
        self._content = b""
        self._turn = 0
        self._zoom = 1.0
        # Pages are drawn again at another width: that is a new drawing of the same document.
        self._drawing = 0
        self._sizes: list[tuple[float, float]] = []
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
        """How much larger than fitting the width pages are drawn."""
        return self._zoom

    def zoom_by(self, steps: int) -> None:
        """Go so many of ZOOMS up or down; 0 fits the width again. The place is kept."""
        place = ZOOMS.index(self._zoom) + steps if steps else ZOOMS.index(1.0)
        zoom = ZOOMS[min(max(0, place), len(ZOOMS) - 1)]
        if zoom == self._zoom:
            return
        bar = self.verticalScrollBar()
        share = bar.value() / max(1, bar.maximum())
        self._zoom = zoom
        self._forget_images()
        bar.setValue(round(share * bar.maximum()))
        self.viewport().update()
        self.zoomed.emit(zoom)

    @property
    def page_count(self) -> int:
        """How many pages are known; 0 until the document was read."""
        return len(self._sizes)

    def show_document(self, content: bytes) -> None:
        """Read another document; the place in the pages is kept where it still exists."""
        if content == self._content and self._sizes:
            return
        self._content = content
        self._turn += 1
        self._drop_tasks()
        self._opening = start_opening(self._answers, self._turn, content)

    def clear(self) -> None:
        """Show nothing."""
        self._turn += 1
        self._drop_tasks()
        self._content, self._sizes = b"", []
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

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Scroll by lines, pages, to the first and to the last."""
        bar = self.verticalScrollBar()
        places = {
            Qt.Key.Key_Up: bar.value() - 40,
            Qt.Key.Key_Down: bar.value() + 40,
            Qt.Key.Key_PageUp: bar.value() - bar.pageStep(),
            Qt.Key.Key_PageDown: bar.value() + bar.pageStep(),
            Qt.Key.Key_Home: 0,
            Qt.Key.Key_End: bar.maximum(),
        }
        sideways = {Qt.Key.Key_Left: -40, Qt.Key.Key_Right: 40}
        zooms = {Qt.Key.Key_Plus: 1, Qt.Key.Key_Equal: 1, Qt.Key.Key_Minus: -1}
        key = Qt.Key(event.key())
        across = self.horizontalScrollBar()
        if key in places:
            bar.setValue(places[key])
        elif key in sideways and across.maximum():
            across.setValue(across.value() + sideways[key])
        elif key in zooms and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.zoom_by(zooms[key])
        else:
            event.ignore()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Repaint for the ring."""
        super().focusInEvent(event)
        self.viewport().update()

    def page_rect(self, place: int) -> QRect:
        """Where a page stands in the viewport, in logical pixels."""
        top = _MARGIN
        for before in range(place):
            top += self._page_size(before).height() + _GAP
        size = self._page_size(place)
        spare = self.viewport().width() - size.width()
        left = spare // 2 if spare >= 2 * _MARGIN else _MARGIN - self.horizontalScrollBar().value()
        return QRect(left, top - self.verticalScrollBar().value(), size.width(), size.height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw what is there and ask for what is not."""
        painter, theme = QPainter(self.viewport()), current_theme()
        colours = theme.colours
        fill(painter, QRectF(event.rect()), colours.window)
        for place in range(len(self._sizes)):
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
            edge(painter, QRectF(page).adjusted(-1, -1, 1, 1), 1, colours.line2)

    def _page_size(self, place: int) -> QSize:
        wide, high = self._sizes[place]
        across = min(_LARGEST_PAGE, max(80, self.viewport().width() - 2 * _MARGIN))
        across = round(across * self._zoom)
        return QSize(across, round(across * high / max(1.0, wide)))

    def _ask(self, place: int) -> None:
        if place in self._asked:
            return
        device = self._page_size(place).width() * self.devicePixelRatioF()
        scale = device / max(1.0, self._sizes[place][0])
        self._asked[place] = start_drawing(
            self._answers, self._drawing, self._content, place, scale
        )

    def _on_opened(self, turn: int, sizes: object) -> None:
        if turn != self._turn or not isinstance(sizes, list):
            return
        self._sizes = sizes
        self._forget_images()
        self.viewport().update()

    def _on_drawn(self, turn: int, place: int, image: object) -> None:
        if turn != self._drawing or not isinstance(image, QImage):
            return
        self._asked.pop(place, None)
        if place < len(self._sizes):
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

    def _fit_scroll_bar(self) -> None:
        high = 2 * _MARGIN + sum(
            self._page_size(place).height() + _GAP for place in range(len(self._sizes))
        )
        bar, page = self.verticalScrollBar(), self.viewport().height()
        bar.setRange(0, max(0, high - page) if self._sizes else 0)
        bar.setPageStep(page)
        bar.setSingleStep(40)
        widest = max((self._page_size(n).width() for n in range(len(self._sizes))), default=0)
        across, room = self.horizontalScrollBar(), self.viewport().width()
        across.setRange(0, max(0, widest + 2 * _MARGIN - room))
        across.setPageStep(room)
        across.setSingleStep(40)
