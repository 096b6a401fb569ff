"""Photographs of one finding: thumbnails in a row, and a place to drop or paste more."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QMimeData, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QDragEnterEvent,
    QDropEvent,
    QFocusEvent,
    QGuiApplication,
    QImage,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
    QPainter,
    QPaintEvent,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from estimator.desktop.drawing.patterns import dashed_edge
from estimator.desktop.drawing.pixels import PixelGrid, edge, fill
from estimator.desktop.drawing.words import CENTRE, draw_words
from estimator.desktop.focus_ring import RINGED_PROPERTY
from estimator.desktop.theme import Theme
from estimator.desktop.widgets.painted import PaintedWidget
from estimator.desktop.widgets.plain_tip import plain_tip

THUMBNAIL = QSize(132, 94)
_GAP = 10
_ROOM = 3
_BADGE = 18
# Larger files are refused unread; the record's own limit is lower still.
LARGEST_FILE = 64 * 1024 * 1024


@dataclass(frozen=True)
class Photo:
    """One photograph: `key` is handed back, `words` say what it shows.

    `picture` is small already (thumbnail size is enough); None while it is being read.
    """

    key: object
    words: str
    picture: QImage | None = None


def given_photographs(mime: QMimeData) -> tuple[list[tuple[str, bytes]], list[str]]:
    """Names and bytes of what was dropped or pasted, and the names of what could not be read.

    Files come as they are, whatever they hold: the record judges them. A picture without a file
    comes as PNG.
    """
    given: list[tuple[str, bytes]] = []
    refused: list[str] = []
    for url in mime.urls():
        if not url.isLocalFile():
            refused.append(url.fileName() or url.toDisplayString())
            continue
        content = _file_content(url.toLocalFile())
        if content is None:
            refused.append(url.fileName())
        else:
            given.append((url.fileName(), content))
    if not mime.urls() and mime.hasImage():
        image = mime.imageData()
        if isinstance(image, QImage) and not image.isNull():
            given.append(("pasted.png", _as_png(image)))
    return given, refused


def _file_content(path: str) -> bytes | None:
    from pathlib import Path

    file = Path(path)
    try:
        if not file.is_file() or file.stat().st_size > LARGEST_FILE:
            return None
        return file.read_bytes()
    except OSError:
        return None


def _as_png(image: QImage) -> bytes:
    content = QByteArray()
    buffer = QBuffer(content)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    image.save(buffer, "PNG")  # type: ignore[call-overload]
    buffer.close()
    return bytes(content.data())


class PhotoStrip(PaintedWidget):
    """Left and right choose, Space asks for full size, Del asks to remove, Ctrl+V pastes.

    Signals: photographs_given(list of (name, bytes)); photographs_refused(list of names);
    full_size_asked(key); removal_asked(key); photo_chosen(key).
    """

    photographs_given = Signal(object)
    photographs_refused = Signal(object)
    full_size_asked = Signal(object)
    removal_asked = Signal(object)
    photo_chosen = Signal(object)

    def __init__(
        self, drop_words: str, paste_words: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._drop_words, self._paste_words = drop_words, paste_words
        self._photos: tuple[Photo, ...] = ()
        self._here = 0
        self._first = 0
        self._locked = False
        self.setProperty(RINGED_PROPERTY, False)
        self.setAcceptDrops(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(drop_words)

    def set_photos(self, photos: Sequence[Photo]) -> None:
        """Show other photographs."""
        self._photos = tuple(photos)
        self._here = min(self._here, max(0, len(self._photos) - 1))
        self._first = min(self._first, self._here)
        self._tell()
        self.update()

    def set_locked(self, locked: bool) -> None:
        """Take and remove nothing, as on what was issued."""
        self._locked = locked
        self.setAcceptDrops(not locked)
        self.update()

    @property
    def chosen(self) -> object | None:
        """The key of the chosen photograph."""
        return self._photos[self._here].key if self._photos else None

    def sizeHint(self) -> QSize:
        """One row of thumbnails."""
        return QSize(3 * (THUMBNAIL.width() + _GAP), THUMBNAIL.height() + 2 * _ROOM)

    def minimumSizeHint(self) -> QSize:
        """One thumbnail and the place to drop."""
        return QSize(2 * (THUMBNAIL.width() + _GAP), THUMBNAIL.height() + 2 * _ROOM)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Choose, look, remove, paste."""
        if event.matches(QKeySequence.StandardKey.Paste):
            self._take(QGuiApplication.clipboard().mimeData())
            return
        key, count = Qt.Key(event.key()), len(self._photos)
        places = {
            Qt.Key.Key_Left: max(0, self._here - 1),
            Qt.Key.Key_Right: min(count - 1, self._here + 1),
            Qt.Key.Key_Home: 0,
            Qt.Key.Key_End: count - 1,
        }
        if not count:
            super().keyPressEvent(event)
        elif key in places:
            self._choose(places[key])
        elif key == Qt.Key.Key_Space:
            self.full_size_asked.emit(self.chosen)
        elif key == Qt.Key.Key_Delete and not self._locked:
            self.removal_asked.emit(self.chosen)
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose the thumbnail under the pointer."""
        for place in range(self._first, len(self._photos)):
            if self.thumbnail_rect(place).contains(event.position()):
                self._choose(place)
                return

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Look at it in full size."""
        if self._photos and self.thumbnail_rect(self._here).contains(event.position()):
            self.full_size_asked.emit(self.chosen)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Welcome files and pictures."""
        mime = event.mimeData()
        if not self._locked and (mime.hasUrls() or mime.hasImage()):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Hand on what was dropped."""
        self._take(event.mimeData())
        event.acceptProposedAction()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the ring."""
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Take the ring away."""
        super().focusOutEvent(event)
        self.update()

    def thumbnail_rect(self, place: int) -> QRectF:
        """Where a thumbnail stands; the place after the last one is where to drop."""
        left = _ROOM + (place - self._first) * (THUMBNAIL.width() + _GAP)
        return QRectF(left, _ROOM, THUMBNAIL.width(), THUMBNAIL.height())

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the thumbnails and the place to drop."""
        painter, theme = QPainter(self), self.theme
        for place in range(self._first, len(self._photos)):
            self._paint_photo(painter, place, theme)
        if not self._locked:
            self._paint_drop(painter, theme)

    def _paint_photo(self, painter: QPainter, place: int, theme: Theme) -> None:
        box, photo, colours = self.thumbnail_rect(place), self._photos[place], theme.colours
        if box.left() > self.width():
            return
        if photo.picture is None or photo.picture.isNull():
            fill(painter, box, colours.sunken)
            draw_words(
                painter,
                box.adjusted(8, 0, -8, 0),
                photo.words,
                theme.font(theme.sizes.note),
                colours.ink3,
                CENTRE,
            )
        else:
            self._paint_picture(painter, box, photo.picture)
        badge = QRectF(box.left() + 6, box.top() + 6, _BADGE, _BADGE)
        fill(painter, badge, colours.strip)
        draw_words(
            painter,
            badge,
            str(place + 1),
            theme.font(theme.sizes.note, 600),
            colours.strip_text,
            CENTRE,
        )
        if place == self._here and self.hasFocus():
            edge(painter, box.adjusted(-3, -3, 3, 3), 2, colours.focus)

    def _paint_picture(self, painter: QPainter, box: QRectF, picture: QImage) -> None:
        """Fill the box, cutting what sticks out at the longer side."""
        ratio = box.width() / box.height()
        wide, high = float(picture.width()), float(picture.height())
        if wide / high > ratio:
            source = QRectF((wide - high * ratio) / 2, 0, high * ratio, high)
        else:
            source = QRectF(0, (high - wide / ratio) / 2, wide, wide / ratio)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.drawImage(PixelGrid(painter).rect(box), picture, source)

    def _paint_drop(self, painter: QPainter, theme: Theme) -> None:
        box, colours = self.thumbnail_rect(len(self._photos)), theme.colours
        dashed_edge(painter, PixelGrid(painter).rect(box), colours.control, (4, 3))
        middle, inside = box.center().y(), box.adjusted(8, 0, -8, 0)
        first = QRectF(inside.left(), middle - 18, inside.width(), 18)
        second = QRectF(inside.left(), middle, inside.width(), 18)
        draw_words(
            painter, first, self._drop_words, theme.font(theme.sizes.second), colours.ink2, CENTRE
        )
        draw_words(
            painter, second, self._paste_words, theme.font(theme.sizes.note), colours.ink3, CENTRE
        )
        if not self._photos and self.hasFocus():
            edge(painter, box.adjusted(-3, -3, 3, 3), 2, colours.focus)

    def _take(self, mime: QMimeData) -> None:
        if self._locked:
            return
        given, refused = given_photographs(mime)
        if given:
            self.photographs_given.emit(given)
        if refused:
            self.photographs_refused.emit(refused)

    def _choose(self, place: int) -> None:
        self._here = place
        step = THUMBNAIL.width() + _GAP
        shown = max(1, (self.width() - 2 * _ROOM + _GAP) // step)
        self._first = min(max(self._first, place - shown + 1), place)
        self._tell()
        self.update()
        self.photo_chosen.emit(self.chosen)

    def _tell(self) -> None:
        photo = self._photos[self._here] if self._photos else None
        words = f"{self._here + 1}. {photo.words}" if photo is not None else ""
        self.setAccessibleDescription(words)
        self.setToolTip(plain_tip(words))
